"""Finding the wordings of a vocabulary inside a longer text, longest first, whatever stands between their parts."""

from __future__ import annotations

import re
from collections.abc import Iterable
from functools import cache
from typing import Generic, TypeVar

from crosswalk.vocabularies import Term, fold, load
from crosswalk.vocabularies.fold import plain

T = TypeVar("T")
_WORD = re.compile(r"[^\W_]+")
LONGEST = 400  # a longer text is prose, not a term


class Phrases(Generic[T]):
    """Folded wordings and what they mean.

    >>> Phrases({"submaster": 1, "master": 2}).scan(["a", "sub", "master"])
    [('a', None), ('submaster', 1)]
    """

    def __init__(self, meanings: dict[str, T]) -> None:
        self.meanings = meanings
        self.openings = {key[:end] for key in meanings for end in range(1, len(key))}

    def scan(self, words: list[str]) -> list[tuple[str, T | None]]:
        """The words from left to right, joined where together they are a wording, with what each means."""
        found: list[tuple[str, T | None]] = []
        at = 0
        while at < len(words):
            end = self._longest(words, at)
            key = "".join(words[at:end])
            found.append((key, self.meanings.get(key)))
            at = end
        return found

    def _longest(self, words: list[str], start: int) -> int:
        """The end of the longest wording that starts there; one further than the start where there is none."""
        joined, best = "", start + 1
        for end in range(start, len(words)):
            joined += words[end]
            if joined in self.meanings:
                best = end + 1
            if joined not in self.openings:
                break
        return best


@cache
def of_vocabulary(name: str, *house_files: str) -> Phrases[Term]:
    """The wordings of a vocabulary, with those of the house's files."""
    return Phrases(load(name, *house_files).index)


def words(text: str) -> list[str]:
    """The words of a text, folded.

    >>> words("A-B rolls (2)")
    ['a', 'b', 'rolls', '2']
    """
    return _WORD.findall(plain(text))


def spans(text: str, phrases: Phrases[T]) -> list[tuple[int, int]]:
    """Where in the text the wordings stand that `scan` finds in it.

    >>> spans("Nitrate neg.", Phrases({"neg": 1}))
    [(8, 11)]
    """
    pieces = list(_WORD.finditer(text))
    folded = [plain(piece[0]) for piece in pieces]
    found: list[tuple[int, int]] = []
    at = 0
    for key, meaning in phrases.scan(folded):
        start, joined = at, ""
        while at < len(folded) and joined != key:
            joined, at = joined + folded[at], at + 1
        if meaning is not None:
            found.append((pieces[start].start(), pieces[at - 1].end()))
    return found


def distinct(terms: Iterable[Term | None]) -> tuple[Term, ...]:
    """The terms, each once, in the order in which they came."""
    return tuple({term.name: term for term in terms if term is not None}.values())


__all__ = ["LONGEST", "Phrases", "distinct", "fold", "of_vocabulary", "words"]

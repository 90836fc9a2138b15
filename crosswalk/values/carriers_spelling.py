"""Spelling slips in carrier wordings: one letter too many, missing, wrong, or two exchanged."""

from __future__ import annotations

from collections.abc import Iterable

SHORTEST = 5  # a shorter word has too many neighbours


class Speller:
    """Finds the one known word that a slip turned into another. Words are known by what remains when one letter is
    left out, so that a look-up costs no more than the length of the word.

    >>> Speller(["betacam", "betamax"]).mended("betcam")
    'betacam'
    """

    def __init__(self, known: Iterable[str]) -> None:
        self._by_gap: dict[str, set[str]] = {}
        for word in known:
            if len(word) >= SHORTEST and word.isalpha():
                for gap in {word, *_gaps(word)}:
                    self._by_gap.setdefault(gap, set()).add(word)

    def mended(self, word: str) -> str | None:
        """The only known word one slip away; None where there is none, or more than one."""
        if len(word) < SHORTEST or len(word) > 30 or not word.isalpha():
            return None
        near = {known for gap in {word, *_gaps(word)} for known in self._by_gap.get(gap, ()) if _one_slip(word, known)}
        return near.pop() if len(near) == 1 else None


def _gaps(word: str) -> set[str]:
    return {word[:at] + word[at + 1 :] for at in range(len(word))}


def _one_slip(word: str, known: str) -> bool:
    from rapidfuzz.distance import OSA  # late: only a misspelt word needs it

    return OSA.distance(word, known, score_cutoff=1) <= 1

"""Words of a date text that are no part of the date and tell nothing about it: they are kept, as they are written."""

from __future__ import annotations

import unicodedata

from crosswalk.values.dates import words
from crosswalk.values.dates.expressions import Parsed


def notes(text: str, parsed: Parsed) -> tuple[str, ...]:
    """What else the text says, piece by piece; nothing of labels such as `Recorded`, which name the kind of date."""
    labels = words.LABELS | frozenset(words.DATE_TYPES) if len(set(parsed.date_types)) < 2 else words.LABELS
    found: list[str] = []
    written = _Written(text)
    for stretch in parsed.left:
        told = _without_labels(stretch, labels)
        if any(word not in labels and word not in words.GLUE for word in told):
            found.append(written.piece("".join(told)))
    return tuple(dict.fromkeys(found))


def _without_labels(stretch: list[str], labels: frozenset[str]) -> list[str]:
    first, last = 0, len(stretch)
    while first < last and stretch[first] in labels:
        first += 1
    while first < last and stretch[last - 1] in labels:
        last -= 1
    return stretch[first:last]


class _Written:
    """A text, and its letters and figures under which pieces of it are found again."""

    def __init__(self, text: str) -> None:
        self.text = text
        folded = [(letter, at) for at, char in enumerate(text) for letter in _letters(char)]
        self.letters = "".join(letter for letter, _ in folded)
        self.places = [at for _, at in folded]
        self.at = 0

    def piece(self, wanted: str) -> str:
        """The next place of those letters, as it is written; the whole text where they stand otherwise in it."""
        wanted = "".join(_letters(wanted))
        at = self.letters.find(wanted, self.at)
        while at >= 0 and not self._is_whole(at, at + len(wanted)):
            at = self.letters.find(wanted, at + 1)
        if at < 0 or not wanted:
            return self.text.strip()
        self.at = at + len(wanted)
        return self.text[self.places[at] : self.places[self.at - 1] + 1]

    def _is_whole(self, first: int, last: int) -> bool:
        """Whether no word goes on before or behind the letters."""
        return not (self._goes_on(first) or self._goes_on(last))

    def _goes_on(self, at: int) -> bool:
        if not 0 < at < len(self.letters) or self.places[at] - self.places[at - 1] > 1:
            return False
        return self.letters[at].isalpha() == self.letters[at - 1].isalpha()


def _letters(text: str) -> list[str]:
    """The letters and figures in lower case, without accents."""
    return [char for char in unicodedata.normalize("NFKD", text).lower() if char.isalnum()]

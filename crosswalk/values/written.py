"""Pieces of a text as they were written, found again by their letters and figures."""

from __future__ import annotations

import unicodedata

_MARKS = tuple("'\"\u2032\u2033")  # of minutes, seconds, feet and inches


class Written:
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
        first, last = self.places[at], self.places[self.at - 1] + 1
        quoted = first and self.text[first - 1] in _MARKS
        return self.text[first : last + (not quoted and self.text[last : last + 1] in _MARKS)]

    def _is_whole(self, first: int, last: int) -> bool:
        """Whether no word goes on before or behind the letters."""
        return not (self._goes_on(first) or self._goes_on(last))

    def _goes_on(self, at: int) -> bool:
        if not 0 < at < len(self.letters) or self.places[at] - self.places[at - 1] > 1:
            return False
        return self.letters[at].isalpha() == self.letters[at - 1].isalpha()


def _letters(text: str) -> list[str]:
    """The letters and figures in lower case, without accents."""
    return [char for char in unicodedata.normalize("NFKD", text).casefold() if char.isalnum()]

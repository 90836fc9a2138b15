"""Parts of a year that are written out as months or days: quarters, halves, and feasts that have a day of their own."""

from __future__ import annotations

import re
from typing import Final

_QUARTERS: Final = ("jan - mar", "apr - jun", "jul - sep", "oct - dec")
_HALVES: Final = ("jan - jun", "jul - dec")
_NUMBERS: Final[dict[str, int]] = {
    word: number
    for number, words in {
        1: "1 1st first 1er 1o i erstes premier primer",
        2: "2 2nd second 2e 2eme 2o ii zweites deuxieme second segundo",
        3: "3 3rd third 3e 3eme 3o iii drittes troisieme tercer",
        4: "4 4th fourth 4e 4eme 4o iv viertes quatrieme cuarto",
    }.items()
    for word in words.split()
}
# Common practice, no source. Feasts that move, or last, are not among them.
_FEASTS: Final[dict[str, str]] = {
    phrase: day
    for day, phrases in {
        "1 jan": "new year'?s day|neujahr|jour de l'an|ano nuevo",
        "25 jan": "burns'? night",
        "26 jan": "australia day",
        "14 feb": "(?:st\\.? )?valentine'?s day",
        "1 mar": "st\\.? david'?s day",
        "17 mar": "st\\.? patrick'?s day",
        "23 apr": "st\\.? george'?s day",
        "25 apr": "anzac day",
        "1 jul": "canada day",
        "14 jul": "bastille day",
        "11 nov": "armistice day",
        "30 nov": "st\\.? andrew'?s day",
        "24 dec": "christmas eve|heiligabend|heiliger abend|nochebuena",
        "25 dec": "christmas day",
        "26 dec": "boxing day",
        "31 dec": "new year'?s eve|silvester|nochevieja",
    }.items()
    for phrase in phrases.split("|")
}
_NUMBER: Final = "|".join(sorted(_NUMBERS, key=len, reverse=True))


def _quarter(match: re.Match[str]) -> str:
    return _months(match, _QUARTERS)


def _half(match: re.Match[str]) -> str:
    return _months(match, _HALVES)


def _months(match: re.Match[str], parts: tuple[str, ...]) -> str:
    """The months of a part of a year; a number that no part has is left as it is."""
    year, number = match["year"], _NUMBERS[match["number"]]
    return f"{parts[number - 1]} {year}" if number <= len(parts) else match[0]


def _feast(match: re.Match[str]) -> str:
    return next(day for phrase, day in _FEASTS.items() if re.fullmatch(phrase, match[0]))


_YEAR: Final = r"(?P<year>(?:1[89]|20)\d\d)\b"
_OF: Final = r"\.?,? (?:of |de |du |in )?"
# What stands in a text that the pattern can change, the pattern, and what is put there: as in `rewrites`.
PERIODS: Final = (
    ("q", rf"\bq(?P<number>[1-4])[ /.,'-]{{0,2}}{_YEAR}", _quarter),
    ("q", r"\b(?P<year>(?:1[89]|20)\d\d)[ /.,-]{0,2}q(?P<number>[1-4])\b", _quarter),
    (("q", "trim"), rf"\b(?P<number>{_NUMBER})\.? (?:quarter|qtr|quartal|trimestre|trim){_OF}{_YEAR}", _quarter),
    ("h", rf"\bh(?P<number>[12])[ /.,'-]{{0,2}}{_YEAR}", _half),
    (("half", "halbj", "sem"), rf"\b(?P<number>{_NUMBER})\.? (?:half|half-year|halbjahr|semestre){_OF}{_YEAR}", _half),
    ("", rf"\b(?:{'|'.join(_FEASTS)})(?=,? (?:1[89]|20)\d\d\W*$)", _feast),
)

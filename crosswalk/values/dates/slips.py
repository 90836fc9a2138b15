"""Slips: names of months with a letter wrong or lost, and letters that stand for figures."""

from __future__ import annotations

import re
from functools import lru_cache

from rapidfuzz.distance import OSA

from crosswalk.values.dates.words import MONTH, MONTHS, SEASONS

_SHORTEST = 6
_AUGUST = 8
_LONG_NAMES = {name: month for name, month in MONTHS.items() if len(name) > _SHORTEST and month != _AUGUST}
_SHORT_NAMES = {"april": 4, "august": _AUGUST}  # near to Augusta, so nothing may be wrong but the order or a gap

_LIKE_M = ("rn", "ni", "in", "nn", "iii")  # what scanners read for an m

_FIGURES = str.maketrans("lio", "110")
_TOUCHING = re.compile(r"\d[lio]|[lio]\d", re.ASCII)
_MISREAD = tuple(
    re.compile(pattern, re.ASCII)
    for pattern in (
        r"(?<![\w'])[\dlio]{1,2}([/.-])[\dlio]{1,2}\1[\dlio]{2,4}(?!\w)",
        r"(?<![\w'])(?:[li][89][\dlio]{2}|1[89](?:\d[lio]|[lio]\d)|2(?:oo|0o|o\d)\d|20\d[lio])(?!\w)",
        rf"(?<![\w.])(?:[li]\d|\d[li]|[23]o)(?= (?:{MONTH})\b)",
        r"(?<![\w.])1o(?= (?:january|february|march|april|may|june|july|august|september|october|november|december)\b)",
    )
)


@lru_cache(maxsize=4096)
def month_with_a_slip(word: str) -> int:
    """The number of the only month whose name is one slip away; 0 where there is none.

    >>> month_with_a_slip("feburary"), month_with_a_slip("remember")
    (2, 0)
    """
    for name, month in _SHORT_NAMES.items():
        exchanged = sorted(word) == sorted(name)
        if (exchanged or len(word) < len(name)) and OSA.distance(word, name, score_cutoff=1) == 1:
            return month
    if len(word) < _SHORTEST or not word.isalpha():
        return 0
    scanned = {_LONG_NAMES[name] for wrong in _LIKE_M if (name := word.replace(wrong, "m")) in _LONG_NAMES}
    if len(scanned) == 1:
        return scanned.pop()
    near = {month for name, month in _LONG_NAMES.items() if OSA.distance(word, name, score_cutoff=1) <= 1}
    return near.pop() if len(near) == 1 else 0


def with_figures(text: str) -> str:
    """The text with figures for the letters that look like them, as optical reading and typists exchange them.

    Only among figures: `l987`, `198o`, `1o/4/87`, `2l may`; `1o de mayo` is an ordinal.

    >>> with_figures("1o/o4/l987, 1o mayo")
    '10/04/1987, 1o mayo'
    """
    if _TOUCHING.search(text):
        for pattern in _MISREAD:
            text = pattern.sub(lambda match: match[0].translate(_FIGURES), text)
    return text


def mended_word(match: re.Match[str]) -> str:
    """The only month or season that the word is, where one letter was lost in another encoding; else the word.

    >>> re.sub(r"\\S+", mended_word, "f?vrier what?ever")
    'fevrier what?ever'
    """
    pattern = re.compile(re.sub(r"[^a-z]", ".", match[0]))
    meant = {number: word for word, number in (*MONTHS.items(), *SEASONS.items()) if pattern.fullmatch(word)}
    return next(iter(meant.values())) if len(meant) == 1 else match[0]

"""Slips: names of months with a letter wrong or lost, and letters that stand for figures."""

from __future__ import annotations

import re
from functools import lru_cache

from rapidfuzz.distance import OSA

from crosswalk.values.dates.words import MONTHS, SEASONS

_SHORTEST = 6
_AUGUST = 8
_LONG_NAMES = {name: month for name, month in MONTHS.items() if len(name) > _SHORTEST and month != _AUGUST}
_SHORT_NAMES = {"april": 4, "august": _AUGUST}  # near to Augusta, so nothing may be wrong but the order or a gap

_FIGURES = str.maketrans("lio", "110")


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
    near = {month for name, month in _LONG_NAMES.items() if OSA.distance(word, name, score_cutoff=1) <= 1}
    return near.pop() if len(near) == 1 else 0


def mended_figures(match: re.Match[str]) -> str:
    """The match with figures for the letters that look like them, as optical reading and typists exchange them.

    >>> re.sub(r"\\S+", mended_figures, "1o/o4/l987")
    '10/04/1987'
    """
    return match[0].translate(_FIGURES)


def mended_word(match: re.Match[str]) -> str:
    """The only month or season that the word is, where one letter was lost in another encoding; else the word.

    >>> re.sub(r"\\S+", mended_word, "f?vrier what?ever")
    'fevrier what?ever'
    """
    pattern = re.compile(re.sub(r"[^a-z]", ".", match[0]))
    meant = {number: word for word, number in (*MONTHS.items(), *SEASONS.items()) if pattern.fullmatch(word)}
    return next(iter(meant.values())) if len(meant) == 1 else match[0]

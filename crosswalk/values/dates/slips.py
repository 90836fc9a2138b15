"""Names of months with one slip of the pen: a letter too many, missing, wrong, or two exchanged."""

from __future__ import annotations

from functools import lru_cache

from rapidfuzz.distance import OSA

from crosswalk.values.dates.words import MONTHS

_SHORTEST = 6
_AUGUST = 8
_LONG_NAMES = {name: month for name, month in MONTHS.items() if len(name) > _SHORTEST and month != _AUGUST}
_SHORT_NAMES = {"april": 4, "august": _AUGUST}  # near to Augusta, so nothing may be wrong but the order or a gap


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

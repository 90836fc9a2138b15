"""Names of months with one slip of the pen: a letter too many, missing, wrong, or two exchanged."""

from __future__ import annotations

from functools import lru_cache

from rapidfuzz.distance import OSA

from crosswalk.values.dates.words import MONTHS

_SHORTEST = 6
_OFTEN_PEOPLE = 8  # Augusta, Augustin
_LONG_NAMES = {name: month for name, month in MONTHS.items() if len(name) > _SHORTEST and month != _OFTEN_PEOPLE}


@lru_cache(maxsize=4096)
def month_with_a_slip(word: str) -> int:
    """The number of the only month whose name is one slip away; 0 where there is none.

    >>> month_with_a_slip("feburary"), month_with_a_slip("remember")
    (2, 0)
    """
    if len(word) < _SHORTEST or not word.isalpha():
        return 0
    near = {month for name, month in _LONG_NAMES.items() if OSA.distance(word, name, score_cutoff=1) <= 1}
    return near.pop() if len(near) == 1 else 0

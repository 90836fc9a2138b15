"""The few shapes that most cells have, by one pattern.

Gives what the grammar would give (a test holds the two together), or nothing, and then the grammar reads.
"""

from __future__ import annotations

import re
from typing import Final

from crosswalk.values.dates.moments import days_in
from crosswalk.values.dates.numeric import full_year
from crosswalk.values.dates.words import MONTHS
from crosswalk.values.reading import Context, How, Reading

_QUICK = re.compile(
    r"(\d{4})-(\d\d)-(\d\d)( 00:00:00)?"
    r"|(\d\d?)([/-])(\d\d?)\6(\d{4}|[4-9]\d)"
    r"|([A-Za-z]{3,9})\.? (\d\d?),? ?(\d{4})"
    r"|(\d\d?)\.?[ -]([A-Za-z]{3,9})\.?[ ,-](\d{4})"
    r"|([A-Za-z]{3,9})\.?,? (\d{4})"
    r"|(\d{4})",
    re.ASCII,
)
_NUMBERS: Final = {f"{number:0{width}}": number for number in range(32) for width in (1, 2)}
_TWO: Final = tuple(f"{number:02}" for number in range(32))
_MONTHS: Final = {form(word): _TWO[number] for word, number in MONTHS.items() for form in (str, str.title, str.upper)}
_WORDS: Final = "date-words"
_EMPTY: Final = ("1899", "1900")  # of the days with which programs fill an empty cell
_EPOCH: Final = "1970-01-01"  # and with a time
_EXACT, _PATTERN = How.EXACT, How.PATTERN


def quick(text: str, context: Context) -> Reading | None:
    """The settled reading of a usual shape, or None."""
    match = _QUICK.fullmatch(text)
    if match is None:
        return None
    groups = match.groups()
    shape = match.lastindex
    if shape == 3 or shape == 4:
        return _iso(groups[0], groups[1], groups[2], groups[3] is None)
    if shape == 11:
        return _worded(groups[10], groups[8], groups[9])
    if shape == 14:
        return _worded(groups[13], groups[12], groups[11])
    if shape == 8:
        year = groups[7] if len(groups[7]) == 4 else f"{full_year(groups[7], context)}"
        return _figures(groups[4], groups[6], year, context) if year < "2000" or len(groups[7]) == 4 else None
    if shape == 17:
        return Reading(text, _EXACT) if _likely(text) else None
    month = _MONTHS.get(groups[14])
    return Reading(f"{groups[15]}-{month}", _PATTERN, (), _WORDS) if month and _likely(groups[15]) else None


def _likely(year: str) -> bool:
    return "1500" <= year <= "2035"


def _iso(year: str, month: str, day: str, exact: bool) -> Reading | None:
    if not "01" <= month <= "12" or not _likely(year) or year in _EMPTY or not _day(year, int(month), int(day)):
        return None
    value = f"{year}-{month}-{day}"
    if value == _EPOCH and not exact:
        return None
    return Reading(value, _EXACT) if exact else Reading(value, _PATTERN, (), _WORDS)


def _worded(year: str, word: str, figure: str) -> Reading | None:
    month, day = _MONTHS.get(word), _NUMBERS.get(figure)
    if not month or not day or not _likely(year) or not (day <= 28 or _day(year, int(month), day)):
        return None
    return Reading(f"{year}-{month}-{_TWO[day]}", _PATTERN, (), _WORDS)


def _figures(one: str, two: str, year: str, context: Context) -> Reading | None:
    """Day and month where one order only is possible or the context says which."""
    first, second = _NUMBERS.get(one, 0), _NUMBERS.get(two, 0)
    if not first or not second or not _likely(year) or year in _EMPTY:
        return None
    if first <= 12 and second <= 12 and first != second:
        if context.day_first is None:
            return None
        month, day = (second, first) if context.day_first else (first, second)
    elif second <= 12 and context.day_first is not False:
        month, day = second, first
    elif first <= 12 and context.day_first is not True:
        month, day = first, second
    else:
        return None
    return Reading(f"{year}-{_TWO[month]}-{_TWO[day]}", _PATTERN, (), _WORDS) if _day(year, month, day) else None


def _day(year: str, month: int, day: int) -> bool:
    return day >= 1 and (day <= 28 or day <= days_in(int(year), month))

"""The few shapes that most cells have, by one pattern.

Gives what the grammar would give (a test holds the two together), or nothing, and then the grammar reads.
"""

from __future__ import annotations

import re
from typing import Final

from crosswalk.values.durations.clocks import PERHAPS_FRAMES, SURELY_MINUTES
from crosswalk.values.durations.lengths import FIRST_HOUR, LATE
from crosswalk.values.durations.words import UNITS
from crosswalk.values.reading import Context, How, Reading

_QUICK = re.compile(
    r"(\d\d?):([0-5]\d):([0-5]\d)(?:([:;])([01]\d|2[0-3]))?"
    r"|(\d{1,3}):([0-5]\d)"
    r"|(\d{1,3}) ?([A-Za-z]{1,7})\.?(?:,? ([0-5]?\d) ?([A-Za-z]{1,7})\.?)?"
)
_RULE: Final = "length-words"
_TWO: Final = tuple(f"{number:02}" for number in range(60))


def quick(text: str, context: Context) -> Reading | None:
    """The settled reading of a usual shape, or None."""
    match = _QUICK.fullmatch(text)
    if match is None:
        return None
    one, two, three, sign, frames, minutes, seconds, figure, unit, lower, lower_unit = match.groups()
    if one is not None:
        return _hours(text, one, two, three, f"{sign}{frames}" if sign else "", context)
    if minutes is not None:
        return _minutes(int(minutes), seconds, context)
    return _units(int(figure), unit, lower, lower_unit, context, not lower and " " in text)


def _hours(text: str, one: str, two: str, three: str, tail: str, context: Context) -> Reading | None:
    hours = int(one)
    if hours >= PERHAPS_FRAMES or not _fits((hours * 60 + int(two)) * 60 + int(three), context):
        return None
    if tail and (context.fps or (tail[0] == ";" and three == "00" and tail < ";02")):
        return None
    if text == FIRST_HOUR:
        return None
    if len(one) == 2:
        return Reading(text, How.PATTERN if tail else How.EXACT, (), _RULE if tail else "")
    return Reading(f"0{one}:{two}:{three}{tail}", How.PATTERN, (), _RULE)


def _minutes(minutes: int, seconds: str, context: Context) -> Reading | None:
    first = context.minutes_first
    if first is None:
        first = minutes >= SURELY_MINUTES
    if not first or not _fits(minutes * 60 + int(seconds), context):
        return None
    return Reading(f"{_TWO[minutes // 60]}:{_TWO[minutes % 60]}:{seconds}", How.PATTERN, (), _RULE)


def _units(
    figure: int, unit: str, lower: str | None, lower_unit: str | None, context: Context, apart: bool
) -> Reading | None:
    size = UNITS.get(unit.lower())
    if not size or (figure >= LATE and unit in "hH") or (unit in "mM" and (figure >= 100 or apart)):
        return None
    total = figure * size
    if lower is not None and lower_unit is not None:
        smaller = UNITS.get(lower_unit.lower())
        if not smaller or smaller >= size:
            return None
        total += int(lower) * smaller
    if not _fits(total, context):
        return None
    rest = total % 3600
    return Reading(f"{total // 3600:02}:{_TWO[rest // 60]}:{_TWO[rest % 60]}", How.PATTERN, (), _RULE)


def _fits(seconds: int, context: Context) -> bool:
    """Whether the length is one, and no longer than the carrier."""
    return seconds > 0 and (context.capacity_ms is None or seconds * 800 <= context.capacity_ms)

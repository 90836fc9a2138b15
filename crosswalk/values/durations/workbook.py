"""Lengths as programs write them: ISO 8601 durations, days and a clock, a workbook's times and shares of a day."""

from __future__ import annotations

import re
from fractions import Fraction

from crosswalk.values.durations.clocks import MOST_FRAMES, SURELY_MINUTES, Length, clock
from crosswalk.values.reading import Context

_ISO = re.compile(
    r"P(?:0{1,4}Y)?(?:0{1,2}M)?(?:(\d{1,3})D)?"
    r"(?:T(?:(\d{1,4}(?:[.,]\d{1,6})?)H)?(?:(\d{1,5}(?:[.,]\d{1,6})?)M)?(?:(\d{1,7}(?:[.,]\d{1,6})?)S)?)?",
    re.IGNORECASE,
)
_DAYS = re.compile(r"(?:(\d{1,2}) days?,? |0{1,2}\.)(\d{1,2}:\d\d:\d\d(?:\.\d{1,9})?)")
_MILLISECONDS = re.compile(r"(\d{1,9}) ?(?:ms|msecs?|millisec(?:ond)?s?)\.?", re.ASCII | re.IGNORECASE)
_STAMP = re.compile(
    r"(\d{1,4})([-/.])(\d{1,2})\2(\d{1,4})[ T](\d{1,2}):([0-5]\d):([0-5]\d)(?:[.,](\d{1,9}))?"
    r"(?: ?([AP])\.?M\.?)?(?: ?(?:Z|UTC|GMT|\+00:?00))?",
    re.ASCII | re.IGNORECASE,
)
_DAYTIME = re.compile(r"(\d{1,2}):([0-5]\d):([0-5]\d) ?([AP])\.?M\.?", re.ASCII | re.IGNORECASE)
_SHARE = re.compile(r"0?[.,](\d{7,20})|\d(?:[.,](\d{1,17}))?E-0?([2-6])", re.ASCII | re.IGNORECASE)

_FIRST_DAYS = {  # year, and the other two figures in whichever order: a time on such a day is a time and no day
    ("1899", frozenset((12, 30))),
    ("1899", frozenset((12, 31))),
    ("1900", frozenset((0, 1))),
    ("00", frozenset((0, 1))),
    ("1904", frozenset((1,))),
    ("1970", frozenset((1,))),
    ("0001", frozenset((1,))),
}
_FIRST_OR_DEFAULT = ("1900", frozenset((1,)))  # a workbook's first day, 24 hours on; and the day that programs make up
_MOST_HOURS = 4  # hours that a time of day may have and still surely be a length
_LONGEST_SHARE = 14_400


def written_by_a_program(text: str, context: Context) -> tuple[Length, str] | None:
    """The length that a program wrote, and the rule; None for any other text."""
    if ":" in text:
        plain_clock = text[-1:].isdigit() and " " not in text and text[2:3] == ":"
        return None if plain_clock else _by_clock(text, context)
    return _iso(text) or share_of_a_day(text, context)


def _iso(text: str) -> tuple[Length, str] | None:
    match = _ISO.fullmatch(text)
    if match and any(match.groups()):
        days, hours, minutes, seconds = (Fraction((part or "0").replace(",", ".")) for part in match.groups())
        return Length(((days * 24 + hours) * 60 + minutes) * 60 + seconds), "iso-duration"
    thousandths = _MILLISECONDS.fullmatch(text)
    return (Length(Fraction(int(thousandths[1]), 1000)), "milliseconds") if thousandths else None


def _by_clock(text: str, context: Context) -> tuple[Length, str] | None:
    days = _DAYS.fullmatch(text)
    if days:
        hours, _, rest = days[2].partition(":")
        return clock(f"{int(hours) + 24 * int(days[1] or 0)}:{rest}", context, None), "workbook-time"
    stamp = _STAMP.fullmatch(text)
    if stamp:
        return _stamped(stamp, context)
    daytime = _DAYTIME.fullmatch(text)
    if not daytime or int(daytime[1]) > 12:
        return None
    length = _daytime(_hour(daytime[1], daytime[4]), int(daytime[2]), int(daytime[3]))
    return length, "workbook-time-of-day"


def _hour(hour: str, half: str | None) -> int:
    """The hour of the day: 12 AM is the first one."""
    return int(hour) if not half else int(hour) % 12 + 12 * (half in "pP")


def _daytime(hour: int, minute: int, second: int) -> Length:
    """`12:58:30 AM`: a workbook shows a length so. Whole minutes are as likely keyed as minutes and seconds, or are a
    time of day; so are late hours."""
    length = Length(Fraction((hour * 60 + minute) * 60 + second))
    if hour >= _MOST_HOURS or second == 0:
        other = Length(Fraction(hour * 60 + minute), f":{second:02}" if second < MOST_FRAMES and second else "")
        length.doubts = (("DU14", "a time of day, or a length shown as one", (length.text, other.text)),)
    return length


def _stamped(match: re.Match[str], context: Context) -> tuple[Length, str] | None:
    """A time on the day from which a workbook or a program counts."""
    first, month, last = match[1], int(match[3]), match[4]
    day = (first, frozenset((month, int(last)))) if len(first) == 4 else (last, frozenset((int(first), month)))
    hour = _hour(match[5], match[9])
    rest = f"{match[6]}:{match[7]}" + (f".{match[8]}" if match[8] else "")
    length = clock(f"{hour}:{rest}", context, None)
    if day in _FIRST_DAYS:
        if hour >= SURELY_MINUTES and match[7] == "00" and not length.doubts:
            keyed = Length(Fraction(hour * 60 + int(match[6]))).text
            length.doubts = (("DU03", "hours and minutes, or minutes and seconds", (length.text, keyed)),)
        return length, "workbook-time"
    if day != _FIRST_OR_DEFAULT:
        return None
    return _one_that_fits(length, clock(f"{hour + 24}:{rest}", context, None), context), "workbook-time"


def _one_that_fits(today: Length, tomorrow: Length, context: Context) -> Length:
    """Of a time on the first of January 1900 the one meaning that the carrier has room for; otherwise a doubt."""
    most = (context.capacity_ms or 0) * Fraction(5, 4000)
    fitting = [length for length in (today, tomorrow) if length.seconds <= most and not length.doubts]
    if len(fitting) == 1:
        return fitting[0]
    choices = (today.text, tomorrow.text)
    return Length(today.seconds, today.tail, (("DU14", "a time on a made-up day, or 24 hours and that time", choices),))


def share_of_a_day(text: str, context: Context) -> tuple[Length, str] | None:
    """`0.0201388888888889`: a workbook's time. It is one where it makes whole seconds to its last digit, and the unit
    of the column does not."""
    match = _SHARE.fullmatch(text)
    if not match:
        return None
    amount = Fraction(text.replace(",", "."))
    decimals = len(match[1]) if match[1] else len(match[2] or "") + int(match[3])
    exact = max(Fraction(6, 10 ** (decimals + 1)), Fraction(1, 10**15))
    hours = context.bare_unit == "h" and _is_whole(amount * 3600, exact * 3600)
    if not 0 < amount * 86400 < _LONGEST_SHARE or hours or not _is_whole(amount * 86400, exact * 86400):
        return None
    return Length(Fraction(round(amount * 86400))), "share-of-a-day"


def _is_whole(seconds: Fraction, exact: Fraction) -> bool:
    return abs(seconds - round(seconds)) <= exact

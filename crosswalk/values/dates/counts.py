"""Bare numbers that are dates: a workbook's day counts, and figures run together."""

from __future__ import annotations

from datetime import date, timedelta

from crosswalk.values.dates.moments import Moment
from crosswalk.values.dates.numeric import DoubtRows, full_year, possible
from crosswalk.values.reading import Context

SURE_COUNT_YEARS = (1957, 2030)  # outside them, a bare day count is more likely a slip; common practice, no source


def serial(text: str, context: Context) -> Moment | None:
    """A workbook's day count (ECMA-376, 18.17.4.1), of the epoch that the context names; None where it is none.

    >>> from crosswalk.values.reading import Context
    >>> serial("31665.0", Context()).edtf, serial("30203", Context(excel_epoch=1904)).edtf
    ('1986-09-10', '1986-09-10')
    """
    count = float(text)
    if not 3000 <= count < 80000:
        return None
    # The 1900 system counts a 29 February 1900 that never was, so from March 1900 on it starts a day earlier.
    start = date(1904, 1, 1) if context.excel_epoch == 1904 else date(1899, 12, 30)
    day = start + timedelta(days=int(count))
    if not context.earliest_year <= day.year <= context.latest_year:
        return None
    seconds = round((count - int(count)) * 86400)
    time = "" if not seconds % 86400 else f"T{seconds // 3600:02}:{seconds // 60 % 60:02}:{seconds % 60:02}"
    return Moment(
        f"{day.year:04}", day.month, day.day, time=time, doubts=() if context.day_counts else _slip(text, day)
    )


def _slip(text: str, day: date) -> DoubtRows:
    """Five figures may be a shelf number or a year with a digit too many; a program wrote those with a point."""
    whole, _, rest = text.partition(".")
    far = 18000 <= int(whole) < 21000 or not SURE_COUNT_YEARS[0] <= day.year <= SURE_COUNT_YEARS[1]
    if not rest or (far and rest == "0"):
        return (("DT09", "a day count of a workbook, or a slip", (day.isoformat(), whole[:4])),)
    return ()


def compact(digits: str, context: Context) -> Moment | None:
    """`19870403`, `198704`, `870403`: run together; a doubt where more than one order is possible."""
    found = {moment.edtf: moment for moment in _compact_orders(digits, context)}
    if not found:
        return None
    moment = next(iter(found.values()))
    if len(found) > 1:
        moment.doubts = (("DT16", f"{digits} fits {len(found)} ways of writing a date", tuple(found)),)
    return moment


def _compact_orders(digits: str, context: Context) -> list[Moment]:
    if len(digits) == 8:
        cuts = [("ymd", digits[:4], digits[4:6], digits[6:]), ("dmy", digits[4:], digits[2:4], digits[:2])]
        cuts.append(("mdy", digits[4:], digits[:2], digits[2:4]))
    else:
        cuts = [("ymd", digits[:2], digits[2:4], digits[4:]), ("dmy", digits[4:], digits[2:4], digits[:2])]
        cuts.append(("mdy", digits[4:], digits[:2], digits[2:4]))
    moments = []
    for order, y, m, d in cuts:
        year = full_year(y, context)
        wanted = order == "ymd" or context.day_first in (None, order == "dmy")
        if wanted and possible(year, int(m), int(d)):
            moments.append(Moment(f"{year:04}", int(m), int(d)))
    if len(digits) == 6:
        moments += [_month(digits[:4], digits[4:]), _month(digits[2:], digits[:2])]
    likely = (context.earliest_year, context.latest_year)
    return [moment for moment in moments if likely[0] <= int(moment.year) <= likely[1]]


def _month(year: str, month: str) -> Moment:
    return Moment(year, int(month)) if 1 <= int(month) <= 12 else Moment("0000")

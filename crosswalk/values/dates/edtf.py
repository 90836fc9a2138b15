"""EDTF strings (ISO 8601-2:2019): whether a text is one, and the first and last day that it can mean."""

from __future__ import annotations

import re
from datetime import date

from crosswalk.values.dates.moments import days_in
from crosswalk.values.dates.partly import is_partly, partly_bounds

_ONE = re.compile(
    r"(?P<year>-?\d{4}|\d\d\dX|\d\dXX|Y-?[1-9]\d{4,8})"
    r"(?:-(?P<month>0[1-9]|1[0-2]|2[1-4]|XX)(?:-(?P<day>0[1-9]|[12]\d|3[01]|XX))?)?"
    r"(?P<time>T(?:[01]\d|2[0-3]):[0-5]\d:[0-5]\d(?:Z|[+-](?:0\d|1[0-4])(?::[0-5]\d)?)?)?"
    r"(?P<mark>[?~%])?",
    re.ASCII,
)
Bounds = tuple[date | None, date | None]


def is_edtf(text: str) -> bool:
    """Whether the text is EDTF of level 0 or 1, or of level 2 (sets; marks and open figures of single parts), with days
    that the calendar has.

    >>> [is_edtf(text) for text in ("1985-04-12", "1964/2008", "201X", "1985/..", "{1960,1962}", "1985-02-30")]
    [True, True, True, True, True, False]
    >>> is_edtf("1985-04-?12"), is_edtf("1985-XX-12"), is_edtf("1985-1X-40")
    (True, True, False)
    """
    if text[:1] in "[{" and len(text) > 2:
        return _is_set(text)
    if "/" not in text:
        return _is_one(text)
    ends = text.split("/")
    known = [end for end in ends if end not in ("", "..")]
    if len(ends) != 2 or not known or (len(known) == 1 and is_partly(known[0]) and not _ONE.fullmatch(known[0])):
        return False  # an open span takes no end of level 2
    return all(map(_is_end, known))


def _is_set(text: str) -> bool:
    if text[-1:] != {"[": "]", "{": "}"}[text[0]]:
        return False
    parts = [end for part in text[1:-1].split(",") for end in part.split("..")]
    return any(parts) and all(_is_one(part) for part in parts if part) and ("," in text or ".." in text)


def _is_end(text: str) -> bool:
    return _is_one(text) and not ("X" in text[:4] and "-" in text)  # 196X-06/.. is no end of a span


def _is_one(text: str) -> bool:
    match = _ONE.fullmatch(text)
    if not match or _is_open_before_known(match):
        return is_partly(text)
    year, month, day, time = match["year"], match["month"], match["day"], match["time"]
    if time and (not day or day == "XX" or match["mark"]):
        return False
    if day in (None, "XX"):
        return day is None or month == "XX" or int(month) <= 12
    return int(month) <= 12 and int(day) <= days_in(_number(year), int(month))


def _is_open_before_known(match: re.Match[str]) -> bool:
    """`197X-04`, `1978-XX-04`: what level 1 has no place for."""
    year, month, day = match["year"], match["month"], match["day"]
    return bool(month and "X" in year) or (month == "XX" and day not in (None, "XX"))


def _number(year: str) -> int:
    return int(year.lstrip("Y"))


def bounds(edtf: str) -> Bounds:
    """The earliest and the latest day that an EDTF string can mean; None where it is open or beyond the calendar.

    A season means any day of its year (of that winter also the next year's first months), since the text does not
    say on which half of the Earth; an approximate date is taken as written.

    >>> bounds("197X/1983-04")
    (datetime.date(1970, 1, 1), datetime.date(1983, 4, 30))
    >>> bounds("[..1984]")
    (None, datetime.date(1984, 12, 31))
    """
    text = edtf.strip()
    if text[:1] in ("[", "{"):
        return _set_bounds(text[1:-1])
    if "/" in text:
        first, _, last = text.partition("/")
        return _one_bounds(first)[0], _one_bounds(last)[1]
    return _one_bounds(text)


def _set_bounds(inside: str) -> Bounds:
    ends = [end for part in inside.split(",") for end in part.split("..") if end]
    earliest, latest = [], []
    for end in ends:
        first, last = _one_bounds(end)
        earliest.append(first)
        latest.append(last)
    open_start, open_end = inside.startswith(".."), inside.endswith("..")
    return (None if open_start else _least(earliest)), (None if open_end else _most(latest))


def _least(days: list[date | None]) -> date | None:
    return None if None in days else min(day for day in days if day)


def _most(days: list[date | None]) -> date | None:
    return None if None in days else max(day for day in days if day)


def _one_bounds(text: str) -> Bounds:
    match = _ONE.fullmatch(text)
    if not match or _is_open_before_known(match):
        return partly_bounds(text)
    if match["year"][0] in "Y-":
        return None, None
    first_year, last_year = int(match["year"].replace("X", "0")), int(match["year"].replace("X", "9"))
    month = match["month"]
    if month is None or month == "XX" or int(month) > 12:
        return _day(first_year, 1, 1), (_day(last_year + 1, 3, 31) if month == "24" else _day(last_year, 12, 31))
    if match["day"] in (None, "XX"):
        return _day(first_year, int(month), 1), _day(last_year, int(month), days_in(last_year, int(month)))
    day = _day(first_year, int(month), int(match["day"]))
    return day, day


def _day(year: int, month: int, day: int) -> date | None:
    try:
        return date(year, month, day)
    except ValueError:
        return None

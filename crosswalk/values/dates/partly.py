"""EDTF of level 2: dates of which a part is marked, or figures before known ones are open (ISO 8601-2:2019, 4.4, 4.6).

Years with an exponent or significant digits, and parts of a year beyond the four seasons, are left out: in an archive's
sheet such texts are codes.
"""

from __future__ import annotations

import re
from collections.abc import Sequence
from datetime import date

_PARTLY = re.compile(
    r"[?~%]?(?P<year>[\dX]{4})[?~%]?"
    r"(?:-[?~%]?(?P<month>[01X][\dX])[?~%]?(?:-[?~%]?(?P<day>[0-3X][\dX])[?~%]?)?)?",
    re.ASCII,
)
LEAP = 8  # years among which there is a 29 February
_MARKS = {"?": ("uncertain",), "~": ("approximate",), "%": ("uncertain", "approximate")}


def is_partly(text: str) -> bool:
    """Whether the text is such a date, and the calendar has a day that fits. Marks and open figures do not go together.

    >>> [is_partly(text) for text in ("1985?-04-12", "156X-12-25", "1985-XX-31", "1985-02-3X", "156X-12-25~")]
    [True, True, True, False, False]
    """
    both = "X" in text and any(mark in text for mark in _MARKS)
    return not both and partly_bounds(text)[1] is not None


def partly_bounds(text: str) -> tuple[date | None, date | None]:
    """The first and the last day that fit; None where there is none.

    >>> partly_bounds("1985-XX-31")
    (datetime.date(1985, 1, 31), datetime.date(1985, 12, 31))
    """
    match = _PARTLY.fullmatch(text)
    if not match:
        return None, None
    months, days = _fitting(match["month"] or "XX", 12), _fitting(match["day"] or "XX", 31)
    first, last = int(match["year"].replace("X", "0")), int(match["year"].replace("X", "9"))
    years = range(max(first, 1), last + 1)
    return _first_day(years[:LEAP], months, days), _first_day(years[: -LEAP - 1 : -1], months[::-1], days[::-1])


def certain_part(text: str) -> tuple[str, tuple[str, ...]]:
    """The date without its marks, up to the first open figure, and what that loses; empty where the year is open.

    >>> certain_part("1985-04-?12"), certain_part("1985-XX-12"), certain_part("156X-12-25")
    (('1985-04-12', ('uncertain',)), ('1985', ('unspecified part',)), ('', ()))
    """
    match = _PARTLY.fullmatch(text)
    if not match or "X" in match["year"]:
        return "", ()
    losses = [loss for mark, named in _MARKS.items() if mark in text for loss in named]
    parts = [match["year"], match["month"], match["day"]]
    known = parts[: next((at for at, part in enumerate(parts) if part is None or "X" in part), 3)]
    losses += ["unspecified part"] if "X" in text else []
    return "-".join(known), tuple(dict.fromkeys(losses))


def _fitting(figures: str, most: int) -> list[int]:
    """The numbers up to `most` that two figures can be, of which X may be any."""
    return [n for n in range(1, most + 1) if all(a in ("X", b) for a, b in zip(figures, f"{n:02}", strict=True))]


def _first_day(years: Sequence[int], months: Sequence[int], days: Sequence[int]) -> date | None:
    found = (_day(year, month, day) for year in years for month in months for day in days)
    return next((day for day in found if day), None)


def _day(year: int, month: int, day: int) -> date | None:
    try:
        return date(year, month, day)
    except ValueError:
        return None

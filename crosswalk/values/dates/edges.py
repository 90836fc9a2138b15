"""One moment with a bound (before, after, at the latest, since): the near or the far edge of what is named.

A set of EDTF includes its ends ("[..1984]" is 1984 or an earlier year), and so does a span. "Before 1970" does not
include 1970: it is "[..1969]". "By 1970", "not after 1970" and "1970 or earlier" do.
"""

from __future__ import annotations

from datetime import date, timedelta
from typing import Final

from crosswalk.values.dates.edtf import bounds
from crosswalk.values.dates.moments import Moment, qualifier

DoubtRow = tuple[str, str, tuple[str, ...]]
_STARTS: Final = ("since", "earliest", "before")  # these mean the first day of what is named, the others its last


def edged(moment: Moment, bound: str) -> tuple[str | None, list[DoubtRow]]:
    """The EDTF string of a moment behind a bound word, and what it cannot say."""
    if moment.month and moment.month > 12:
        return moment.edtf, [("DT05", "before or after a season", (moment.edtf,))]
    # An open end takes no unspecified digits: what is meant is the near edge of the decade or its far edge.
    edge = Moment(moment.year.replace("X", "0" if bound in _STARTS else "9"), moment.month, moment.day)
    mark = qualifier(moment.marks)
    if bound == "since":
        return f"{edge.edtf}{mark}/..", []
    if bound == "until":
        return f"../{edge.edtf}{mark}", []
    edge = _beyond(edge, -1 if bound == "before" else 1) if bound in ("before", "after") else edge
    text = f"[..{edge.edtf}]" if bound in ("before", "latest") else f"[{edge.edtf}..]"
    return text, [("DT05", "EDTF cannot mark one end of a set", (text,))] if mark else []


def _beyond(moment: Moment, step: int) -> Moment:
    """The year, month or day next to this one."""
    first, last = bounds(moment.edtf)
    if not first or not last:
        return moment
    day: date = (last if step > 0 else first) + timedelta(days=step)
    return Moment(f"{day.year:04}", day.month if moment.month else None, day.day if moment.day else None)

"""One moment with a bound (before, after, at the latest, since): the near or the far edge of what is named.

A set of EDTF includes its ends ("[..1984]" is 1984 or an earlier year), and so does a span. "Before 1970" does not
include 1970: it is "[..1969]". "By 1970", "not after 1970" and "1970 or earlier" do.
"""

from __future__ import annotations

from datetime import date
from typing import Final

from crosswalk.values.dates.doubted import DoubtRow
from crosswalk.values.dates.moments import Moment, qualifier
from crosswalk.values.reading import Doubt, Reading

BEYOND: Final = {"before": -1, "after": 1}
_STARTS: Final = ("since", "earliest", "before")  # these mean the first day of what is named, the others its last


def edged(moment: Moment, bound: str) -> tuple[str | None, list[DoubtRow]]:
    """The EDTF string of a moment behind a bound word, and what it cannot say.

    For "before" and "after" it still has the date that was written, so that a plan can be filled with another one;
    `stepped` then takes the step.
    """
    if moment.month and moment.month > 12:
        return moment.edtf, [("DT05", "before or after a season", (moment.edtf,))]
    # An open end takes no unspecified digits: what is meant is the near edge of the decade or its far edge.
    edge = Moment(moment.year.replace("X", "0" if bound in _STARTS else "9"), moment.month, moment.day)
    mark = qualifier(moment.marks)
    if bound == "since":
        return f"{edge.edtf}{mark}/..", []
    if bound == "until":
        return f"../{edge.edtf}{mark}", []
    text = f"[..{edge.edtf}]" if bound in ("before", "latest") else f"[{edge.edtf}..]"
    return text, [("DT05", "EDTF cannot mark one end of a set", (text,))] if mark else []


def stepped(reading: Reading) -> Reading:
    """The reading of a rule in BEYOND, with the year, month or day before the one that was written, or the next one.

    >>> from crosswalk.values.reading import How
    >>> stepped(Reading("[..1970-03-01]", How.PATTERN, (), "before")).value
    '[..1970-02-28]'
    """
    old = reading.value or ""
    edge = old.strip("[.]")
    new = old.replace(edge, _next(edge, BEYOND[reading.rule]))
    if not reading.doubts:
        return Reading(new, reading.how, (), reading.rule, reading.also)
    doubts = [
        Doubt(doubt.code, doubt.message, tuple(new if told == old else told for told in doubt.suggestions))
        for doubt in reading.doubts
    ]
    return Reading(new, reading.how, tuple(doubts), reading.rule, reading.also)


def _next(edge: str, step: int) -> str:
    """The year, month or day that lies next to this one."""
    if not "1000" <= edge < "9999":
        return edge
    if len(edge) == 4:
        return f"{int(edge) + step:04}"
    if len(edge) == 7:
        year, month = divmod(int(edge[:4]) * 12 + int(edge[5:]) - 1 + step, 12)
        return f"{year:04}-{month + 1:02}"
    return date.fromordinal(date.fromisoformat(edge).toordinal() + step).isoformat()

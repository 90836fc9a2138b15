"""Expressions to EDTF: what one moment leaves out is filled from its neighbour, then the joints become EDTF's marks."""

from __future__ import annotations

from itertools import pairwise
from typing import Final

from crosswalk.values.dates.doubted import DoubtRow, about_expression
from crosswalk.values.dates.edges import edged
from crosswalk.values.dates.edtf import bounds
from crosswalk.values.dates.expressions import Expression
from crosswalk.values.dates.moments import Moment
from crosswalk.values.dates.numeric import impossible_words, nearest, possible

Joined = tuple[str | None, list[DoubtRow]]

_NO_YEAR: Final = ("DT14", "a day or month without a year", ())


def joined(made: Expression) -> Joined:
    """The EDTF string of an expression, and the doubts about it; no string where it cannot be one."""
    moments = made.moments
    _settle_hundreds(moments)
    if any(not moment.year for moment in moments) and any(moment.year and moment.grain == 1 for moment in moments):
        return None, [_NO_YEAR]  # "June to 1961"
    whole = all(moment.year and moment.day for moment in moments) and made.joints == ["slash"]
    fill(moments)
    if made.about_span and set(made.joints) <= {"range", "slash"}:
        moments[1].marks += "~"
    for moment in moments:
        _ordered_by_weekday(moment)
    doubts = [doubt for moment in moments for doubt in moment.doubts] + _calendar(moments)
    if any(not moment.year for moment in moments):
        return None, doubts or [_NO_YEAR]
    if any(code == "DT02" for code, _, _ in doubts):
        return None, doubts
    if made.broken:
        return None, [*doubts, ("DT01", "one end of the span cannot be read", (moments[0].edtf,))]
    text, more = _by_joints(made)
    doubts += more
    return text, doubts + (about_expression(made, text, whole) if text else [])


def _settle_hundreds(moments: list[Moment]) -> None:
    """`1900s` beside other decades is a decade too, no century."""
    if any(moment.year[2:3] != "X" and moment.year[3:] == "X" for moment in moments):
        for moment in moments:
            if moment.year.endswith("XX") and moment.doubts:
                moment.year, moment.doubts = f"{moment.year[:2]}0X", ()


def fill(moments: list[Moment]) -> None:
    """Gives each moment the year, and each day the month, of a neighbour that has one: years from behind first, months
    from before first."""
    for here, after in zip(moments[-2::-1], moments[:0:-1], strict=True):
        here.year = here.year or after.year
    for before, here in pairwise(moments):
        here.year = here.year or before.year
        here.month = here.month or (before.month if here.day else None)
    for here, after in zip(moments[-2::-1], moments[:0:-1], strict=True):
        here.month = here.month or (after.month if here.day else None)


def _ordered_by_weekday(moment: Moment) -> None:
    """`Fri. 9/4/87`: where one order only falls on that day of the week, it is the order."""
    if moment.weekday is None or [code for code, _, _ in moment.doubts] != ["DT03"]:
        return
    days = [first for order in moment.doubts[0][2] if (first := bounds(order)[0])]
    fitting = [day for day in days if day.weekday() == moment.weekday]
    if len(fitting) == 1:
        moment.month, moment.day, moment.doubts = fitting[0].month, fitting[0].day, ()


def _calendar(moments: list[Moment]) -> list[DoubtRow]:
    doubts: list[DoubtRow] = []
    for moment in moments:
        if not (moment.day and moment.month and moment.year.isdigit()):
            continue
        year, month, day = int(moment.year), moment.month, moment.day
        if not possible(year, month, day):
            doubts.append(
                (
                    "DT02",
                    f"the calendar has no such day: {impossible_words(year, month, day)}",
                    nearest(year, month, day),
                )
            )
        elif moment.weekday is not None and (first := bounds(moment.edtf)[0]) and first.weekday() != moment.weekday:
            doubts.append(("DT12", f"{moment.edtf} was another day of the week", ()))
    return doubts


def _by_joints(made: Expression) -> Joined:
    joints, moments = set(made.joints), made.moments
    if made.bound == "between" and len(moments) == 2 and joints <= {"and", "range"}:
        return _between(moments)
    if len(moments) == 1:
        bounded = made.bound not in ("", "between")
        return edged(moments[0], made.bound) if bounded else (moments[0].edtf, [])
    if made.bound in ("before", "after", "latest", "earliest", "until"):
        return None, [("DT08", f'"{made.bound}" stands before more than one date', tuple(m.edtf for m in moments))]
    if joints == {"ie"}:
        return moments[-1].edtf, []
    if joints <= {"range", "slash"} and len(moments) == 2:
        return _span(made)
    if joints == {"or"}:
        return _set(moments, "[]")
    if joints == {"and"}:
        return _set(moments, "{}")
    if joints <= {"and", "range"}:
        return _mixed(made)
    return None, [
        ("DT08", "more than one date, and no telling how they belong together", tuple(m.edtf for m in moments))
    ]


def _between(moments: list[Moment]) -> Joined:
    """One date somewhere in a span: EDTF's "one of a set". Its marks have no place in a set's span."""
    first, last = (Moment(m.year, m.month, m.day) for m in moments)
    if reversed_span(first, last):
        return None, [_reversed(first, last)]
    first.year, last.year = first.year.replace("X", "0"), last.year.replace("X", "9")
    if any(m.month and m.month > 12 for m in (first, last)):
        return f"{first.edtf}/{last.edtf}", [("DT05", "between two seasons", ())]
    start, end = bounds(first.edtf)[0], bounds(last.edtf)[1]
    if first.grain != last.grain and start and end:  # both ends of a set are as fine as the finer one
        width = len(max(first.edtf, last.edtf, key=len))
        return f"[{start.isoformat()[:width]}..{end.isoformat()[:width]}]", []
    return f"[{first.edtf}..{last.edtf}]", []


def _span(made: Expression) -> Joined:
    first, last = made.moments
    if first.grain == 1 and last.grain == 1 and made.joints == ["slash"]:
        return _slash(made, first, last)
    if reversed_span(first, last):
        return None, [_reversed(first, last)]
    text = f"{first.edtf}/{last.edtf}"
    if "slash" in made.joints and not _adjoining(first, last):
        return text, [("DT06", "a span, or two dates", (text, f"{{{first.edtf},{last.edtf}}}"))]
    if first.edtf == last.edtf:
        return first.edtf, []
    if first.month and last.month and (first.month > 12) != (last.month > 12):
        return text, [("DT05", "from a season to a month", (text,))]
    if first.year[3:] == "0" and first.grain == last.grain == 1 and last.year[3:] == "X":
        both = f"{first.year[:3]}X/{last.edtf}"
        return text, [("DT16", "from a year, or from its decade", (both, text))]
    if last.year[3:] == "0" and first.grain == last.grain == 1 and first.year[3:] == "X":
        both = f"{first.edtf}/{last.year[:3]}X"
        return text, [("DT16", "up to a year, or to its decade", (text, both))]
    if first.grain != last.grain and first.year == last.year:
        return text, [("DT16", "one end of the span lies within the other", (first.edtf, last.edtf))]
    return text, []


def _slash(made: Expression, first: Moment, last: Moment) -> Joined:
    text, two = f"{first.edtf}/{last.edtf}", f"{{{first.edtf},{last.edtf}}}"
    if reversed_span(first, last):
        return None, [_reversed(first, last)]
    if made.short_end and _adjoining(first, last):
        return text, [("DT16", "one of the years or both are in doubt", (text,))] if last.marks else []
    return text, [("DT06", "a span, or two dates", (text, two))]


def _adjoining(first: Moment, last: Moment) -> bool:
    """Whether nothing lies between the two, so that a span and two dates mean the same."""
    if (first.month or 0) > 20 and (last.month or 0) > 20:
        return first.year == last.year and last.month == (first.month or 0) + 1
    end, start = bounds(first.edtf)[1], bounds(last.edtf)[0]
    return bool(end and start) and 0 <= (start - end).days <= 1 if end and start else False


def reversed_span(first: Moment, last: Moment) -> bool:
    """Whether the span ends before it begins."""
    start, end = (
        bounds(Moment(first.year, first.month, first.day).edtf)[0],
        bounds(Moment(last.year, last.month, last.day).edtf)[1],
    )
    both_seasons = first.year == last.year and (first.month or 0) > 20 and (last.month or 0) > 20
    return bool(start and end and end < start) or (both_seasons and (last.month or 0) < (first.month or 0))


def _reversed(first: Moment, last: Moment) -> DoubtRow:
    return "DT10", f"{first.edtf} comes after {last.edtf}", (f"{last.edtf}/{first.edtf}",)


def _set(moments: list[Moment], brackets: str) -> Joined:
    members = list(dict.fromkeys(moment.edtf for moment in moments))
    if len(members) == 1:
        return members[0], []
    text = f"{brackets[0]}{','.join(members)}{brackets[1]}"
    if any(_unsettable(moment) for moment in moments):
        return text, [("DT08", "more than one date, which a set cannot hold", tuple(members))]
    if brackets == "[]" and any(moment.grain != moments[0].grain for moment in moments):
        return text, [("DT16", "a date that may be shortened, or a year of its own", tuple(members))]
    if any(_lies_within(one, other) for one in moments for other in moments):
        return text, [("DT16", "one of the dates lies within another", tuple(members))]
    return text, []


def _lies_within(one: Moment, other: Moment) -> bool:
    if one.grain <= other.grain and one.year[3:] != "X" and other.year[3:] != "X":
        return False
    (first, last), (start, end) = bounds(one.edtf), bounds(other.edtf)
    return bool(first and last and start and end and one.edtf != other.edtf and start <= first and last <= end)


def _unsettable(moment: Moment) -> bool:
    return (moment.month or 0) > 12 or bool(moment.time)


def _mixed(made: Expression) -> Joined:
    """`1960-1962, 1965`: spans inside a set; a span of decades is written out, since a set's span takes no X."""
    if all(moment.year[3:] == "X" and moment.grain == 1 for moment in made.moments) and not _any_reversed(made):
        return _decades_written_out(made), []
    parts: list[str] = []
    before = ""
    for moment, joint in zip(made.moments, [*made.joints, "and"], strict=True):
        if joint == "range":
            before = f"{before}{moment.edtf}.."
            continue
        parts.append(before + moment.edtf)
        before = ""
    plain = all(m.year.isdigit() and not m.marks and not _unsettable(m) for m in made.moments)
    text = f"{{{','.join(parts)}}}"
    if not plain or any(part.count("..") > 1 for part in parts) or _any_reversed(made):
        return None, [("DT08", "more than one date, and no telling how they belong together", tuple(parts))]
    return text, []


def _decades_written_out(made: Expression) -> str:
    members: list[str] = []
    for moment, joint_before in zip(made.moments, ["and", *made.joints], strict=True):
        if joint_before == "range":
            members += [f"{ten}X" for ten in range(int(members[-1][:3]) + 1, int(moment.year[:3]))]
        members.append(moment.edtf)
    return "{" + ",".join(members) + "}"


def _any_reversed(made: Expression) -> bool:
    pairs = zip(made.moments, made.moments[1:], made.joints, strict=False)
    return any(joint == "range" and reversed_span(first, last) for first, last, joint in pairs)

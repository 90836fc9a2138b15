"""Doubts about an expression as a whole: which of its ends is meant, what stands beside it, which part of a span."""

from __future__ import annotations

from crosswalk.values.dates.expressions import Expression
from crosswalk.values.dates.moments import Moment

DoubtRow = tuple[str, str, tuple[str, ...]]


def about_expression(made: Expression, text: str, whole: bool) -> list[DoubtRow]:
    """The doubts about an expression that was read as `text`; `whole` says that a slash stands between full dates."""
    return [*_about_ends(made, text), *_about_neighbours(made, text, whole)]


def _about_ends(made: Expression, text: str) -> list[DoubtRow]:
    first, last = made.moments[0], made.moments[-1]
    doubts: list[DoubtRow] = []
    if made.unknown_end:
        doubts.append(("DT16", "the other end of the span is not known", (text, f"{text}/")))
    if made.split_season:
        year, season = int(last.year), last.month
        doubts.append(("DT16", "a season over two years", (text, f"{year}-{season}/{year + 1}-{season}")))
    if (made.about_end and "~" not in first.marks) or (made.about_span and "?" in last.marks):
        doubts.append(("DT16", "one end of the span or both are marked", (text,)))
    if made.joints == ["or"] and last.marks and not first.marks:
        doubts.append(("DT16", "one of the dates or both are uncertain", (text,)))
    if made.vague or (made.feast and not first.day):
        doubts.append(("DT05", "EDTF has no early, middle or late part of a span", _vague_choices(made.moments)))
    return doubts


def _about_neighbours(made: Expression, text: str, whole: bool) -> list[DoubtRow]:
    first = made.moments[0]
    doubts: list[DoubtRow] = []
    if made.glued_c:
        doubts.append(("DT16", "a copyright date, or about", (text, text.replace("~", ""))))
    if made.numbered and first.day:
        doubts.append(("DT16", "a day, or the number of a carrier", (text, f"{first.year}-{first.month:02}")))
    if whole:
        doubts.append(("DT06", "a span, or two dates", (text,)))
    if made.loose:
        doubts.append(("DT08", f'"{made.loose}" may belong to the date', (text,)))
    return doubts


def _vague_choices(moments: list[Moment]) -> tuple[str, ...]:
    year = moments[0].year
    if len(moments) > 1 or moments[0].grain > 1 or not year.endswith("X") or year.endswith("XX"):
        return (moments[0].edtf,)
    ten = year[:3]
    return year, f"{ten}0~/{ten}3~", f"{ten}4~/{ten}6~", f"{ten}7~/{ten}9~"

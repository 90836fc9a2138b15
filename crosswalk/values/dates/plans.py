"""Wordings that differ only in their years and days are taken apart once: the next one is filled in.

The figures of a text are sorted into classes whose members the grammar cannot tell apart: a year of four figures, a
year of two, a day from 13 to 28 (never a month, in every month). A plan is what the grammar made of one text with the
classes' members cut out. It is kept only where two further members give what the plan says, and never where figures
stand in a relation that the grammar looks at (a day of the week, a year beside another figure, ends in reverse).
"""

from __future__ import annotations

import re
from collections.abc import Callable

import msgspec

from crosswalk.values.dates.lexer import LONGEST, plain, tokens
from crosswalk.values.reading import Context, Doubt, Reading
from crosswalk.values.remembered import PerContext

_FIGURE = re.compile(r"(?<![\w':.\u2032])(\d{4}|\d\d)(?![\w':\u2032]|\.\d)", re.ASCII)
# Figures in a relation that the grammar looks at: a short one behind a year, a year or decade left in the text.
_GAP = "[^A-Za-z\x00-\x1f]{0,12}"
_RELATED = re.compile(
    f"[\x00\x01]{_GAP}(?:(?:to|or|and|thru|through|un?til|bis|et|y|al?|au){_GAP})?[\\d\x04\x05]|\\d{{3}}|\\d\\d[?xu_*–-]{{2}}"
)
# Words that make the last figure, or the size of a figure, matter.
_DECADE = re.compile(r"a[nñ][oñ]s|ann[eé]es|d[eé]c[aeé]d|d[eé]cenn?|cent|jahrh|jh|si[eè]cle", re.IGNORECASE)
# First and second year, first and second day; \x02 before a year of two figures. Texts that hold such have no plan.
_SLOTS = "\x00\x01\x04\x05"
_LITERAL = ("", "")
_CLASSES = {
    **{f"{year}": ("year", f"{year}") for year in range(1901, 2027)},
    **{f"{two}": ("year", f"19{two}") for two in range(36, 100)},
    **{f"{day}": ("day", f"{day}") for day in range(13, 29)},
}
_PROBES = (("1957", "1968", "17", "24"), ("1940", "1999", "14", "27"))
_MOST_PLANS = 20_000

Considered = Callable[[str, Context], Reading]


class _Plan(msgspec.Struct, frozen=True):
    """A reading with slots, and how often a text of this wording could not be planned."""

    reading: Reading | None
    refused: int = 0


_plans: PerContext[_Plan] = PerContext(most=_MOST_PLANS)


def planned(text: str, context: Context, considered: Considered) -> Reading:
    """The reading of the text: filled into a plan where there is one, otherwise considered, and a plan made of it."""
    members: list[str] = []
    if len(text) > LONGEST or not text.isprintable() or (key := _key(text, members)) is None:
        return considered(text, context)
    plans = _plans.of(context)
    plan = plans.get(key)
    if plan and plan.reading:
        return _filled(plan.reading, members)
    reading = considered(text, context)
    if not plan or plan.refused < 3:
        plans[key] = _made(key, members, reading, context, considered) or _Plan(None, plan.refused + 1 if plan else 1)
    return reading


def _key(text: str, members: list[str]) -> str | None:
    """The text with slots for its figures, whose members are put into the list: two years and two days, or gaps."""
    parts = _FIGURE.split(text)
    years: list[str] = []
    days: list[str] = []
    for at in range(1, len(parts), 2):
        kind, member = _CLASSES.get(parts[at], _LITERAL)
        if kind == "day":
            parts[at] = _slot(days, member, 2)
        elif kind == "year":
            parts[at] = _slot(years, member, 0) if len(parts[at]) == 4 else "\x02" + _slot(years, member, 0)
    apart = (_apart(years) if len(years) > 1 else "") + (_apart(days) if len(days) > 1 else "")
    key = "".join(parts) + apart
    if "-" in apart or ("\x02" in key and years[-1] >= "2000"):  # a short year behind a year of this century
        return None
    members += (years[0] if years else "", years[1] if len(years) > 1 else "")
    members += (days[0] if days else "", days[1] if len(days) > 1 else "")
    return key


def _slot(seen: list[str], figure: str, first: int) -> str:
    if figure in seen:
        return _SLOTS[first + (seen[0] != figure)]
    seen.append(figure)
    return _SLOTS[first + (len(seen) > 1)]


def _apart(figures: list[str]) -> str:
    """How the second of two figures follows the first: next to it, well after it, or otherwise."""
    step = int(figures[1]) - int(figures[0]) if len(figures) == 2 else 0
    return "\x06" if step == 1 else "\x07" if step > 1 else "-"


def _made(key: str, members: list[str], reading: Reading, context: Context, considered: Considered) -> _Plan | None:
    if not members[0] and not members[2]:
        return _Plan(reading)
    window = Context()
    usual = (context.earliest_year, context.latest_year, context.century_pivot)
    if "\x02" in key and usual != (window.earliest_year, window.latest_year, window.century_pivot):
        return None  # another window may put the years of two figures into two centuries
    if _RELATED.search(key) or _DECADE.search(key):
        return None
    cut = _mapped(reading, lambda part: _cut(part, members))
    for usual_probe in _PROBES:
        probe = _stepped(usual_probe, members)
        text = _written(key, probe)
        if any(token.kind == "weekday" for token in tokens(plain(text))):
            return None
        if considered(text, context) != _filled(cut, list(probe)):
            return None
    return _Plan(cut)


def _stepped(probe: tuple[str, ...], members: list[str]) -> tuple[str, ...]:
    """The probe with a second figure next to the first where the members stand so."""
    year, other, day, other_day = probe
    if members[1] and int(members[1]) - int(members[0]) == 1:
        other = f"{int(year) + 1}"
    if members[3] and int(members[3]) - int(members[2]) == 1:
        other_day = f"{int(day) + 1}"
    return year, other, day, other_day


def _written(key: str, members: tuple[str, ...]) -> str:
    for slot, member in zip(_SLOTS, members, strict=True):
        key = key.replace("\x02" + slot, member[2:]).replace(slot, member)
    return key.rstrip("\x06\x07")


def _cut(part: str, members: list[str]) -> str:
    first, second, day, other_day = members
    if second:
        part = part.replace(second, _SLOTS[1])
    if first:
        part = part.replace(first, _SLOTS[0])
    if other_day:
        part = part.replace("-" + other_day, "-" + _SLOTS[3])
    return part.replace("-" + day, "-" + _SLOTS[2]) if day else part


def _filled(reading: Reading, members: list[str]) -> Reading:
    if not reading.doubts and reading.value is not None and not reading.also:
        return Reading(_fill(reading.value, members), reading.how, (), reading.rule)
    return _mapped(reading, lambda part: _fill(part, members))


def _fill(part: str, members: list[str]) -> str:
    if members[0]:
        part = part.replace("\x00", members[0])
    if members[1]:
        part = part.replace("\x01", members[1])
    if members[2]:
        part = part.replace("\x04", members[2])
        if members[3]:
            part = part.replace("\x05", members[3])
    return part


def _mapped(reading: Reading, change: Callable[[str], str]) -> Reading:
    doubts = tuple(Doubt(d.code, change(d.message), tuple(map(change, d.suggestions))) for d in reading.doubts)
    value = None if reading.value is None else change(reading.value)
    also = tuple((kind, change(told)) for kind, told in reading.also)
    return Reading(value, reading.how, doubts, reading.rule, also)

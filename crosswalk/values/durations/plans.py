"""Wordings that differ only in their figures are taken apart once: the next length is added up.

The figures of a text are sorted into classes whose members the grammar cannot tell apart: 10 to 23 (hours or minutes)
and 24 to 59. A plan is how many seconds one of each figure stands for. It is kept only for readings without a doubt,
and only where further members give what the plan says.
"""

from __future__ import annotations

import re
from collections.abc import Callable
from operator import mul

import msgspec

from crosswalk.values.durations.lexer import LONGEST
from crosswalk.values.reading import Context, Reading
from crosswalk.values.remembered import PerContext

_FIGURE = re.compile(r"(?<![\d.,;])(\d\d)(?!\d|[.,;]\d)", re.ASCII)
_CLASSES = {f"{figure}": (0xE000 if figure < 24 else 0xE010) for figure in range(10, 60)}
_MEMBERS = {0xE000: (11, 13, 17, 19, 22), 0xE010: (29, 31, 37, 43, 53)}
# Seconds that are a multiple of five count against a clock such as 3:45 behind a label, so that figures tell apart.
_RELATED = re.compile("(?<![\\d:\ue000-\uf8ff])[\\dOoIl]{1,2} ?: ?[\ue000-\uf8ff](?! ?:)")
_WHOLE = re.compile(r"(\d\d):(\d\d):(\d\d)")
_RESERVED = re.compile("[\ue000-\uf8ff]")
_TWO = tuple(f"{number:02}" for number in range(1000))
_MOST_PLANS = 20_000
_MOST_FIGURES = 4
_COMPARED = "content-of-a-carrier"  # the rule of readings that hold as long as one figure is the larger

Considered = Callable[[str, Context], Reading]


class _Plan(msgspec.Struct, frozen=True):
    """Seconds for one of each figure, seconds beside them, and a reading of this wording; no reading: no plan."""

    reading: Reading | None
    each: tuple[int, ...] = ()
    beside: int = 0
    refused: int = 0


_plans: PerContext[_Plan] = PerContext(most=_MOST_PLANS)


def planned(text: str, context: Context, considered: Considered) -> Reading:
    """The reading of the text: added up by a plan where there is one, otherwise considered, and a plan made of it."""
    if len(text) > LONGEST or _RESERVED.search(text) or context.capacity_ms is not None:
        return considered(text, context)
    key, figures = _key(text)
    if not figures or len(figures) > _MOST_FIGURES:
        return considered(text, context)
    plans = _plans.of(context)
    plan = plans.get(key)
    if plan and plan.reading:
        return _filled(plan, figures)
    reading = considered(text, context)
    if not plan or plan.refused < 3:
        made = _made(key, figures, reading, lambda probe: considered(probe, context))
        plans[key] = made or _Plan(None, refused=plan.refused + 1 if plan else 1)
    return reading


def _key(text: str) -> tuple[str, list[int]]:
    """The text with slots for its figures, and the figures; a figure that comes again has the same slot."""
    parts = _FIGURE.split(text)
    figures: list[int] = []
    for at in range(1, len(parts), 2):
        start = _CLASSES.get(parts[at])
        if start is not None:
            figure = int(parts[at])
            if figure not in figures:
                figures.append(figure)
            parts[at] = chr(start + figures.index(figure))
    return "".join(parts), figures


def _made(key: str, figures: list[int], reading: Reading, read: Callable[[str], Reading]) -> _Plan | None:
    base = _seconds(reading)
    if base is None or reading.rule == _COMPARED or _RELATED.search(key):
        return None
    each: list[int] = []
    for at, figure in enumerate(figures):
        other = _other(key, at, figures, 0)
        seconds = _seconds(read(_written(key, [*figures[:at], other, *figures[at + 1 :]])))
        if seconds is None or (seconds - base) % (other - figure):
            return None
        each.append((seconds - base) // (other - figure))
    beside = base - sum(share * figure for share, figure in zip(each, figures, strict=True))
    plan = _Plan(reading, tuple(each), beside)
    largest = plan.beside + 60 * sum(map(abs, each))
    return plan if largest < 999 * 3600 and min([beside, *each]) >= 0 and _holds(plan, key, figures, read) else None


def _holds(plan: _Plan, key: str, figures: list[int], read: Callable[[str], Reading]) -> bool:
    for turn in (1, 2):
        probe: list[int] = []
        for at in range(len(figures)):
            probe.append(_other(key, at, figures + probe, turn))
        if read(_written(key, probe)) != _filled(plan, probe):
            return False
    return True


def _other(key: str, at: int, taken: list[int], turn: int) -> int:
    members = _MEMBERS[0xE000 if chr(0xE000 + at) in key else 0xE010]
    free = [member for member in members if member not in taken] or [members[0]]
    return free[turn % len(free)]


def _written(key: str, figures: list[int]) -> str:
    for at, figure in enumerate(figures):
        key = key.replace(chr(0xE000 + at), str(figure)).replace(chr(0xE010 + at), str(figure))
    return key


def _seconds(reading: Reading) -> int | None:
    match = _WHOLE.fullmatch(reading.value or "") if reading.settled else None
    return (int(match[1]) * 60 + int(match[2])) * 60 + int(match[3]) if match else None


def _filled(plan: _Plan, figures: list[int]) -> Reading:
    total = sum(map(mul, plan.each, figures), plan.beside)
    reading = plan.reading
    assert reading is not None
    value = f"{_TWO[total // 3600]}:{_TWO[total // 60 % 60]}:{_TWO[total % 60]}"
    return Reading(value, reading.how, (), reading.rule, reading.also)

"""A column as evidence: what one value leaves open, its neighbours may decide. And a reader that remembers."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterable

import msgspec
from msgspec.structs import replace

from crosswalk.values.dates.numeric import orders
from crosswalk.values.durations.words import UNIT_OF_COLUMN
from crosswalk.values.reading import NO_CONTEXT, Context, Parser, Reading
from crosswalk.values.registry import parser

CONTRADICTS = ("column-contradicts", "day and month")

_COUNT = re.compile(r"\s*(\d{5})(?:\.\d+)?\s*")
_YEAR_AND_TWO = re.compile(r"\s*\d\d(\d\d)-(\d\d)\s*", re.ASCII)
_EDTF_ONLY = re.compile(r"\d[~%X]|^\.\./|/\.\.$")

_CLOCK = re.compile(r"(?<![\d:;.])(\d{1,3}):(\d\d)(:\d\d)?(?![\d:;.])\s*(h|hr|hrs|hours?|std)?\b", re.IGNORECASE)
_POINT = re.compile(
    r"(?<![\d.:])\d{0,3}\.(\d\d)(?![\d.:])(?!\s*(?:ft|feet|foot|h|hrs?|hours?|s|secs?|in|cm)\b)", re.IGNORECASE
)
_BARE = re.compile(r"\s*(\d{1,6})(?:\.0*)?\s*")

_YEARS = range(1880, 2036)
ENOUGH_POINTS = 6  # six hundredths below 60 in a row happen by chance in fewer than one column in twenty
SURE_MINUTES = 10  # ten hours before the colon fit on no carrier
SURE_SECONDS = 600  # six hundred minutes neither


def column_context(kind: str, texts: Iterable[str], context: Context = NO_CONTEXT) -> Context:
    """The context, with what the column's texts decide filled in where it was open. One impossible reading decides;
    evidence both ways decides nothing, and the values stay doubts.

    >>> column_context("date", ["3/4/87", "13/4/87"]).day_first
    True
    >>> column_context("duration", ["1:30", "58:30"]).minutes_first
    True
    """
    look = _EVIDENCE.get(kind)
    return look(set(texts), context) if look else context


class ColumnReader:
    """Reads the values of one column; each distinct wording is taken apart once."""

    def __init__(self, kind: str, context: Context = NO_CONTEXT) -> None:
        self._memo = _Memo(parser(kind), context)
        self.read: Callable[[str], Reading] = self._memo.__getitem__

    def read_all(self, texts: Iterable[str]) -> list[Reading]:
        """The readings of all the texts, in order.

        >>> [reading.value for reading in ColumnReader("date").read_all(["9/87", "9/87"])]
        ['1987-09', '1987-09']
        """
        return list(map(self.read, texts))


class _Memo(dict[str, Reading]):
    def __init__(self, read: Parser, context: Context) -> None:
        super().__init__()
        self._read, self._context = read, context

    def __missing__(self, text: str) -> Reading:
        reading = self[text] = self._read(text, self._context)
        return reading


class _DateSigns(msgspec.Struct):
    day_first: bool = False
    month_first: bool = False
    counts: int = 0
    sure_counts: int = 0
    edtf_only: bool = False
    months: bool = False  # 1985-04: no span
    spans: bool = False  # 1985-97: no month


def _dates(texts: set[str], context: Context) -> Context:
    signs = _DateSigns()
    for text in texts:
        _date_signs(text, signs)
    found = context
    if context.day_first is None and signs.day_first != signs.month_first:
        found = replace(found, day_first=signs.day_first)
    elif context.day_first is None and signs.day_first:
        found = replace(found, options=(*found.options, CONTRADICTS))
    if context.day_counts is None and signs.sure_counts and signs.counts > 1:
        found = replace(found, day_counts=True)
    if signs.months != signs.spans:
        found = replace(found, options=(*found.options, ("year-month", "month" if signs.months else "span")))
    if signs.edtf_only and _all_edtf(texts):
        found = replace(found, options=(*found.options, ("edtf", "true")))
    return found


def _date_signs(text: str, signs: _DateSigns) -> None:
    day_first, month_first = orders(text)
    signs.day_first, signs.month_first = signs.day_first or day_first, signs.month_first or month_first
    count = _COUNT.fullmatch(text)
    if count:
        signs.counts += 1
        signs.sure_counts += 21000 <= int(count[1]) < 48000
    year_and_two = _YEAR_AND_TWO.fullmatch(text)
    if year_and_two:
        signs.spans = signs.spans or int(year_and_two[2]) > 24
        signs.months = signs.months or int(year_and_two[2]) <= min(12, int(year_and_two[1]))
    signs.edtf_only = signs.edtf_only or bool(_EDTF_ONLY.search(text))


def _all_edtf(texts: set[str]) -> bool:
    from crosswalk.values.dates import is_edtf

    return all(is_edtf(text.strip()) for text in texts if text.strip())


class _LengthSigns(msgspec.Struct):
    minutes_first: bool = False
    hours_first: bool = False
    hundredths: bool = False
    sixtieths: int = 0
    figures: int = 0  # without a unit
    large_figures: int = 0


def _lengths(texts: set[str], context: Context) -> Context:
    signs = _LengthSigns()
    for text in texts:
        _length_signs(text, signs)
    found = context
    if context.minutes_first is None and signs.minutes_first != signs.hours_first:
        found = replace(found, minutes_first=signs.minutes_first)
    if context.point_is_clock is None and (signs.hundredths or signs.sixtieths >= ENOUGH_POINTS):
        found = replace(found, point_is_clock=not signs.hundredths)
    # A column of seconds is figures, most of them too large for minutes; in a mixed column each stands for itself.
    if not context.bare_unit and 2 * signs.large_figures > signs.figures and 2 * signs.figures > len(texts):
        found = replace(found, bare_unit="s", options=(*found.options, UNIT_OF_COLUMN))
    return found


def _length_signs(text: str, signs: _LengthSigns) -> None:
    for match in _CLOCK.finditer(text):
        if not match[3]:
            signs.hours_first = signs.hours_first or bool(match[4])
            signs.minutes_first = signs.minutes_first or (not match[4] and int(match[1]) >= SURE_MINUTES)
    for point in _POINT.finditer(text):
        signs.hundredths = signs.hundredths or int(point[1]) >= 60
        signs.sixtieths += point[1] != "00"
    bare = _BARE.fullmatch(text)
    if bare:
        signs.figures += 1
        signs.large_figures += int(bare[1]) > SURE_SECONDS and int(bare[1]) not in _YEARS


_EVIDENCE: dict[str, Callable[[set[str], Context], Context]] = {"date": _dates, "duration": _lengths}

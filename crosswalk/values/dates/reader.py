"""Date texts to EDTF. The whole text is tried first as EDTF, as a day count, as "no date"; then it is taken apart."""

from __future__ import annotations

import re

from msgspec.structs import replace

from crosswalk.values.dates import words
from crosswalk.values.dates.beside import notes
from crosswalk.values.dates.counts import serial
from crosswalk.values.dates.doubted import DoubtRow
from crosswalk.values.dates.edges import BEYOND, stepped
from crosswalk.values.dates.edtf import is_edtf
from crosswalk.values.dates.expressions import Expression, Parsed
from crosswalk.values.dates.grammar import Grammar
from crosswalk.values.dates.joining import joined
from crosswalk.values.dates.lexer import LONGEST, plain, tokens
from crosswalk.values.dates.numeric import orders, own_order
from crosswalk.values.dates.plans import planned
from crosswalk.values.dates.quick import quick
from crosswalk.values.reading import NO_CONTEXT, Context, Doubt, How, Reading, refused

_NUMBER = re.compile(r"\d{4,5}(?:\.\d{1,12})?", re.ASCII)
_YEAR_FLOAT = re.compile(r"(\d{4})\.0+", re.ASCII)
_LETTERS = re.compile(r"[^a-z]+")
_MIDNIGHT = re.compile(r"0?0:00(?::00)?|12:00(?::00)? ?a\.?m\.?")
_DAY_AS_MOMENT = re.compile(r"(\d{4}-\d\d-\d\d)T00:00:00(?:\.0{1,9})?(?:Z|\+00:00)", re.ASCII)
_EMPTY_CELL = re.compile(
    r"1899-12-3[01](?:[T ]00:00(?::00)?)?|1900-01-00|12/3[01]/1899|0?1/00?/(?:19)?00|00?/0?1/(?:19)?00"
)
_BULK = re.compile(
    r"(.{4,60}?),? ?[(\[]?\b((?:bulk|mostly|mainly|chiefly|predominantly|vor allem|meist|surtout|principalement"
    r"|principalmente|sobre todo)\b.{4,40}?)[)\]]?",
    re.IGNORECASE,
)
_DRAFT = re.compile(r"(?<=\d)/(?:open|unknown)$|^unknown/(?=\d)|\?~$", re.IGNORECASE)  # of the drafts before 2019
_DRAFTED = {"/open": "/..", "/unknown": "/", "unknown/": "/", "?~": "%"}
_EPOCH = re.compile(r"1970-01-01[T ]00:00(?::00)?(?:\.0+)?Z?", re.ASCII)  # what programs make of no date at all
_BARE_SPAN = re.compile(r"\d{4}/\d{4}", re.ASCII)
# Left to the grammar although it is EDTF: a month or a span (2003-04, 1985?-06).
_YEAR_MONTH = re.compile(r"\d{4}[?~%]?-[?~%]?\d\d", re.ASCII)
_YEARS = re.compile(r"(?:^|[/\[{,.])(\d[\dX]{3})")
_DOTTED = re.compile(r"(?<![\d.])\d{1,2}\.\d{1,2}\.(?:\d\d)?\d\d(?![\d.])", re.ASCII)
_WORD = re.compile("[a-z]+")
_LETTER = re.compile("[A-Za-z]{3}")
FIRST_DAY = "1900-01-01"  # the first of a workbook, and what databases take for a missing date
_ANY_FIGURES = re.compile(r"(?=.*[?x_])[12]\d[\d?xX_]{2}-[\d?xX_]{2}-[\d?xX_]{2}", re.ASCII)
LATEST_SENSE = 2035
EARLIEST_SENSE = 1500  # an older year is more likely a shelf number; common practice, no source


def read_date(text: str, context: Context = NO_CONTEXT) -> Reading:
    """The date as EDTF: levels 0 and 1, and of level 2 sets and dates with a part marked or open.

    A value with a doubt is a proposal.

    >>> read_date("[ca. 1962?]").value
    '1962%'
    >>> read_date("Apr 30-May 2, 1987").value
    '1987-04-30/1987-05-02'
    >>> [doubt.code for doubt in read_date("31.4.87").doubts]
    ['DT02']
    """
    shortly = quick(text, context)
    if shortly:
        return shortly
    reading = planned(text, context, considered)
    return stepped(reading) if reading.rule in BEYOND else reading


def considered(text: str, context: Context) -> Reading:
    """The reading by the whole grammar, without the shortcut for usual shapes and before `stepped`.

    Where one date of the text decides the order of day and month, it decides it for all of them.
    """
    reading = _considered(text, context)
    if context.day_first is not None or not any(doubt.code == "DT03" for doubt in reading.doubts):
        return reading
    order = own_order(text)
    if order is None and _dotted_in_a_language_of_days(text):
        order = True
    return reading if order is None else _considered(text, replace(context, day_first=order))


def _dotted_in_a_language_of_days(text: str) -> bool:
    dates = _DOTTED.findall(text)
    return bool(dates) and not any(orders(text)) and not words.DAY_FIRST.isdisjoint(_WORD.findall(plain(text)))


def _considered(text: str, context: Context) -> Reading:
    stripped = text.strip()
    bulk = _BULK.fullmatch(stripped)
    if bulk:
        return _with_bulk(_considered(bulk[1], context), bulk[2])
    if not stripped:
        return refused("DT04", "there is no date here")
    if _EMPTY_CELL.fullmatch(stripped):
        return refused("DT04", "day 0 of a workbook's count, which stands for an empty cell")
    if len(stripped) > LONGEST:
        return refused("DT01", f"{len(stripped)} characters are too many for a date")
    ways = (_day_as_moment, _exact, _open_figures, _count)
    whole = next((reading for way in ways if (reading := way(stripped, context))), None)
    reading = whole or _worded(stripped, context)
    if (reading.value == FIRST_DAY and not _LETTER.search(stripped)) or _EPOCH.fullmatch(stripped):
        doubt = ("DT11", "programs fill empty cells with this day", ())
        return _reading(reading.value, [doubt], How.PATTERN, "date-words")
    return reading


def _with_bulk(whole: Reading, bulk: str) -> Reading:
    """The inclusive dates, with the dates of most of it beside them (DACS 2.4.10)."""
    return replace(whole, also=(*whole.also, ("note", bulk))) if whole.settled else whole


def _exact(text: str, context: Context) -> Reading | None:
    """Text that is EDTF already, or a draft of it. `-1974` is left to the grammar: it is written for "until", not for
    years before 0."""
    text = _DRAFT.sub(lambda found: _DRAFTED[found[0].lower()], text)
    if text[0] == "-" or not (text[0].isdigit() or text[0] in "[{Y./") or not is_edtf(text):
        return None
    if (
        _YEAR_MONTH.fullmatch(text)
        or text.endswith("T00:00:00")
        or (text[0] == "[" and ".." not in text and "," not in text)
    ):
        return None
    doubts = _sense(text, context)
    if _BARE_SPAN.fullmatch(text) and ("edtf", "true") not in context.options:
        if text[:4] > text[5:]:
            return None
        doubts.append(("DT06", "a span, or two dates", (text, "{" + text.replace("/", ",") + "}")))
    return _reading(text, doubts, How.EXACT)


def _day_as_moment(text: str, context: Context) -> Reading | None:
    """`1979-11-23T00:00:00Z`: how programs write a day."""
    day = _DAY_AS_MOMENT.fullmatch(text)
    return _reading(day[1], _sense(day[1], context), How.PATTERN, "day-as-moment") if day and is_edtf(day[1]) else None


def _open_figures(text: str, context: Context) -> Reading | None:
    """`1995-09-1?`, `199x-09-14`: single figures that were left open, EDTF level 2."""
    written = _ANY_FIGURES.fullmatch(text)
    edtf = re.sub("[?x_]", "X", text)
    return _reading(edtf, _sense(edtf, context), How.PATTERN, "open-figures") if written and is_edtf(edtf) else None


def _count(text: str, context: Context) -> Reading | None:
    year = _YEAR_FLOAT.fullmatch(text)
    if year and context.earliest_year <= int(year[1]) <= context.latest_year:
        return _reading(year[1], _sense(year[1], context), How.PATTERN, "year-as-number")
    if not _NUMBER.fullmatch(text) or (len(text) == 4 and text.isdigit()):
        return None
    moment = serial(text, context)
    return _reading(moment.edtf, list(moment.doubts), How.PATTERN, "workbook-day-count") if moment else None


def _worded(text: str, context: Context) -> Reading:
    cleaned = plain(text)
    if _LETTERS.sub("", cleaned) in words.NO_DATE and not any(map(str.isdigit, cleaned)):
        return refused("DT04", "the text says that no date is known")
    if not any(map(str.isalnum, cleaned)):
        return refused("DT04" if len(cleaned) < 6 else "DT01", "there is no date here")
    parsed = Grammar(tokens(cleaned), context).parse()
    if parsed.left:
        parsed.notes = notes(text, parsed)
    if not parsed.expressions:
        return refused("DT01", "no date can be made of this text")
    if len(parsed.expressions) > 1:
        return _several(parsed, context)
    return _one(parsed.expressions[0], parsed, context)


def _one(made: Expression, parsed: Parsed, context: Context) -> Reading:
    value, doubts = joined(made)
    doubts += _surroundings(made, parsed, value) + (_sense(value, context) if value else [])
    if value is None:
        return _reading(None, doubts, How.UNREAD)
    rule = made.bound if made.bound in BEYOND and ".." in value else "prose" if parsed.others else "date-words"
    return _reading(value, doubts, How.PATTERN, rule, _also(made, parsed))


def _surroundings(made: Expression, parsed: Parsed, value: str | None) -> list[DoubtRow]:
    """Doubts that come from the words around: a bare year in a title, "unsure"."""
    if value is None:
        return []
    doubts: list[DoubtRow] = []
    if parsed.unsure:
        doubts.append(("DT05", f'the text also says "{parsed.unsure[0]}"', (value,)))
    if parsed.strays:
        doubts.append(("DT08", f'"{parsed.strays[0]}" may belong to the date', (value,)))
    coarse = all(moment.grain == 1 for moment in made.moments)
    counted = parsed.counted and not made.led
    if coarse and not made.dated and (counted or any(any(map(str.isdigit, other)) for other in parsed.others)):
        doubts.append(("DT08", "there are other figures beside the date", (value,)))
    elif parsed.others and coarse and not made.cued:
        doubts.append(("DT13", "a year inside a text may be part of a title", (value,)))
    return doubts


def _sense(value: str, context: Context) -> list[DoubtRow]:
    """A doubt about a year that lies wholly outside what is likely."""
    latest = max(context.latest_year, LATEST_SENSE)
    for year in _YEARS.findall(value):
        open_millennium = year[1] == "X"
        if open_millennium or int(year.replace("X", "9")) < EARLIEST_SENSE or int(year.replace("X", "0")) > latest:
            return [("DT11", f"the year {year} lies outside what is likely", ())]
    return [("DT11", "the year lies outside what is likely", ())] if value[0] in "Y-" else []


def _also(made: Expression, parsed: Parsed) -> tuple[tuple[str, str], ...]:
    """What else the text said: a time of day that EDTF cannot carry, what kind of date it is, words that tell of
    other things."""
    times = [moment.beside for moment in made.moments if moment.beside] + parsed.times
    told = [("time", time) for time in dict.fromkeys(times) if not _MIDNIGHT.fullmatch(time)]
    kinds = list(dict.fromkeys(parsed.date_types))
    told += [("date-type", kinds[0])] if len(kinds) == 1 else []
    return (*told, *(("note", note) for note in parsed.notes))


def _several(parsed: Parsed, context: Context) -> Reading:
    readings = [_one(made, parsed, context) for made in parsed.expressions]
    agreed = next((reading for reading in readings if reading.settled), readings[0])
    if all(_agrees(reading, agreed.value) for reading in readings):
        return agreed
    fine = tuple(dict.fromkeys(reading.value for reading in readings if reading.value))
    return _reading(None, [("DT08", "the text names more than one date", fine)], How.UNREAD)


def _agrees(reading: Reading, value: str | None) -> bool:
    """Whether a date is the one of that value, or may be: `9/4/87 (Sept. 4, 1987)`."""
    undecided = reading.doubts and reading.doubts[0].code == "DT03" and value in reading.doubts[0].suggestions
    return value is not None and (reading.value == value or bool(undecided)) and reading.rule not in BEYOND


def _reading(
    value: str | None, doubts: list[DoubtRow], how: How, rule: str = "", also: tuple[tuple[str, str], ...] = ()
) -> Reading:
    distinct = dict.fromkeys(Doubt(*doubt) for doubt in doubts)
    return Reading(value, how, tuple(distinct), rule, also)

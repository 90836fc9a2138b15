"""Length texts to `HH:MM:SS`. The whole text is tried first as what programs write; then it is taken apart."""

from __future__ import annotations

import re
from fractions import Fraction

import msgspec

from crosswalk.values.durations import words
from crosswalk.values.durations.beside import notes
from crosswalk.values.durations.carried import put_together, recorded
from crosswalk.values.durations.clocks import DoubtRow, Length
from crosswalk.values.durations.grammar import Found, Grammar
from crosswalk.values.durations.lengths import Term
from crosswalk.values.durations.lexer import LONGEST, plain, stated_form, stated_rate, tokens
from crosswalk.values.durations.mends import drawn_together, figures_for_letters, times_in_figures
from crosswalk.values.durations.plans import planned
from crosswalk.values.durations.quick import quick
from crosswalk.values.durations.times import from_seconds
from crosswalk.values.durations.workbook import written_by_a_program
from crosswalk.values.reading import NO_CONTEXT, Context, Doubt, How, Reading, refused
from crosswalk.values.timecodes import rate

_EXACT = re.compile(r"0\d:[0-5]\d:[0-5]\d(?:\.\d{3})?")
_FLOAT = re.compile(r"(\d{1,7})(?:[.,](\d{1,17}))?")
_THOUSANDS = re.compile(r",(?=\d{3}(?:\D|$))")
_FRAMES = re.compile(r"(\d{1,3}(?:,\d{3}){1,2}|\d{1,8}) ?(?:f|fr|frs|frames?|bilder|images)\.?,?", re.ASCII)
_LETTERS = re.compile(r"[^a-z]+")
UNITS = {"h": 3600, "min": 60, "s": 1}  # of bare figures, as a mapping states them
LONGEST_MINUTES = 600  # no carrier in use holds ten hours, so a larger bare number counts seconds
_YEARS = range(1880, 2036)
LONG_PROSE = 25
PROSE = 5  # so many other words make a text in which a clock may be a time of day


def read_duration(text: str, context: Context = NO_CONTEXT) -> Reading:
    """The length as `HH:MM:SS`, with `.mmm`, `:FF` or `;FF` where written. A value with a doubt is a proposal.

    >>> read_duration("1 hr 15").value, read_duration("2 x 60'").value, read_duration("00:58:30;12").value
    ('01:15:00', '02:00:00', '00:58:30;12')
    >>> [doubt.code for doubt in read_duration("1:30").doubts]
    ['DU03']
    """
    return quick(text, context) or planned(text, context, considered)


def considered(text: str, context: Context) -> Reading:
    """The reading by the whole grammar, without the shortcut for usual shapes."""
    stripped = text.strip()
    if _EXACT.fullmatch(stripped) and stripped[:8] != "00:00:00":
        return _limited(Reading(stripped, How.EXACT), Fraction(0), context)
    if len(stripped) > LONGEST:
        return refused("DU01", f"{len(stripped)} characters are too many for a length")
    machine = written_by_a_program(stripped, context)
    return _settled(machine[0], machine[1], context) if machine else _worded(stripped, context)


def _worded(text: str, context: Context) -> Reading:
    mended = figures_for_letters(text)
    if mended != text:
        reading = _worded(mended, context)
        return msgspec.structs.replace(reading, rule="figures-for-letters") if reading.settled else reading
    cleaned, form = stated_form(times_in_figures(drawn_together(plain(text))))
    if form == "minutes":
        context = msgspec.structs.replace(context, point_is_clock=True)
    cleaned, fps = stated_rate(cleaned)
    if fps and (by_frames := _by_frames(cleaned, fps, context)):
        return by_frames
    if _FLOAT.fullmatch(cleaned):
        return _bare(cleaned, context)
    if not any(map(str.isalnum, cleaned)) or (
        _LETTERS.sub("", cleaned) in words.NO_LENGTH and not re.search(r"\d", cleaned)
    ):
        return refused("DU05" if len(cleaned) < 40 else "DU01", "there is no length here")
    row = tokens(cleaned)
    turning = True if any(token.text in words.TURNING for token in row) else None
    found = Grammar(row, context, {"minutes": True, "hours": False}.get(form, turning)).parse()
    content = recorded(found, row)
    if content:
        room = next(term.length.text for term in found.terms if term.holds)
        also = (*_approximate(found), ("capacity", room))
        reading = _settled(content.length, "content-of-a-carrier", context, [], also)
        return _with_notes(reading, notes(text, found, [content], row)) if reading.settled else reading
    put_together(found, row)
    chosen = _chosen(found)
    if isinstance(chosen, Reading):
        return chosen
    if not chosen:
        return _no_length(found, context)
    if len({term.length.text for term in chosen}) > 1:
        return _several(chosen)
    reading = _one(chosen[0], found, context)
    told = notes(text, found, chosen, row) if reading.settled and len(row) > 1 else ()
    return _with_notes(reading, told) if told else reading


def _with_notes(reading: Reading, told: tuple[str, ...]) -> Reading:
    also = (*reading.also, *(("note", note) for note in told))
    return Reading(reading.value, reading.how, reading.doubts, reading.rule, also)


def _by_frames(text: str, fps: str, context: Context) -> Reading | None:
    """A length whose rate is stated: so many frames, or a timecode, whose last figure the rate limits."""
    try:
        per_second = rate(fps)
    except ValueError:
        return None
    count = _FRAMES.fullmatch(text)
    if count:
        return _settled(Length(int(count[1].replace(",", "")) / per_second), "frames-at-a-rate", context)
    return _worded(text, msgspec.structs.replace(context, fps=context.fps or fps))


def _chosen(found: Found) -> list[Term] | Reading:
    """The lengths that count, or why none does."""
    whole = [term for term in found.terms if not term.bare]
    labelled = [term for term in found.terms if term.labelled and not (term.of_carrier and len(found.terms) > 1)]
    if found.day_time and not labelled:
        return refused("DU01", "a time of day is not a length")
    terms = [term for term in labelled if not term.bare] or whole or labelled
    if len(terms) > 1:  # 400' (11 min): feet beside a length
        terms = [term for term in terms if not term.of_the_carrier] or terms
    return terms


def _no_length(found: Found, context: Context) -> Reading:
    if found.not_time:
        return refused("DU06", "this measures the carrier, not time")
    if len(found.terms) == 1 and not found.others:  # with a sign beside it that is no unit: C-60, 1 reel
        return _bare(found.terms[0].bare, msgspec.structs.replace(context, bare_unit=""))
    return refused("DU01", "no length can be made of this text")


def _several(terms: list[Term]) -> Reading:
    if any(term.length.impossible for term in terms):
        return _reading(None, [doubt for term in terms for doubt in term.length.doubts], How.UNREAD)
    total = from_seconds(sum((term.length.seconds for term in terms), Fraction(0)))
    message = "more than one length; added up they make " + total
    return refused("DU08", message, *dict.fromkeys([term.length.text for term in terms] + [total]))


def _one(term: Term, found: Found, context: Context) -> Reading:
    if term.bare:
        return _bare(term.bare, context)
    doubts: list[DoubtRow] = []
    value = term.length.text
    if found.loose_figure and not term.labelled:
        doubts.append(("DU08", "a figure before the length may say how many there are", (value,)))
    if found.run_in:
        doubts.append(("DU01", "letters are run into the figures", (value,)))
    if found.negative:
        doubts.append(("DU02", "a length cannot be less than nothing", (value,)))
    if found.limit:
        doubts.append(("DU09", "a limit or a span of lengths", (value,)))
    if found.capacity:
        doubts.append(("DU09", "what the carrier holds, not how long the recording is", (value,)))
    if found.each or (found.parts and not term.labelled):
        doubts.append(("DU08", "one length of several", (value,)))
    if not term.labelled and (found.passing or (found.days and found.by_day)):
        doubts.append(("DU15", "a point in the recording or a time of day, rather than its length", (value,)))
    elif not term.labelled and len(found.others) > (PROSE if term.clock else LONG_PROSE):
        doubts.append(("DU15", "a length in passing", (value,)))
    if found.day_time:
        doubts.append(("DU15", "a time of day, rather than a length", (value,)))
    return _settled(term.length, "length-words", context, doubts, _approximate(found))


def _approximate(found: Found) -> tuple[tuple[str, str], ...]:
    return (("approximate", "yes"),) if found.about else ()


def _bare(text: str, context: Context) -> Reading:
    """A figure alone: what the context says, a share of a day, or seconds as programs write them (`3480.0`). A whole
    figure without a point is a doubt: it may be a year, or minutes and seconds without a colon."""
    text = _THOUSANDS.sub("", text).replace(",", ".")
    decimals = text.partition(".")[2]
    try:
        amount = Fraction(text)
    except (ValueError, ZeroDivisionError):
        return refused("DU01", "no length can be made of this text")
    whole = not decimals.strip("0")
    if context.bare_unit in UNITS:
        rule = "column-unit" if words.UNIT_OF_COLUMN in context.options else "stated-unit"
        return _settled(_stated(amount, decimals, context), rule, context)
    if amount == 0:
        return refused("DU05", "zero is not a length")
    if amount > LONGEST_MINUTES and decimals and not (whole and amount in _YEARS):
        return _settled(Length(amount), "bare-seconds", context)
    if whole and _too_long(amount * 60, context):
        return _settled(Length(amount), "bare-seconds", context)
    if not whole:
        return _bare_point(amount, decimals, context)
    choices = (from_seconds(amount * 60), from_seconds(amount))[amount > LONGEST_MINUTES :]
    return _reading(choices[0], [("DU07", "a number without a unit", choices)], How.PATTERN, "bare-number")


def _stated(amount: Fraction, decimals: str, context: Context) -> Length:
    """A figure alone in a stated unit. Two decimals below sixty may count sixtieths, as in 12.30 for 12:30."""
    unit = UNITS[context.bare_unit]
    if unit == 1 or len(decimals) != 2 or not 0 < int(decimals) < 60:
        return Length(amount * unit)
    as_clock = Length(int(amount) * unit + int(decimals) * Fraction(unit, 60))
    if context.point_is_clock is not None:
        return as_clock if context.point_is_clock else Length(amount * unit)
    choices = (as_clock.text, from_seconds(amount * unit))
    as_clock.doubts = (("DU04", "the point may divide hundredths or sixtieths", choices),)
    return as_clock


def _bare_point(amount: Fraction, decimals: str, context: Context) -> Reading:
    as_clock = from_seconds(int(amount) * 60 + int(decimals.ljust(2, "0")[:2]))
    if context.point_is_clock and len(decimals) == 2 and int(decimals) < 60:
        return _reading(as_clock, [], How.PATTERN, "point-is-clock")
    share = from_seconds(round(amount * 86400)) if amount < 1 else from_seconds(amount)
    choices = (as_clock, from_seconds(Fraction(round(amount * 60)))) if len(decimals) <= 2 else (share,)
    return _reading(choices[0], [("DU04", "a number with a point and no unit", choices)], How.PATTERN, "bare-number")


def _too_long(seconds: Fraction, context: Context) -> bool:
    return context.capacity_ms is not None and seconds * 1000 > context.capacity_ms * Fraction(5, 4)


def _settled(
    length: Length,
    rule: str,
    context: Context,
    doubts: list[DoubtRow] | None = None,
    also: tuple[tuple[str, str], ...] = (),
) -> Reading:
    every = [*length.doubts, *(doubts or [])]
    if length.impossible:
        return _reading(None, every, How.UNREAD)
    if length.seconds == 0 and length.tail in ("", ":00", ";00"):
        return refused("DU05", "zero is not a length")
    return _limited(_reading(length.text, every, How.PATTERN, rule, also), length.seconds, context)


def _limited(reading: Reading, seconds: Fraction, context: Context) -> Reading:
    """The reading, with a doubt where the length does not fit on the carrier."""
    if context.capacity_ms is None or reading.value is None:
        return reading
    hours, minutes, rest = reading.value[:8].split(":") if not seconds else ("0", "0", "0")
    total = seconds or Fraction((int(hours) * 60 + int(minutes)) * 60 + int(rest))
    if not _too_long(total, context) or reading.doubts:
        return reading
    doubt = Doubt("DU13", f"{reading.value} does not fit on this carrier", (reading.value,))
    return Reading(reading.value, reading.how, (doubt,), reading.rule, reading.also)


def _reading(
    value: str | None, doubts: list[DoubtRow], how: How, rule: str = "", also: tuple[tuple[str, str], ...] = ()
) -> Reading:
    distinct = dict.fromkeys(Doubt(*doubt) for doubt in doubts)
    return Reading(value, how, tuple(distinct), rule, also)

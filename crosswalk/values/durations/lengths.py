"""One length in a row of tokens: clocks, figures with units, marks for minutes and seconds, sums and products."""

from __future__ import annotations

from fractions import Fraction

import msgspec

from crosswalk.values.durations import words
from crosswalk.values.durations.amounts import Amounts, carried
from crosswalk.values.durations.clocks import DoubtRow, Length, clock
from crosswalk.values.durations.lexer import Token
from crosswalk.values.reading import Context

LOWER = {3600: 60, 60: 1}
_LEAST_IN_PRODUCT, MOST_TIMES = 15, 10  # 16x9, 8 x 10 and 24 x 36 are shapes and sizes
LATE = 10  # 19h30 and 20h are times of day
_MANY_FEET, _MOST_MINUTES = 100, 240
_DECADES = frozenset(map(str, range(1900, 2030, 10)))
FIRST_HOUR = "01:00:00:00"  # where programmes begin on most tapes
_SIZES = 24  # inches of reels, discs and widths of tape


class Term(msgspec.Struct):
    """One length in the text: whether a label stood before it, its text where it is a bare figure, and its form."""

    length: Length
    labelled: bool = False
    bare: str = ""
    clock: bool = False  # figures with colons and no unit
    holds: bool = False  # what the carrier or the slot has room for
    part_of: int = 0  # "22 of 30 min": the unit of the whole
    of_carrier: bool = False  # "tape length 60 min"
    counted: bool = False  # "28 min x 2": a word behind it says what is counted

    @property
    def of_the_carrier(self) -> bool:
        """Whether it may measure the carrier instead."""
        return any(doubt[0] == "DU06" for doubt in self.length.doubts)


class Lengths(Amounts):
    """Reads a length at a place; none of this moves anything."""

    def __init__(self, tokens: list[Token], context: Context, minutes_first: bool | None = None) -> None:
        super().__init__(tokens, context)
        self.minutes_first = context.minutes_first if minutes_first is None else minutes_first

    # -- sums and products

    def _sum(self, at: int, labelled: bool) -> tuple[Term | None, int]:
        """`28:30 + 15:00`, `10 + 20 + 30 min`: the last unit holds for bare figures before it."""
        start = at
        term, at = self._product(at, labelled)
        if not term or self._text(at) not in ("+", "plus"):
            return term, at
        terms = [term]
        while self._text(at) in ("+", "plus"):
            more, after = self._product(at + 1, labelled)
            if not more or (more.bare and self._kind(after) == "word"):  # 110 min + 1 booklet
                break
            terms.append(more)
            at = after
        if len(terms) == 1:
            return term, at
        unit = 0 if terms[-1].bare else self._unit(at - 1)[0]
        total = _added([_assumed(one, unit) for one in terms])
        total.doubts += self._extra(start, at, total, term)
        return Term(total), at

    def _extra(self, start: int, end: int, total: Length, first: Term) -> tuple[DoubtRow, ...]:
        """`58:30 + 10 min bonus`: a sum that nobody may have meant."""
        beside = (self._text(start - 1) if start else "", self._text(end), self._text(end + 1))
        extra = next((word for word in beside if word in words.EXTRAS), "")
        choices = (total.text,) if first.bare else (first.length.text, total.text)
        return (("DU08", f'"{extra}" stands beside a part; the sum may not be meant', choices),) if extra else ()

    def _product(self, at: int, labelled: bool) -> tuple[Term | None, int]:
        count = self._count(at)
        if count and self._text(at + 1) in words.TIMES and self._kind(at + 1) in ("word", "sym"):
            term, after = self._term(at + 2, labelled)
            if term:
                return self._many(_in_product(term, count), count, after), after
        term, after = self._term(at, labelled)
        again = self._count(after + 1) if self._text(after) in words.TIMES else 0
        if term and not term.bare and again and self._text(after + 2) not in words.NOT_TIME:  # not: 3:12 @ 45 rpm
            counted = self._many(term.length, again, after + 2)
            counted.counted = True
            return counted, after + 2
        return term, after

    def _many(self, one: Length, count: int, after: int) -> Term:
        """So many lengths; a doubt where they are rather those of a series."""
        total = _times(one, count)
        if not total.doubts and (count > MOST_TIMES or (count > 1 and self._text(after) in words.PROGRAMMES)):
            total.doubts = (("DU08", f"{count} lengths may be a series", (one.text, total.text)),)
        return Term(total)

    def _count(self, at: int) -> int:
        text = self._text(at)
        return int(text) if self._kind(at) == "num" and text.isdigit() and 0 < int(text) < 100 else 0

    # -- one length

    def _term(self, at: int, labelled: bool) -> tuple[Term | None, int]:
        kind = self._kind(at)
        if kind == "clock":
            return self._clock(at, labelled)
        if kind == "dotted":
            return Term(clock(self._text(at).replace(".", ":"), self.context, None)), at + 1
        return self._units(at, labelled)

    def _clock(self, at: int, labelled: bool) -> tuple[Term, int]:
        after, first = at + 1, self.minutes_first
        unit, behind = self._unit(after)
        first_figure, *others = self._text(at).split(":")
        late = unit == 3600 and not labelled and len(others) == 1 and int(first_figure or 0) >= LATE  # 21:30 h
        if unit:
            first = unit != 3600
            after = self._unit(behind)[1] if self._unit(behind)[0] else behind
        length = clock(self._text(at), self.context, first, labelled)
        if late:
            length.doubts += (("DU14", "this may be a time of day", (length.text,)),)
        if not labelled and not unit and self._text(at) == FIRST_HOUR:
            length.doubts += (("DU14", "most tapes count from here", (length.text,)),)
        return Term(length, clock=not unit), after

    def _units(self, at: int, labelled: bool) -> tuple[Term | None, int]:
        """`1 hr 15`, `58'30"`, `5 min, 50 sec`, `half an hour`: figures with units that grow smaller."""
        total, unit, start = Fraction(0), 0, at
        doubts: tuple[DoubtRow, ...] = ()
        while not (unit and self._opens(at)):
            amount, after, point = self._amount(at)
            if amount is None:
                break
            this, after = self._unit(after)
            if unit == 60 == this and self._text(at - 1) == "'" and self._is_glued(at):
                this = 1  # 3'05 min, 58'46'
            if not this and unit in LOWER and point is None and self._may_be_bare(at, after, amount):
                total += amount * LOWER[unit]
                doubts += self._time_of_day(start, after, labelled)
                return Term(Length(total, doubts=doubts)), after
            if not this or (unit and this >= unit):
                break
            seconds, doubt = self._pointed(amount, point, this)
            doubt += carried(amount, unit)
            total, doubts, unit, at = total + seconds, doubts + doubt, this, after
            half, at = self._and_a_half(at, this)
            total += half
            at = self._between(at, unit)
        if not unit:
            return self._bare(start)
        doubts += self._of_the_carrier(start, at, total, labelled) + self._time_of_day(start, at, labelled)
        tail, at = self._frames(at, unit)
        return Term(Length(total, tail, doubts)), at

    def _of_the_carrier(self, start: int, end: int, total: Fraction, labelled: bool) -> tuple[DoubtRow, ...]:
        """Marks and an m that may count feet, inches or metres."""
        mark, alone = self._text(end - 1), end - start == 2
        proposed = (Length(total).text,)
        if mark == "m" and self._may_be_metres(start, end, total, labelled):
            return (("DU06", "m may be minutes or metres of film", proposed),)
        if mark == "s" and alone and self._is_glued(end - 1) and self._text(start) in _DECADES:
            return (("DU15", "this may be a decade", proposed),)
        if labelled or self._kind(end - 1) != "mark":
            return ()
        minutes = total / 60
        if mark == "'" and alone and (minutes > _MOST_MINUTES or (minutes >= _MANY_FEET and minutes % 100 == 0)):
            return (("DU06", "the mark may count minutes or feet", proposed),)
        size = total in range(1, _SIZES) or total.denominator > 1
        if mark != "'" and alone and size and not self._text(start).startswith("0"):
            return (("DU06", "the mark may count seconds or inches", proposed),)
        if mark != "'" and end - start == 4 and total < 600 and len(self._text(start + 2)) == 1:
            return (("DU06", "the marks may count feet and inches", proposed),)  # 6'2"
        return ()

    def _may_be_metres(self, start: int, end: int, total: Fraction, labelled: bool) -> bool:
        """`35 m`, `Length 35m`, `35m, 16 mm`; not `1h 35m`, `TRT 35 m`, `35m`."""
        if end - start != 2 and self._text(start + 1) != "-":
            return False
        label = self._text(start - 1) if self._kind(start - 1) == "word" else self._text(start - 2)
        if total >= 6000 or total % 60 or (labelled and label in words.MEASURED):
            return True
        film = any(token.text in words.FILM for token in self.tokens)
        return not labelled and (film or not self._is_glued(end - 1))

    def _time_of_day(self, start: int, end: int, labelled: bool) -> tuple[DoubtRow, ...]:
        figure = self._text(start)
        late = figure.isdigit() and LATE <= int(figure) < 24 and self._text(start + 1) == "h"
        apart = not self._is_glued(start + 1) and end - start < 3  # 12 h
        if labelled or not late or end - start > 3 or apart:
            return ()
        return (("DU14", "this may be a time of day", ()),)

    def _between(self, at: int, unit: int) -> int:
        """Past a comma or "and" where another figure with a unit follows; past a dash or a stroke to a smaller one."""
        text = self._text(at)
        joint = text in (",", "&", ":") or text in words.AND or text in words.WITH
        stroke = text == "-" or (text == "/" and self._is_glued(at + 1))
        if joint or stroke:
            amount, after, _ = self._amount(at + 1)
            smaller = self._unit(after)[0]
            if amount is not None and 0 < smaller < unit:
                return at + 1
        return at

    def _may_be_bare(self, at: int, after: int, amount: Fraction) -> bool:
        figure = self._kind(at) == "num" or (self._kind(at) == "word" and amount > 1)
        behind = self._text(after)
        other = behind in words.CARRIERS or behind in words.COUNTED or behind in words.NOT_TIME  # 60 min (2 tapes)
        listed = self._text(at - 1) in (",", "&", "and", "-", "/") or behind in words.TIMES
        return figure and amount.denominator == 1 and amount < 60 and not other and not listed

    def _bare(self, at: int) -> tuple[Term | None, int]:
        """A figure without a unit; the reader decides what it counts."""
        amount, after, _ = self._amount(at)
        if amount is None or self._kind(at) != "num":
            return None, at
        return Term(Length(amount), bare=self._text(at)), after


def _in_product(term: Term, count: int) -> Length:
    """A bare figure in `2x60` counts minutes (common practice, no source)."""
    if not term.bare:
        return term.length
    length = Length(term.length.seconds * 60)
    if count > MOST_TIMES or term.length.seconds < _LEAST_IN_PRODUCT:
        length.doubts = (("DU07", f'"{count} x {term.bare}" has no unit', (_times(length, count).text,)),)
    return length


def _assumed(term: Term, unit: int) -> Length:
    """A bare figure in a sum counts what the last one counts; without any it counts minutes, but that is a guess."""
    if not term.bare or unit:
        return Length(term.length.seconds * unit) if term.bare else term.length
    length = Length(term.length.seconds * 60)
    length.doubts = (("DU07", f'"{term.bare}" has no unit', (length.text,)),)
    return length


def _added(lengths: list[Length]) -> Length:
    return Length(
        sum((length.seconds for length in lengths), Fraction(0)),
        doubts=tuple(doubt for length in lengths for doubt in length.doubts),
        impossible=any(length.impossible for length in lengths),
    )


def _times(length: Length, count: int) -> Length:
    return Length(length.seconds * count, doubts=length.doubts, impossible=length.impossible)

"""Token rows to lengths: figures with units, clocks, marks for minutes and seconds, sums and products."""

from __future__ import annotations

from fractions import Fraction

import msgspec

from crosswalk.values.durations import words
from crosswalk.values.durations.amounts import Amounts, carried
from crosswalk.values.durations.clocks import DoubtRow, Length, clock
from crosswalk.values.durations.lexer import Token
from crosswalk.values.reading import Context

LOWER = {3600: 60, 60: 1}


class Term(msgspec.Struct):
    """One length in the text: whether a label stood before it, its text where it is a bare figure, and its form."""

    length: Length
    labelled: bool = False
    bare: str = ""
    clock: bool = False  # figures with colons and no unit


class Found(msgspec.Struct):
    """What a text holds: lengths, words that say nothing about them, and signs of what else it may be."""

    terms: list[Term]
    others: list[str]
    about: bool = False
    limit: bool = False
    each: bool = False
    capacity: bool = False
    not_time: bool = False
    day_time: bool = False
    loose_figure: bool = False  # "4 30-minute programmes"
    parts: bool = False  # "two parts, 30 min", "15, 20 and 30 min"
    negative: bool = False


class Grammar(Amounts):
    """Walks along the tokens once."""

    def __init__(self, tokens: list[Token], context: Context, minutes_first: bool | None = None) -> None:
        super().__init__(tokens, context)
        self.minutes_first = context.minutes_first if minutes_first is None else minutes_first

    def parse(self) -> Found:
        """All lengths of the text."""
        found = Found([], [])
        at, labelled, at_label = 0, False, -1
        while at < len(self.tokens):
            term, after = self._lone_hour(at)
            if not term:
                term, after = self._sum(at, labelled)
            if term and self._unit_is_length(after):
                found.not_time = True
                at = after + 1
                continue
            if term:
                found.loose_figure = found.loose_figure or self._follows_figure(at)
                found.negative = found.negative or self._is_negative(at)
                term.labelled = labelled
                self._spot(term, at, at_label)
                found.terms.append(term)
                at, labelled = self._closing(after, found), False
                continue
            if self._text(at) in words.LABELS and self._kind(at) == "word":
                labelled, at_label = True, at
            else:
                self._other(at, found)
            at += 1
        return found

    def _spot(self, term: Term, at: int, at_label: int) -> None:
        """`Length : 30`: a colon apart from its label belongs to the figure, which then counts seconds."""
        apart = at_label == at - 2 and self._text(at - 1) == ":" and not self.tokens[at - 1].glued
        if apart and term.bare.isdigit() and int(term.bare) < 60:
            term.length, term.bare = Length(Fraction(int(term.bare))), ""

    def _other(self, at: int, found: Found) -> None:
        token = self.tokens[at]
        if token.kind == "sym":
            found.about = found.about or token.text in "~?"
            found.limit = found.limit or token.text in "<>≤≥"
        elif token.kind == "word":
            self._word(token.text, found)
        elif token.kind not in ("mark",):
            found.others.append(token.text)

    @staticmethod
    def _word(text: str, found: Found) -> None:
        if text in words.ABOUT:
            found.about = True
        elif text in words.LIMITS:
            found.limit = True
        elif text in words.EACH or text in ("x", "times") or text in words.SHARES:
            found.each = True
        elif text in ("part", "parts"):
            found.parts = True
        elif text in ("am", "pm", "uhr"):
            found.day_time = True
        else:
            found.others.append(text)

    def _closing(self, at: int, found: Found) -> int:
        """What follows a length and changes its sense: a carrier, a plus sign, a span."""
        text = self._text(at)
        if text in words.CARRIERS and self._kind(at) == "word":
            found.capacity = found.capacity or not found.terms[-1].bare
        elif text == "of" and self._sum(at + 1, False)[0]:
            found.parts = True
        elif text == "+" or (text in words.SPAN and self._sum(at + 1, False)[0]):
            found.limit = True
        elif text == "/" and not found.terms[-1].bare and self._is_length(at + 1):
            found.limit = True  # TRT 28:30/28:46
        elif self._is_list(at, found.terms[-1]):
            found.parts = True
        else:
            return at
        return at + 1

    def _is_length(self, at: int) -> bool:
        term, after = self._sum(at, False)
        return term is not None and not self._unit_is_length(after)

    def _is_list(self, at: int, term: Term) -> bool:
        """`30/60 min`, `5, 10 and 15 min`: lengths of which only the last has its unit. Not `Reel 2, 28 min`."""
        joint = self._text(at) in ("/", ",", ";", "&") or self._text(at) in words.AND
        return joint and bool(term.bare) and self._kind(at - 2) != "word" and bool(self._sum(at + 1, False)[0])

    def _unit_is_length(self, at: int) -> bool:
        return self._kind(at) == "word" and self._text(at) in words.NOT_TIME and self._text(at - 1) not in words.UNITS

    def _follows_figure(self, at: int) -> bool:
        return self._kind(at - 1) == "num" and self._kind(at) in ("num", "clock", "word")

    def _is_negative(self, at: int) -> bool:
        return at == 1 and self._text(0) == "-" and self.tokens[1].glued

    def _lone_hour(self, at: int) -> tuple[Term | None, int]:
        """`hora y media`, `hour and a half`: the hour needs no figure where a share of one follows."""
        if self._kind(at) != "word" or words.UNITS.get(self._text(at)) != 3600 or len(self._text(at)) < 4:
            return None, at
        half, after = self._and_a_half(at + 1, 3600)
        return (Term(Length(3600 + half)), after) if half else (None, at)

    # -- sums and products

    def _sum(self, at: int, labelled: bool) -> tuple[Term | None, int]:
        term, at = self._product(at, labelled)
        while term and self._text(at) in ("+", "plus"):
            more, after = self._product(at + 1, labelled)
            if not more:
                break
            unit = words.UNITS.get(self._text(after - 1), 0) if term.bare and not more.bare else 0
            first = Length(term.length.seconds * unit) if unit else _assumed(term)  # 30 + 30 min
            term = Term(_added(first, _assumed(more)))
            at = after
        return term, at

    def _product(self, at: int, labelled: bool) -> tuple[Term | None, int]:
        count = self._count(at)
        if count and self._text(at + 1) in words.TIMES and self._kind(at + 1) in ("word", "sym"):
            term, after = self._term(at + 2, labelled)
            if term:
                return Term(_times(self._in_product(term), count)), after
        term, after = self._term(at, labelled)
        if term and not term.bare and self._text(after) in words.TIMES and (again := self._count(after + 1)):
            return Term(_times(term.length, again)), after + 2
        return term, after

    def _in_product(self, term: Term) -> Length:
        """A bare figure in `2x60` counts minutes (common practice, no source)."""
        return Length(term.length.seconds * 60) if term.bare else term.length

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
        return self._units(at)

    def _clock(self, at: int, labelled: bool) -> tuple[Term, int]:
        after, first = at + 1, self.minutes_first
        unit, behind = self._unit(after)
        if unit:
            first = unit != 3600
            after = self._unit(behind)[1] if self._unit(behind)[0] else behind
        return Term(clock(self._text(at), self.context, first, labelled), clock=not unit), after

    def _units(self, at: int) -> tuple[Term | None, int]:
        """`1 hr 15`, `58'30"`, `5 min, 50 sec`, `half an hour`: figures with units that grow smaller."""
        total, unit, start = Fraction(0), 0, at
        doubts: tuple[DoubtRow, ...] = ()
        while True:
            amount, after, point = self._amount(at)
            if amount is None:
                break
            this, after = self._unit(after)
            if not this and unit in LOWER and point is None and self._may_be_bare(at, after, amount):
                return Term(Length(total + amount * LOWER[unit], doubts=doubts)), after
            if not this or (unit and this >= unit):
                break
            seconds, doubt = self._pointed(amount, point, this)
            doubt += carried(amount, unit)
            total, doubts, unit, at = total + seconds, doubts + doubt, this, after
            half, at = self._and_a_half(at, this)
            total += half
            at = self._between(at)
        if not unit:
            return self._bare(start)
        of_film = total >= 6000 or total % 60
        if self._text(at - 1) == "m" and of_film and at - start == 2:
            doubts += (("DU06", "m may be minutes or metres of film", (Length(total).text,)),)
        tail, at = self._frames(at, unit)
        return Term(Length(total, tail, doubts)), at

    def _between(self, at: int) -> int:
        """Past a comma or "and" where another figure with a unit follows."""
        if self._text(at) in (",", "&", ":") or self._text(at) in words.AND:
            amount, after, _ = self._amount(at + 1)
            if amount is not None and self._unit(after)[0]:
                return at + 1
        return at

    def _may_be_bare(self, at: int, after: int, amount: Fraction) -> bool:
        figure = self._kind(at) == "num" and amount.denominator == 1 and amount < 60
        counted = self._text(after) in words.CARRIERS or self._text(after) in words.COUNTED  # 60 min (2 tapes)
        listed = self._text(at - 1) in (",", "&", "and")
        return figure and not counted and not listed and self._text(after) not in words.TIMES

    def _bare(self, at: int) -> tuple[Term | None, int]:
        """A figure without a unit; the reader decides what it counts."""
        amount, after, _ = self._amount(at)
        if amount is None or self._kind(at) != "num":
            return None, at
        return Term(Length(amount), bare=self._text(at)), after


def _assumed(term: Term) -> Length:
    """A bare figure in a sum counts minutes, but that is a guess."""
    if not term.bare:
        return term.length
    length = Length(term.length.seconds * 60)
    length.doubts = (("DU07", f'"{term.bare}" has no unit', (length.text,)),)
    return length


def _added(one: Length, two: Length) -> Length:
    return Length(
        one.seconds + two.seconds, doubts=one.doubts + two.doubts, impossible=one.impossible or two.impossible
    )


def _times(length: Length, count: int) -> Length:
    return Length(length.seconds * count, doubts=length.doubts, impossible=length.impossible)

"""Token rows to what they hold: the lengths, and the signs that each may be something else."""

from __future__ import annotations

import re
from fractions import Fraction

import msgspec

from crosswalk.values.durations import words
from crosswalk.values.durations.clocks import Length
from crosswalk.values.durations.lengths import Term
from crosswalk.values.durations.surroundings import Surroundings

_TIME_OF_DAY = re.compile(r"(?:[01]?\d|2[0-3]):[0-5]\d")


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
    passing: bool = False  # "starts at 10:30", "last 5 min missing"
    days: bool = False  # beside these a clock is a time of day
    by_day: bool = False  # a clock that may be one
    loose_figure: bool = False  # "4 30-minute programmes", "45 min, 10"
    parts: bool = False  # "two parts, 30 min", "15, 20 and 30 min"
    negative: bool = False
    run_in: bool = False  # "B5 min"
    places: dict[int, tuple[int, int]] = {}  # of each term, by its identity: its first token, and the one behind it


class Grammar(Surroundings):
    """Walks along the tokens once."""

    def parse(self) -> Found:
        """All lengths of the text."""
        found = Found([], [])
        at, labelled, at_label, unit, self.read_to, self.whole_at = 0, False, -1, 0, 0, -1
        while at < len(self.tokens):
            said, after = self._heading(at, labelled)
            if said:
                labelled, unit, at = True, said, after
                continue
            term, after = self._lone_hour(at)
            if not term:
                term, after = self._sum(at, labelled)
            if term and self._unit_is_length(after):
                found.not_time = True
                at = after + 1
                continue
            if term:
                self._judge(term, at, after, found, labelled)
                self._judge_room(term, at, after, found)
                term.of_carrier = labelled and self._text(at_label - 1) in words.CARRIERS
                self._spot(term, at, at_label)
                self._by_heading(term, at, unit)
                found.terms.append(term)
                found.places[id(term)] = (at, after)
                self.read_to = after
                at, labelled, unit = self._closing(after, found), False, 0
                continue
            if self._text(at) in words.LABELS and self._kind(at) == "word":
                labelled, at_label = True, at
            else:
                self._other(at, found)
            at += 1
        return found

    # -- headings

    def _heading(self, at: int, labelled: bool) -> tuple[int, int]:
        """The seconds in the unit that a heading names, and the index after it: `Duration (min): 27`, `Mins: 27`."""
        at += labelled and self._text(at) == "in"
        unit, after = self._unit(at)
        if not unit or self._kind(at) != "word":
            return 0, at
        first = at == 0 and (self._text(after) in (":", "=") or self._kind(after) == "clock")
        return (unit, after) if labelled or first else (0, at)

    def _by_heading(self, term: Term, at: int, unit: int) -> None:
        if unit and term.bare:
            term.length, term.bare = Length(term.length.seconds * unit), ""
        elif unit and term.clock and unit != 1:
            keep, self.minutes_first = self.minutes_first, unit == 60
            term.length = self._clock(at, True)[0].length
            self.minutes_first = keep

    def _spot(self, term: Term, at: int, at_label: int) -> None:
        """`Length : 30`: a colon apart from its label belongs to the figure, which then counts seconds."""
        apart = at_label == at - 2 and self._text(at - 1) == ":" and not self.tokens[at - 1].glued
        if apart and term.bare.isdigit() and int(term.bare) < 60:
            term.length, term.bare = Length(Fraction(int(term.bare))), ""

    # -- what stands around a length

    def _judge(self, term: Term, at: int, after: int, found: Found, labelled: bool) -> None:
        """What the tokens right before and behind a length make of it."""
        before, behind = self._text(at - 1), self._text(after)
        term.labelled = labelled
        found.negative |= at == 1 and before == "-" and self.tokens[1].glued
        if term.bare:
            found.loose_figure |= bool(found.terms) and not self._explained(at, after)
            found.parts |= bool(found.terms) and behind in words.USED  # 60 min, of which 42 used
            return
        found.loose_figure |= self._follows_figure(at) or self._follows_unit(at) or self._is_code(at)
        pointed = behind in words.POINTED and (behind not in ("in", "short") or after + 1 == len(self.tokens))
        found.passing |= behind in words.UNUSED
        found.passing |= (before in words.POINTS and not self._is_per_piece(at)) or pointed or self._asked(at)
        found.passing |= before == "a" and at == 1 and term.clock  # à 21:30
        found.limit |= before in words.MORE or self._is_least(after)
        found.limit |= before == "~" and self._is_glued(at) and self._kind(at - 2) == "num"  # 30~40 min
        found.each |= behind in ("/", "a", "par", "por", "pro") and self._text(after + 1) in words.SERIES
        found.each |= before in ("of", "de", "von", "a", "zu") and self._is_per_piece(at)
        found.by_day |= term.clock and self._kind(at) == "clock" and bool(_TIME_OF_DAY.fullmatch(self._text(at)))

    def _judge_room(self, term: Term, at: int, after: int, found: Found) -> None:
        """Whether the length is what a carrier holds, and whether its figures are run into letters or a number."""
        if term.bare:
            return
        room = self._is_room(at, after, bool(found.terms))
        taken = bool(found.terms) and found.terms[-1].holds  # 60 min tape (42 min used)
        used = not taken and self._text(at - 1) in words.CARRIERS and self._is_used()  # cassette 60 min, 42 min used
        found.capacity |= room
        term.holds = room or used or at == self.whole_at
        found.run_in |= self._is_run_in(at, after)
        found.loose_figure |= at == 2 and self._kind(0) == "num" == self._kind(2) and self._text(1) == ":"  # 2: 45 min

    def _explained(self, at: int, after: int) -> bool:
        """Whether a bare figure behind a length belongs to a word."""
        named = self._kind(at - 1) == "word" and at > self.read_to
        named |= self._is_stock(at - 2)
        return named or self._kind(after) == "word" or self._text(at - 1) == "#"

    def _closing(self, at: int, found: Found) -> int:
        """What follows a length and changes its sense: a carrier, a plus sign, a span."""
        text = self._text(at)
        term = found.terms[-1]
        if text in words.CARRIERS and self._kind(at) == "word":
            found.capacity |= not (term.bare or term.of_the_carrier or term.counted)
            named = self._is_named(at)
            term.holds |= not (term.bare or term.of_the_carrier or term.counted or named)  # not: 60 min. Tape B 45 min.
        elif self._is_carrier_of_a_format(at):
            found.capacity = term.holds = True
        elif text in words.OF and self._has_a_whole(at, term):
            found.parts = True
        elif text == "+" and self._adds_something(at + 1):
            return at + 1
        elif text == "+" or (text in words.SPAN and self._spans(at, found.terms[-1])):
            found.limit = True
        elif text == "/" and not found.terms[-1].bare and self._is_length(at + 1):
            found.limit = True  # TRT 28:30/28:46
        elif self._is_list(at, found.terms[-1]):
            found.parts = True
        else:
            return at
        return at + 1

    def _has_a_whole(self, at: int, term: Term) -> bool:
        """`22 of 30 min`, `22 min of a 30-min tape`; not `Tape 4 of 5`, `52 min sur 2 bobines`."""
        start = at + 1 + (self._text(at + 1) in words.ONE)
        whole, after = self._sum(start, False)
        if not whole or (whole.bare and (term.bare or (self._text(at) != "of" and self._kind(after) == "word"))):
            return False
        term.part_of, self.whole_at = self._unit(after - 1)[0] or 60, start
        return True

    def _spans(self, at: int, term: Term) -> bool:
        if at + 1 == len(self.tokens):
            return term.clock and self._text(at) == "-"
        if term.bare and self._text(at) == "-" and self._names(at - 2, self._kind(at + 1) == "clock"):
            return False  # Track 3 - 4:05 min
        number = self._text(at) != "-" and self._text(at + 1) in words.NUMBERS
        return number or bool(self._sum(at + 1, False)[0])

    def _names(self, at: int, loosely: bool) -> bool:
        """Whether a word there names what a figure numbers: `Reel 2`; loosely: any that says nothing of lengths."""
        text = self._text(at)
        says = text in words.ABOUT or text in words.LIMITS or text in words.LABELS
        return text in words.SERIES or (loosely and self._kind(at) == "word" and not says)

    def _adds_something(self, at: int) -> bool:
        """`28:30 + credits`, `110 min + 1 booklet`."""
        at += self._kind(at) == "num"
        return self._kind(at) == "word" and not self._unit(at)[0]

    def _is_length(self, at: int) -> bool:
        term, after = self._sum(at, False)
        return term is not None and not self._unit_is_length(after)

    def _is_list(self, at: int, term: Term) -> bool:
        """`30/60 min`, `5, 10 and 15 min`: lengths of which only the last has its unit. Not `Reel 2, 28 min`."""
        joint = self._text(at) in ("/", ",", ";", "&") or self._text(at) in words.AND
        coded = self._text(at - 2) == "-" and self._kind(at - 3) == "word"  # C-90, 90 min
        named = self._kind(at - 2) == "word" or coded
        return joint and bool(term.bare) and not named and bool(self._sum(at + 1, False)[0])

    def _lone_hour(self, at: int) -> tuple[Term | None, int]:
        """`hora y media`, `hour and a half`: the hour needs no figure where a share of one follows."""
        if self._kind(at) != "word" or words.UNITS.get(self._text(at)) != 3600 or len(self._text(at)) < 4:
            return None, at
        long = at + 1 + (self._text(at + 1) == "-")
        if self._text(long) == "long":
            return Term(Length(Fraction(3600))), long + 1
        half, after = self._and_a_half(at + 1, 3600)
        return (Term(Length(3600 + half)), after) if half else (None, at)

    # -- all other tokens

    def _other(self, at: int, found: Found) -> None:
        token = self.tokens[at]
        if self._is_stock(at):
            found.others.append(token.text)
        elif token.kind == "sym":
            found.about |= token.text in "~?"
            found.limit |= token.text in "<>≤≥"
        elif token.text in ("part", "parts"):
            whole = bool(found.terms) and self._opens(at - 1)  # 50 min (2 parts)
            found.parts |= (token.text == "parts" and not whole) or not (whole or self._is_numeral(at + 1))
        elif token.text == "plus":
            found.limit |= self._kind(at + 1) != "word" or self._text(at + 1) == "de"  # 30 min plus; not: plus credits
        elif token.kind == "frac":
            found.limit |= self._text(at + 1) in words.SPAN  # 1/2 - 1 hour
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
        elif text in ("am", "pm", "uhr"):
            found.day_time = True
        else:
            found.passing |= text in words.PASSING
            found.days |= text in words.DAYS
            found.others.append(text)

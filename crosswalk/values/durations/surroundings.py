"""What stands around a length: questions that the grammar asks; none of this moves anything."""

from __future__ import annotations

from crosswalk.values.durations import words
from crosswalk.values.durations.lengths import Lengths


class Surroundings(Lengths):
    """Asks about the tokens right before and behind a place."""

    read_to = 0  # behind the last length
    whole_at = -1  # where the whole begins of which a length is said to be a part

    def _is_many(self, at: int) -> bool:
        return self._kind(at) == "num" or words.NUMBERS.get(self._text(at), 0) > 1

    def _is_numeral(self, at: int) -> bool:
        text = self._text(at)
        return self._kind(at) == "num" or len(text) == 1 or text in words.NUMBERS or text in ("ii", "iii", "iv")

    def _asked(self, at: int) -> bool:
        return self._text(at - 1) == "?" and self._is_glued(at)  # ?:30

    def _is_code(self, at: int) -> bool:
        """`MC-12:30`."""
        dashed = self._text(at - 1) == "-" and self._is_glued(at) and self._is_glued(at - 1)
        return dashed and self._kind(at) == "clock" and self._text(at - 2) not in words.LABELS

    def _follows_figure(self, at: int) -> bool:
        """`4 30-minute programmes`; not `Show 104 28:30`."""
        apart = self._kind(at) == "clock" or self._opens(at)
        named = apart and (self._kind(at - 2) == "word" or self._text(at - 2) == "#" or self._is_stock(at - 3))
        return at > 0 and self._is_many(at - 1) and not named and self._kind(at) in ("num", "clock", "word")

    def _follows_unit(self, at: int) -> bool:
        """`hr 1 min 20`: the figure of the unit before is missing."""
        fresh = at > self.read_to and self._kind(at - 1) == "word" and self._text(at - 1) != "second"
        return fresh and self._unit(at - 1)[0] > 0

    def _is_stock(self, at: int) -> bool:
        """`C-60`, `T-120`, `C60`: letters and what such a carrier holds; not `c-60 min`."""
        figure = at + 1 + (self._text(at + 1) == "-" and self._is_glued(at + 1))
        joined = self._kind(figure) == "num" and self._is_glued(figure) and not self._opens(figure)
        return self._kind(at) == "word" and joined and not self._unit(figure + 1)[0]

    def _is_per_piece(self, at: int) -> bool:
        """`2 reels of 10 min`, `3 Rollen à 10 min`, `2 reels @ 10 min`."""
        pieces, word = self._text(at - 2), self._kind(at - 2) == "word"
        named = pieces in words.CARRIERS or pieces in words.COUNTED  # Teil 2 Seite a 30 Min.
        other = self._text(at - 1) in ("a", "zu") and len(pieces) > 1 and not named
        plural = pieces in words.CARRIED or (word and (pieces[-1:] == "s" or other))
        return plural and self._text(at - 3) != "1" and self._is_many(at - 3)

    def _is_room(self, at: int, after: int, beside: bool) -> bool:
        """Whether a length there is what a carrier holds: `60 min capacity`, `cassette de 60 min`, `on a 60 min tape`
        beside another length, `22 of 30 min`."""
        joint = self._text(at - 1)
        back = at - 2 if joint in (":", "of", "de", "von", "-") else at - 1
        named = self._text(back) in words.HOLDING or self._text(after) in words.HOLDING
        carrier = self._text(at - 2) in words.CARRIERS and joint in ("of", "de", "von")
        return named or carrier or (beside and self._is_on(at)) or self._is_stock_of(at)

    def _is_on(self, at: int) -> bool:
        """`42 min on a 60 min tape`, `42 min sur cassette 60 min`."""
        back = at - 1
        for others in (frozenset(("de", "von")), words.CARRIERS, words.ONE):
            back -= self._text(back) in others
        return self._text(back) in words.ON

    def _is_stock_of(self, at: int) -> bool:
        """`C-60 (60 min)` says the same thing twice."""
        same = self._opens(at) and self._text(at) == self._text(at - 1)
        return same and (self._is_stock(at - 2) or self._is_stock(at - 3))

    def _is_named(self, at: int) -> bool:
        """`60 min. Tape B 45 min.`: the carrier begins something new."""
        letter = len(self._text(at + 1)) == 1 and self._kind(at + 1) == "word" and self._text(at + 2) != "/"
        return not self._opens(at + 1) and (letter or self._kind(at + 1) == "num")

    def _is_used(self) -> bool:
        return any(token.text in words.USED for token in self.tokens)

    def _is_run_in(self, at: int, after: int) -> bool:
        """`B5 min`, `1B:30`, `1h3Q`, `2s min`: a letter that may stand for a figure."""
        return self._is_run_into(at) or self._runs_on(after)

    def _is_run_into(self, at: int) -> bool:
        before = self._text(at - 1)
        glued = self._is_glued(at) and not self._opens(at) and self._kind(at - 1) == "word" and at > self.read_to
        if not glued or before in words.UNDERSTOOD or before in words.TIMES or self._text(at - 2) in ("$", "\u2021"):
            return False
        if self._text(at)[:1] == ":":  # PSA:30
            return len(before) == 1 or (self._is_glued(at - 1) and self._kind(at - 2) == "num")
        return before not in ("t", "pt")

    def _runs_on(self, after: int) -> bool:
        behind = self._text(after)
        if self._kind(after) != "word" or self._opens(after):
            return False
        letter = len(behind) == 1 and behind not in "cz" and self._is_glued(after) and not self._is_day_time(after)
        if letter and self._kind(after - 1) != "word":
            return True
        last = self._text(after - 1)
        single = len(last) == 1 and last in words.UNITS and self._is_glued(after - 1)
        return single and self._text(after + 1) != "/" and behind in words.UNITS  # not: 30 min s/w

    def _is_least(self, after: int) -> bool:
        """`30 min min.`: of the two the last means "minimum"."""
        return self._text(after) == "min" and self._kind(after - 1) == "word" and self._unit(after - 1)[0] > 0

    def _is_day_time(self, at: int) -> bool:
        """`7:30p.m.`"""
        return self._text(at) in ("a", "p") and self._text(at + 1) == "m"

    def _is_carrier_of_a_format(self, at: int) -> bool:
        """`120 min VHS tape` says what the tape holds; `120 min (VHS tape)` does not."""
        if self._opens(at) or self._text(at) not in words.FORMATS:
            return False
        while self._text(at) in words.FORMATS:
            at += 1
        return self._text(at) in words.CARRIERS

    def _unit_is_length(self, at: int) -> bool:
        return self._kind(at) == "word" and self._text(at) in words.NOT_TIME and self._text(at - 1) not in words.UNITS

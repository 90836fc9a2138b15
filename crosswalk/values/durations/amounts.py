"""Figures and their units along a row of length tokens: decimals, fractions, number words, halves."""

from __future__ import annotations

from fractions import Fraction
from functools import lru_cache

from rapidfuzz.distance import OSA

from crosswalk.values.durations import words
from crosswalk.values.durations.clocks import DoubtRow, Length
from crosswalk.values.durations.lexer import Token
from crosswalk.values.durations.spelled import share, spelled
from crosswalk.values.reading import Context

LONGEST_SECONDS = 36_000
SHORTEST_MENDED = 5
_LONG_UNITS = tuple(unit for unit in words.UNITS if len(unit) >= SHORTEST_MENDED)
_MARK_UNITS = {"'": 60, '"': 1, "''": 1}


class Amounts:
    """Reads a figure or a unit at a place; none of this moves anything."""

    def __init__(self, tokens: list[Token], context: Context) -> None:
        self.tokens = tokens
        self.context = context

    def _frames(self, at: int, unit: int) -> tuple[str, int]:
        """`1h02m03s04f`: frames behind seconds."""
        figure = self._text(at)
        if unit == 1 and figure.isdigit() and len(figure) <= 2 and self._text(at + 1) in ("f", "fr", "frames"):
            return f":{int(figure):02}", at + 2
        return "", at

    def _and_a_half(self, at: int, unit: int) -> tuple[Fraction, int]:
        """`an hour and a half`, `une heure et demie`, `hora y media`."""
        if self._kind(at) == "frac" and not self._unit(at + 1)[0]:
            part = self._amount(at)[0] or Fraction(0)
            return (part * unit, at + 1) if part < 1 else (Fraction(0), at)
        if not self._is_and(at):
            return Fraction(0), at
        found, after = share(self._text, at + 1)
        return (found * unit, after) if found and not self._unit(after + 1)[0] else (Fraction(0), at)

    def _amount(self, at: int) -> tuple[Fraction | None, int, str | None]:
        """The figure there; the index after it; and its decimals where they have a point."""
        kind, text = self._kind(at), self._text(at)
        if kind == "frac":
            whole, _, part = text.rpartition(" ")
            above, below = part.split("/")
            return (Fraction(int(whole or 0)) + Fraction(int(above), int(below)) if int(below) else None), at + 1, None
        if kind == "num":
            return self._figure(at, text)
        if kind == "word" and text in words.NUMBER_WORDS:
            return *self._in_words(at), None
        return None, at, None

    def _figure(self, at: int, text: str) -> tuple[Fraction, int, str | None]:
        if "," in text and all(len(group) == 3 for group in text.split(",")[1:]):
            text = text.replace(",", "")  # thousands
        whole, point, decimals = text.replace(",", ".").partition(".")
        amount = Fraction(f"{whole or 0}.{decimals or 0}")
        if point:
            return amount, at + 1, decimals
        dashed = self._text(at + 1) == "-" and self._is_glued(at + 2)
        behind = at + 2 if dashed else at + 1
        if self._kind(behind) == "frac" and " " not in self._text(behind):
            part, after, _ = self._amount(behind)
            return amount + (part or 0), after, None
        more, after = self._share_of_a_unit(at + 1)
        return amount + more, after, None

    def _share_of_a_unit(self, at: int) -> tuple[Fraction, int]:
        """`1 and a half hours`, `2 & 1/2 hrs`: what stands between the number and its unit; nothing otherwise."""
        if not self._is_and(at):
            return Fraction(0), at
        part, after = share(self._text, at + 1)
        if self._kind(at + 1) == "frac":
            part, after, _ = self._amount(at + 1)
        return (part, after) if part and part < 1 and self._unit(after)[0] else (Fraction(0), at)

    def _is_and(self, at: int) -> bool:
        return self._text(at) == "&" or self._text(at) in words.AND

    def _in_words(self, at: int) -> tuple[Fraction | None, int]:
        """`forty-five minutes`, `half an hour`, `trois quarts d'heure`; a number without its unit is none."""
        part, after = share(self._text, at)
        if part:
            after = self._past_of(after)
            if self._unit(after)[0]:
                return part, after
        if self._text(at) in words.MIXED:
            amount: Fraction | None = words.MIXED[self._text(at)]
            after = at + 1
        else:
            amount, after = spelled(self._text, at)
        if amount is None:
            return None, at
        more, after = self._share_of_a_unit(after)
        return amount + more, after

    def _past_of(self, at: int) -> int:
        """Past the `of an` of `three quarters of an hour`."""
        at += self._text(at) in ("of", "d", "de")
        return at + (self._text(at) in ("a", "an"))

    def _unit(self, at: int) -> tuple[int, int]:
        """The seconds in the unit there, and the index after it; 0 where there is none."""
        if self._text(at) == "-" and self._kind(at + 1) == "word" and self.tokens[at].glued:
            at += 1
        text = self._text(at)
        if self._kind(at) == "mark":
            return _MARK_UNITS[text], at + 1
        if self._kind(at) == "word" and text in words.UNITS:
            return words.UNITS[text], at + 1
        if self._kind(at) == "word" and text[-1:] == "c" and text[:-1] in ("mins", "min", "secs", "sec"):
            return words.UNITS[text[:-1]], at + 1  # "minsc": circa run into the unit
        if len(text) >= SHORTEST_MENDED and self._kind(at) == "word" and self._kind(at - 1) == "num":
            mended = _mended(text)
            return mended, at + 1 if mended else at
        return 0, at

    def _pointed(self, amount: Fraction, decimals: str | None, unit: int) -> tuple[Fraction, tuple[DoubtRow, ...]]:
        """Seconds of a figure whose two decimals may be minutes or seconds instead of hundredths."""
        decimal = amount * unit
        many = Fraction(int(amount * 1000)) * unit  # German and French thousands
        if decimals is not None and len(decimals) == 3 and amount >= 1 and int(decimals) and many <= LONGEST_SECONDS:
            return decimal, (("DU04", "the point may divide thousands", (Length(decimal).text, Length(many).text)),)
        if unit == 1 or decimals is None or len(decimals) != 2 or int(decimals) == 0 or int(decimals) > 59:
            return decimal, ()
        as_clock = Fraction(int(amount)) * unit + int(decimals) * (unit // 60)
        if unit == 60 and self.context.point_is_clock is not None:
            return (as_clock if self.context.point_is_clock else decimal), ()
        if unit == 3600 and (amount < 1 or decimals == "25"):
            return decimal, ()
        choices = (Length(as_clock).text, Length(decimal).text)
        return as_clock, (("DU04", "the point may divide hundredths or sixtieths", choices),)

    def _opens(self, at: int) -> bool:
        return at < len(self.tokens) and self.tokens[at].opens

    def _is_glued(self, at: int) -> bool:
        return at < len(self.tokens) and self.tokens[at].glued

    def _text(self, at: int) -> str:
        return self.tokens[at].text if 0 <= at < len(self.tokens) else ""

    def _kind(self, at: int) -> str:
        return self.tokens[at].kind if 0 <= at < len(self.tokens) else ""


@lru_cache(maxsize=4096)
def _mended(word: str) -> int:
    """The seconds of the one unit that a word with a slip in it means: `mintues`, `secounds`; 0 where it means none.

    >>> _mended("mintues"), _mended("minuets"), _mended("cassette")
    (60, 0, 0)
    """
    if word in words.NO_SLIPS:
        return 0
    near = {words.UNITS[unit] for unit in _LONG_UNITS if OSA.distance(word, unit, score_cutoff=1) <= 1}
    return near.pop() if len(near) == 1 else 0


def carried(amount: Fraction, above: int) -> tuple[DoubtRow, ...]:
    """`1 hr 90 min`: more than the unit above holds is more likely a slip, or two lengths."""
    return (("DU02", f"{amount} is more than the unit before it holds", ()),) if above and amount >= 60 else ()

"""Figures and their units along a row of length tokens: decimals, fractions, number words, halves."""

from __future__ import annotations

from fractions import Fraction

from crosswalk.values.durations import words
from crosswalk.values.durations.clocks import DoubtRow, Length
from crosswalk.values.durations.lexer import Token
from crosswalk.values.reading import Context

LONGEST_SECONDS = 36_000
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
            share = self._amount(at)[0] or Fraction(0)
            return (share * unit, at + 1) if share < 1 else (Fraction(0), at)
        if self._text(at) not in words.AND and self._text(at) != "&":
            return Fraction(0), at
        after = at + 2 if self._text(at + 1) in ("a", "an", "one", "un", "une") else at + 1
        share = words.NUMBERS.get(self._text(after), Fraction(0))
        if not 0 < share < 1 or self._unit(after + 1)[0]:
            return Fraction(0), at
        return share * unit, after + 1

    def _amount(self, at: int) -> tuple[Fraction | None, int, str | None]:
        """The figure there; the index after it; and its decimals where they have a point."""
        kind, text = self._kind(at), self._text(at)
        if kind == "frac":
            whole, _, part = text.rpartition(" ")
            above, below = part.split("/")
            return (Fraction(int(whole or 0)) + Fraction(int(above), int(below)) if int(below) else None), at + 1, None
        if kind == "num":
            return self._figure(at, text)
        if kind == "word" and text in words.NUMBERS:
            half = self._share_after(at + 1) if self._text(at + 1) in words.AND else None
            return (words.NUMBERS[text] + half[0], half[1], None) if half else self._number_words(at)
        return None, at, None

    def _figure(self, at: int, text: str) -> tuple[Fraction, int, str | None]:
        if "," in text and all(len(group) == 3 for group in text.split(",")[1:]):
            text = text.replace(",", "")  # thousands
        whole, point, decimals = text.replace(",", ".").partition(".")
        amount = Fraction(f"{whole or 0}.{decimals or 0}")
        if self._text(at + 1) == "-" and self._kind(at + 2) == "frac" and self.tokens[at + 2].glued and not point:
            share, after, _ = self._amount(at + 2)
            return amount + (share or 0), after, None
        if self._kind(at + 1) == "frac" and not point and " " not in self._text(at + 1):
            share, after, _ = self._amount(at + 1)
            return amount + (share or 0), after, None
        if self._text(at + 1) in words.AND and not point and (half := self._share_after(at + 1)):
            return amount + half[0], half[1], None
        return amount, at + 1, decimals if point else None

    def _share_after(self, at: int) -> tuple[Fraction, int] | None:
        """`1 and a half hours`."""
        after = at + 2 if self._text(at + 1) in ("a", "one") else at + 1
        share = words.NUMBERS.get(self._text(after), Fraction(0))
        return (share, after + 1) if 0 < share < 1 and self._unit(after + 1)[0] else None

    def _number_words(self, at: int) -> tuple[Fraction | None, int, str | None]:
        amount = words.NUMBERS[self._text(at)]
        after = at + 1
        if self._text(after) == "-" and self._text(after + 1) in words.NUMBERS:
            after += 1
        if self._text(after) in words.NUMBERS:
            second = words.NUMBERS[self._text(after)]
            amount = amount * second if second < 1 or amount < 1 else amount + second
            after += 1
        if self._text(after) in ("of", "d") and self._text(after + 1) in ("an", "a"):
            after += 2
        elif amount < 1 and self._text(after) in ("a", "an", "d", "of"):
            after += 1
        return (amount, after, None) if self._unit(after)[0] else (None, at, None)

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

    def _text(self, at: int) -> str:
        return self.tokens[at].text if 0 <= at < len(self.tokens) else ""

    def _kind(self, at: int) -> str:
        return self.tokens[at].kind if 0 <= at < len(self.tokens) else ""


def carried(amount: Fraction, above: int) -> tuple[DoubtRow, ...]:
    """`1 hr 90 min`: more than the unit above holds is more likely a slip, or two lengths."""
    return (("DU02", f"{amount} is more than the unit before it holds", ()),) if above and amount >= 60 else ()

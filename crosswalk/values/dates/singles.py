"""Moments that stand in one token: figures, a gap, a decade, a century."""

from __future__ import annotations

import re

from crosswalk.values.dates import numeric
from crosswalk.values.dates.looking import Found, Looking
from crosswalk.values.dates.moments import Moment

_SPLIT = re.compile(r"[^\d?x]+", re.ASCII)
ROMAN_YEAR = re.compile(r"m(?:m|cm)(?:xc|xl|l?x{0,3})(?:ix|iv|v?i{0,3})")
_ISO = re.compile(r"(\d{4})-(\d\d)-(\d\d)[t ]\s?(\d\d):(\d\d)(?::(\d\d))?(?:[.,](\d+))?\s?(z|[+-]\d\d(?::?\d\d)?)?")


OCTOBER = 10


class Singles(Looking):
    """Reads a token that is a moment by itself."""

    def _iso(self, at: int) -> Found:
        match = _ISO.match(self.tokens[at].text)
        if not match or not numeric.possible(int(match[1]), int(match[2]), int(match[3])):
            return self._refigure(at, match)
        moment = Moment(match[1], int(match[2]), int(match[3]))
        hour, minute, second, zone = match[4], match[5], match[6], (match[8] or "").upper()
        if int(hour) > 23 or int(minute) > 59 or int(second or 0) > 59:
            moment.doubts = (("DT02", f"no day has the time {hour}:{minute}", (moment.edtf,)),)
            return moment, at + 1
        if len(zone) == 5 and ":" not in zone:
            zone = f"{zone[:3]}:{zone[3:]}"
        if zone or hour != "00" or minute != "00" or second not in (None, "00"):
            moment.time = f"T{hour}:{minute}:{second}{zone}" if second else ""
            moment.beside = "" if second else f"{hour}:{minute}{zone}"
        return moment, at + 1

    def _refigure(self, at: int, match: re.Match[str] | None) -> Found:
        return (numeric.triple((match[1], match[2], match[3]), "-", self.context), at + 1) if match else (None, at)

    def _triple(self, at: int) -> Found:
        text = self.tokens[at].text
        one, two, three = _SPLIT.split(text)
        separator = next(char for char in text if not char.isdigit())
        return numeric.triple((one, two, three), separator, self.context), at + 1

    def _gap(self, at: int) -> Found:
        """`1987-04-??`, `??/04/1987`: a part that the writer left open."""
        parts = _SPLIT.split(self.tokens[at].text)
        written = next((part for part in parts if len(part) == 4), parts[-1])
        year, doubts = self._full(written), numeric.century_doubt(written, self.context)
        known = [int(part) for part in parts if part.isdigit() and part is not written]
        if not known:
            moment = self._open_parts(year, parts)
        elif "x" in parts and known[0] > 12 and numeric.possible(int(year), OCTOBER, known[0]):
            moment = Moment(year, OCTOBER, known[0])
        elif 1 <= known[0] <= 12:
            moment = Moment(year, known[0], unspecified="-XX")
            doubts += self._october_doubt(moment, known[0]) if parts[1] == "x" else ()
        else:
            moment = Moment(year, doubts=(("DT05", "a day without a month", (year,)),))
        moment.doubts += doubts
        return moment, at + 1

    @staticmethod
    def _october_doubt(moment: Moment, day: int) -> numeric.DoubtRows:
        """`12-X-61`: a Roman month, or a day left open."""
        return (("DT16", "X is October, or a part left open", (f"{moment.year}-{OCTOBER}-{day:02}", moment.edtf)),)

    @staticmethod
    def _open_parts(year: str, parts: list[str]) -> Moment:
        moment = Moment(year, unspecified="-XX" * (len(parts) - 1))
        if len(parts) == 2 and "?" in parts:
            span = f"{year}/" if parts[0].isdigit() else f"/{year}"
            moment.doubts = (("DT16", "a month or the other end of a span is not known", (moment.edtf, span)),)
        return moment

    def _decade(self, at: int) -> Found:
        text = self.tokens[at].text
        digits = re.sub(r"\D", "", text)
        if len(digits) == 4:
            moment = Moment(digits[:3] + "X")
            if digits[2:] == "00" and digits[:2] != "20":
                moment = Moment(digits[:2] + "XX", doubts=(self._span_doubt(digits),))
            return moment, at + 1
        return self._two_digit_decade(digits), at + 1

    def _two_digit_decade(self, digits: str) -> Moment:
        year = numeric.full_year(digits, self.context)
        moment = Moment(f"{year // 10}X")
        if year >= 2000:
            other = f"{(year - 100) // 10}X"
            moment.doubts = (("DT07", f'"{digits}s" may be {other} or {moment.year}', (moment.year, other)),)
        return moment

    @staticmethod
    def _span_doubt(digits: str) -> tuple[str, str, tuple[str, ...]]:
        return "DT16", f"{digits}s is a century or a decade", (digits[:2] + "XX", digits[:3] + "X")

    def _century(self, at: int) -> Found:
        text = self.tokens[at].text
        digits = re.search(r"\d+", text)
        number = int(digits[0]) if digits else _roman(text)
        return (Moment(f"{number - 1:02}XX"), at + 1) if 1 <= number <= 21 else (None, at)

    def _open(self, at: int) -> Found:
        """`196-`, `19--`, `19??`: AACR2 1.4F7 writes a probable decade or century so."""
        known = re.match(r"\d+", self.tokens[at].text)
        year = known[0] if known else ""
        return Moment(year.ljust(4, "X")), at + 1


def _roman(text: str) -> int:
    """The value of the Roman numeral in a text such as `xxe siecle`."""
    match = re.search(r"\b([xvi]+?)(?=e?m?e?\b)", text.replace("siglo", "").strip())
    return roman_value(match[1]) if match else 0


def roman_value(numeral: str) -> int:
    """The value of a Roman numeral in lower case.

    >>> roman_value("mcmlxiv")
    1964
    """
    values = [{"m": 1000, "d": 500, "c": 100, "l": 50, "x": 10, "v": 5, "i": 1}[char] for char in numeral]
    return sum(-value if value < max(values[at:]) else value for at, value in enumerate(values))

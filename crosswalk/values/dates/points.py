"""One moment at a place in the token row: worded, in figures, a season, a decade, a century."""

from __future__ import annotations

import re

from crosswalk.values.dates import numeric, words
from crosswalk.values.dates.lexer import Token
from crosswalk.values.dates.moments import Moment
from crosswalk.values.reading import Context

Found = tuple[Moment | None, int]
_SPLIT = re.compile(r"[^\d?x]+", re.ASCII)
_ROMAN_YEAR = re.compile(r"m(?:m|cm)(?:xc|xl|l?x{0,3})(?:ix|iv|v?i{0,3})")
_ISO = re.compile(r"(\d{4})-(\d\d)-(\d\d)[t ]\s?(\d\d):(\d\d)(?::(\d\d))?(?:[.,](\d+))?\s?(z|[+-]\d\d(?::?\d\d)?)?")


class PointReader:
    """Reads the moment that starts at a token: it, and the index after it; None and the index where none does."""

    def __init__(self, tokens: list[Token], context: Context) -> None:
        self.tokens = tokens
        self.context = context
        self.by_kind = {
            "iso": self._iso,
            "triple": self._triple,
            "gap": self._gap,
            "decade": self._decade,
            "century": self._century,
            "open": self._open,
            "num": self._number,
            "word": self._worded,
            "weekday": self._weekday,
        }

    def first(self, at: int) -> Found:
        """The moment that starts there."""
        reader = self.by_kind.get(self._kind(at))
        return reader(at) if reader else (None, at)

    def following(self, at: int, before: Moment, joint: str) -> tuple[Moment | None, int, bool]:
        """The moment after a joint, where it may be shortened: `1992-9`, `April 3-5, 1987`. The last is "shortened"."""
        short = self._short_year(at, before, joint)
        if short:
            return short, at + 1, True
        month, after = self._month(at)
        if month and before.month and not before.day and (month > 12) == (before.month > 12):
            year, end = self._year(self._skip(after))
            return Moment(year, month), end if year else after, False
        day = self._short_day(at, before)
        if day[0]:
            return *day, False
        return *self.first(at), False

    def _short_year(self, at: int, before: Moment, joint: str) -> Moment | None:
        digits = self._digits(at)
        if before.grain != 1 or not before.year.isdigit() or self._month(at + 1)[0]:
            return None
        if self._kind(at) == "decade":
            return None
        if self._kind(at) != "num" or not 1 <= len(digits) <= 2 or self._is_pair(at):
            return None
        if joint not in ("range", "slash") and not self._lists_years(at, before, joint):
            return None
        end = before.year[: 4 - len(digits)] + digits
        if int(end) <= int(before.year) and len(digits) == 2 and int(end) + 100 - int(before.year) <= 15:
            end = str(int(end) + 100)  # 1998-02
        return Moment(end)

    def _lists_years(self, at: int, before: Moment, joint: str) -> bool:
        """`1985, 86`, `1985 or 6`: a shortened year that nothing makes into another figure."""
        digits = self._digits(at)
        if (at + 1 < len(self.tokens) and not self._is_joint(at + 1)) or (joint == "and" and len(digits) == 1):
            return False
        return 0 < int(before.year[: 4 - len(digits)] + digits) - int(before.year) <= 15

    def _short_day(self, at: int, before: Moment) -> Found:
        digits = self._digits(at)
        if not before.day or not digits or len(digits) > 2 or not 1 <= int(digits) <= 31:
            return None, at
        if self._month(self._skip(at + 1))[0] or self._is_pair(at):
            return None, at
        year, after = self._year(self._skip(at + 1))
        if year and self._may_be_day(at, after):
            return Moment("", None, int(digits)), at + 1
        return Moment(year, None, int(digits)), after if year else at + 1

    def is_short(self, at: int) -> bool:
        """Whether a two-figure number touches what stands before it."""
        return len(self._digits(at)) == 2 and self.tokens[at].glued

    # -- single kinds

    def _iso(self, at: int) -> Found:
        match = _ISO.match(self.tokens[at].text)
        if not match or not numeric.possible(int(match[1]), int(match[2]), int(match[3])):
            return self._refigure(at, match)
        moment = Moment(match[1], int(match[2]), int(match[3]))
        hour, minute, second, zone = match[4], match[5], match[6], (match[8] or "").upper()
        if int(hour) > 23 or int(minute) > 59 or int(second or 0) > 59:
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
        year = next(part for part in parts if len(part) == 4)
        known = [int(part) for part in parts if part.isdigit() and len(part) < 4]
        if not known:
            return self._open_parts(year, parts), at + 1
        if not 1 <= known[0] <= 12:
            return Moment(year, doubts=(("DT05", "a day without a month", (year,)),)), at + 1
        return Moment(year, known[0], unspecified="-XX"), at + 1

    @staticmethod
    def _open_parts(year: str, parts: list[str]) -> Moment:
        moment = Moment(year, unspecified="-XX" * (len(parts) - 1))
        if len(parts) == 2 and "?" in parts:
            span = f"{year}/" if parts[0] == year else f"/{year}"
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

    def _weekday(self, at: int) -> Found:
        moment, after = self.first(self._skip(at + 1))
        if moment and moment.weekday is None:
            moment.weekday = words.WEEKDAYS[self.tokens[at].text]
        return moment, after if moment else at

    # -- figures

    def _number(self, at: int, nested: bool = False) -> Found:
        token, digits = self.tokens[at], self._digits(at)
        month, after = self._month(self._skip(at + 1), near=at)
        if month and len(digits) <= 2 and 1 <= int(digits) <= 31 and not self._ends_before_comma(at, after):
            return self._day_month(int(digits), month, after)
        if len(digits) == 4:
            return self._from_year(at, digits)
        if token.text[0] == "'" and len(digits) == 2:
            return Moment(self._full(digits), doubts=numeric.century_doubt(digits, self.context)), at + 1
        if self._is_pair(at) and min(int(digits), int(self._digits(at + 2))) > 31 and len(self._digits(at + 2)) == 2:
            return Moment(self._full(digits)), at + 1  # 87-88
        if self._is_pair(at):
            return numeric.pair(digits, self._digits(at + 2), self.tokens[at + 1].text, self.context), at + 3
        if len(digits) in (6, 8) and len(self.tokens) == 1:
            return numeric.compact(digits, self.context), at + 1
        if len(digits) == 2 and len(self.tokens) == 1:
            year = self._full(digits)
            return Moment(year, doubts=(("DT07", "two figures alone may be a year", (year,)),)), at + 1
        return (None, at) if nested else self._bare_start(at, digits)

    def _ends_before_comma(self, at: int, after: int) -> bool:
        """`Programme 14, June 3, 1961`: the figure before the comma is no day."""
        return self._text(at + 1) == "," and 1 <= len(self._digits(after)) <= 2

    def _bare_start(self, at: int, digits: str) -> Found:
        """`3-5 April 1987`, `4-6/1987`: a bare figure that what follows its joint explains."""
        if len(digits) > 2 or not 1 <= int(digits) <= 31 or not self._is_joint(at + 1):
            return None, at
        if self._text(at + 1) == "," and self._kind(at + 2) == "word":
            return None, at
        following, _ = self._number(at + 2, nested=True) if self._kind(at + 2) == "num" else self.first(at + 2)
        if following is None or not following.month:
            return None, at
        if following.day:
            return Moment("", None, int(digits)), at + 1
        return (Moment("", int(digits)), at + 1) if int(digits) <= 12 else (None, at)

    def _day_month(self, day: int, month: int, after: int) -> Found:
        year, end = self._year(self._skip(after))
        if month > 20:
            return None, after
        return Moment(year, month, day), end if year else after

    def _from_year(self, at: int, year: str) -> Found:
        month, after = self._month(self._skip(at + 1), near=at)
        if month and not self._opens_span(at + 1, after):
            digits = self._digits(self._skip(after))
            if (
                month <= 12
                and digits
                and len(digits) <= 2
                and 1 <= int(digits) <= 31
                and not self._is_pair(self._skip(after))
            ):
                return Moment(year, month, int(digits)), self._skip(after) + 1
            return Moment(year, month), after
        behind = self._skip(at + 1)
        digits = self._digits(behind)
        if digits and len(digits) <= 2 and (behind == at + 1 or self.tokens[at + 1].text == ","):
            month, after = self._month(self._skip(behind + 1))
            if month and month <= 12 and 1 <= int(digits) <= 31:
                return Moment(year, month, int(digits)), after
        if self._is_pair(at):
            moment = numeric.pair(year, self._digits(at + 2), self.tokens[at + 1].text, self.context)
            if moment:
                return moment, at + 3
        return Moment(year), at + 1

    def _opens_span(self, at: int, after: int) -> bool:
        """`1987-April 1988`: the month belongs to the year behind it."""
        return self.tokens[at].text == "-" and len(self._digits(self._skip(after))) == 4

    def _worded(self, at: int) -> Found:
        text = self.tokens[at].text
        if text in words.DECADE_LEADS or text in words.DECADE_WORDS:
            return self._worded_decade(at)
        if _ROMAN_YEAR.fullmatch(text) and len(text) > 2:
            return Moment(str(_roman_value(text))), at + 1
        month, after = self._month(at)
        if not month and text in words.ROMAN and self._is_joint(at + 1) and len(self._digits(at + 2)) == 4:
            month, after = words.ROMAN[text], at + 1
        if not month:
            return None, at
        if self._text(after) in ("?", "x", "xx"):
            return self._open_day(month, after)
        here = self._skip(after)
        if month <= 12:
            digits = self._digits(here)
            if digits and len(digits) <= 2 and 1 <= int(digits) <= 31 and not self.tokens[here].text.startswith("'"):
                return self._month_day(month, int(digits), here)
        year, end = self._year(here)
        if year:
            return Moment(year, month, doubts=self._two_digit_doubt(end - 1)), end
        return (Moment("", month), after) if self._is_joint(after) else (None, at)

    def _open_day(self, month: int, at: int) -> Found:
        """`April ??, 1987`: a day that the writer left open."""
        after = at
        while self._text(after) in ("?", "x", "xx"):
            after += 1
        year, end = self._year(self._skip(after))
        if not year or month > 12:
            return None, at
        moment = Moment(year, month, unspecified="-XX")
        if after == at + 1 and self._text(at) == "?" and self._text(after) != ",":
            doubt = ("DT16", "the month is not certain, or the day is not known", (f"{year}-{month:02}?", moment.edtf))
            moment.doubts = (doubt,)
        return moment, end

    def _worded_decade(self, at: int) -> Found:
        """`années 80`, `años sesenta`, `década de 1960`, `the sixties`."""
        here = at
        while self._text(here) in words.DECADE_LEADS or self._text(here) in words.FILLER:
            here += 1
        text, digits = self._text(here), self._digits(here)
        if digits and digits[-1] == "0" and len(digits) in (2, 4):
            return (self._two_digit_decade(digits) if len(digits) == 2 else Moment(digits[:3] + "X")), here + 1
        if text in words.DECADE_WORDS or (here > at and text in words.DECADE_TENS):
            tens = words.DECADE_WORDS.get(text) or words.DECADE_TENS[text]
            return self._two_digit_decade(f"{tens}"), here + 1
        return None, at

    def _month_day(self, month: int, day: int, at: int) -> Found:
        year, end = self._year(self._skip(at + 1))
        if year and not self._may_be_day(at, end):
            return Moment(year, month, day, doubts=self._two_digit_doubt(end - 1)), end
        moment = Moment("", month, day)
        text = self.tokens[at].text
        if len(text) == 2 and not self._is_joint(at + 1):
            full = self._full(text)
            moment.doubts = (("DT16", "a day without a year, or a year without a day", (f"{full}-{month:02}",)),)
        return moment, at + 1

    def _may_be_day(self, at: int, end: int) -> bool:
        """`June 13-15`, `June 13, 14, 15, 1961`: two figures that are rather the next day than the year."""
        figure = self.tokens[end - 1].text
        if len(figure) != 2 or int(figure) > 31:
            return False
        return (
            self._text(at + 1) in ("-", "/")
            or self._kind(end) == "num"
            or (self._is_joint(end) and self._kind(end + 1) == "num")
        )

    def _two_digit_doubt(self, at: int) -> tuple[tuple[str, str, tuple[str, ...]], ...]:
        return numeric.century_doubt(self._digits(at), self.context)

    # -- small looks ahead

    def _month(self, at: int, near: int = -1) -> tuple[int, int]:
        """The month or season word there, and the index after it; 0 where there is none."""
        word = self.tokens[at].text if self._kind(at) == "word" else ""
        number = words.MONTHS.get(word) or words.SEASONS.get(word) or 0
        if (
            not number
            and near >= 0
            and word in words.ROMAN
            and (self._digits(at + 1) or self._digits(self._skip(at + 1)))
        ):
            number = words.ROMAN[word]
        return (number, at + 1) if number else (0, at)

    def _year(self, at: int) -> tuple[str, int]:
        """The year there in four figures, and the index after it."""
        digits = self._digits(at)
        if len(digits) == 4:
            return digits, at + 1
        if len(digits) == 2 and not self._is_day_before_month(at):
            return self._full(digits), at + 1
        return "", at

    def _is_day_before_month(self, at: int) -> bool:
        return int(self._digits(at)) <= 31 and bool(self._month(self._skip(at + 1))[0])

    def _full(self, digits: str) -> str:
        return f"{numeric.full_year(digits, self.context):04}"

    def _is_pair(self, at: int) -> bool:
        """Whether two figures touch a mark between them, and nothing follows that makes them part of something else."""
        if self._kind(at + 1) != "sym" or self.tokens[at + 1].text not in "/-–" or self._kind(at + 2) != "num":
            return False
        glued = self.tokens[at + 1].glued and self.tokens[at + 2].glued
        lengths = len(self._digits(at)), len(self._digits(at + 2))
        usual = lengths in ((1, 2), (2, 2), (1, 4), (2, 4), (4, 1), (4, 2))
        short = max(lengths) < 4
        return glued and usual and not self._month(self._skip(at + 3))[0] and not (short and self._continues(at + 3))

    def _continues(self, at: int) -> bool:
        return (
            self._is_joint(at)
            and self.tokens[at].glued
            and self._kind(at + 1) == "num"
            and len(self._digits(at + 1)) == 4
        )

    def _is_joint(self, at: int) -> bool:
        if not 0 <= at < len(self.tokens):
            return False
        text = self.tokens[at].text
        return text in "-–/,&+" or text in words.RANGE or text in words.AND or text in words.OR

    def _skip(self, at: int) -> int:
        """Past a word or mark that stands between the parts of one date: `of`, `de`, a comma, a hyphen."""
        for _ in range(2):
            if at < len(self.tokens) and (self.tokens[at].text in words.FILLER or self.tokens[at].text in ",-/"):
                at += 1
        return at

    def _digits(self, at: int) -> str:
        return "".join(filter(str.isdigit, self.tokens[at].text)) if self._kind(at) == "num" else ""

    def _text(self, at: int) -> str:
        return self.tokens[at].text if 0 <= at < len(self.tokens) else ""

    def _kind(self, at: int) -> str:
        return self.tokens[at].kind if 0 <= at < len(self.tokens) else ""


def _roman(text: str) -> int:
    """The value of the Roman numeral in a text such as `xxe siecle`."""
    match = re.search(r"\b([xvi]+?)(?=e?m?e?\b)", text.replace("siglo", "").strip())
    return _roman_value(match[1]) if match else 0


def _roman_value(numeral: str) -> int:
    values = [{"m": 1000, "d": 500, "c": 100, "l": 50, "x": 10, "v": 5, "i": 1}[char] for char in numeral]
    return sum(-value if value < max(values[at:]) else value for at, value in enumerate(values))

"""Moments with a month, a season or a decade in words."""

from __future__ import annotations

from crosswalk.values.dates import numeric, words
from crosswalk.values.dates.looking import Found
from crosswalk.values.dates.moments import Moment
from crosswalk.values.dates.singles import ROMAN_YEAR, Singles, roman_value


class Worded(Singles):
    """Reads moments in words, in any usual order of day, month and year."""

    def _day_month(self, day: int, month: int, after: int) -> Found:
        year, end = self._year(self._skip(after))
        if month > 20:
            return None, after
        doubts = self._two_digit_doubt(end - 1) if year else ()
        return Moment(year, month, day, doubts=doubts), end if year else after

    def _from_year(self, at: int, year: str) -> Found:
        month, after = self._month(self._skip(at + 1), near=at)
        if month and not self._opens_span(at + 1, after):
            digits = self._digits(self._skip(after))
            if month <= 12 and digits and len(digits) <= 2 and 1 <= int(digits) <= 31:
                return self._month_day_of_year(year, month, self._skip(after))
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

    def _month_day_of_year(self, year: str, month: int, at: int) -> Found:
        """`1987 Sept 9`, `1987 Sept 14/15`; but `1987 Sept 9/87` repeats the year, or month and year."""
        day = int(self._digits(at))
        if not (self._is_pair(at) and self._text(at + 1) == "/" and self._digits(at + 2) in (year, year[2:])):
            return Moment(year, month, day), at + 1
        moment = Moment(year, month)
        moment.doubts = (("DT16", "a date said twice, or its day", (moment.edtf, f"{moment.edtf}-{day:02}")),)
        return moment, at + 3

    def _opens_span(self, at: int, after: int) -> bool:
        """`1987-April 1988`, `1987, April 1988`: the month belongs to the year behind it."""
        return self.tokens[at].text in ("-", ",") and len(self._digits(self._skip(after))) == 4

    def _worded(self, at: int) -> Found:
        text = self.tokens[at].text
        if text in words.DECADE_LEADS or text in words.DECADE_WORDS:
            return self._worded_decade(at)
        if ROMAN_YEAR.fullmatch(text) and len(text) > 2:
            return Moment(str(roman_value(text))), at + 1
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
        asked = self._text(at + 1) == "?"  # June 3?, 1987
        year, end = self._year(self._skip(at + 1 + asked))
        if year and not self._may_be_day(at + asked, end):
            marks = "?" if asked else ""
            return Moment(year, month, day, marks=marks, doubts=self._two_digit_doubt(end - 1)), end
        moment = Moment("", month, day)
        text = self.tokens[at].text
        if len(text) == 2 and text.isdigit() and not self._is_joint(at + 1):
            full = self._full(text)
            moment.doubts = (("DT16", "a day without a year, or a year without a day", (f"{full}-{month:02}",)),)
        return moment, at + 1

"""One moment at a place in the token row: worded, in figures, a season, a decade, a century."""

from __future__ import annotations

from crosswalk.values.dates import numeric, words
from crosswalk.values.dates.counts import compact
from crosswalk.values.dates.lexer import Token
from crosswalk.values.dates.looking import Found
from crosswalk.values.dates.moments import Moment
from crosswalk.values.dates.worded import Worded
from crosswalk.values.reading import Context

MOST_DAYS = 6  # days that may stand before the month they share


class PointReader(Worded):
    """Reads the moment that starts at a token: it, and the index after it; None and the index where none does."""

    def __init__(self, tokens: list[Token], context: Context) -> None:
        super().__init__(tokens, context)
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
        decade = self._short_decade(at, before)
        if decade:
            return decade, at + 1, False
        month, after = self._month(at)
        if month and before.month and not before.day and (month > 12) == (before.month > 12):
            year, end = self._year(self._skip(after))
            return Moment(year, month), end if year else after, False
        day = self._short_day(at, before)
        if day[0]:
            return *day, False
        moment, after = self.first(at)
        if moment and moment.day and before.day and before.year and not moment.year:
            moment.doubts = ()  # 1987 March 14 - May 17: no year 2017
        return moment, after, False

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

    def _short_decade(self, at: int, before: Moment) -> Moment | None:
        """`1910s-20s`: the second decade is of the first one's century."""
        digits = self._digits_of(at) if self._kind(at) == "decade" else ""
        if len(digits) != 2 or before.grain != 1 or not before.year[:3].isdigit() or digits <= before.year[2:3] + "0":
            return None
        return Moment(f"{before.year[:2]}{digits[0]}X")

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

    def _weekday(self, at: int) -> Found:
        moment, after = self.first(self._skip(at + 1))
        if moment and moment.weekday is None:
            moment.weekday = words.WEEKDAYS[self.tokens[at].text]
        return moment, after if moment else at

    def _number(self, at: int, nested: int = 0) -> Found:
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
            return compact(digits, self.context), at + 1
        if len(digits) == 2 and len(self.tokens) == 1:
            year = self._full(digits)
            return Moment(year, doubts=(("DT07", "two figures alone may be a year", (year,)),)), at + 1
        return self._bare_start(at, digits, nested)

    def _ends_before_comma(self, at: int, after: int) -> bool:
        """`Programme 14, June 3, 1961`: the figure before the comma is no day."""
        return self._text(at + 1) == "," and 1 <= len(self._digits(after)) <= 2

    def _bare_start(self, at: int, digits: str, nested: int) -> Found:
        """`3-5 April 1987`, `3, 4 & 6 April 1987`, `4-6/1987`: a bare figure that what follows its joint explains."""
        if nested > MOST_DAYS or len(digits) > 2 or not 1 <= int(digits) <= 31 or not self._is_joint(at + 1):
            return None, at
        if self._text(at + 1) == "," and self._kind(at + 2) == "word":
            return None, at
        following, _ = self._number(at + 2, nested + 1) if self._kind(at + 2) == "num" else self.first(at + 2)
        if following is None or not (following.month or following.day):
            return None, at
        if following.day:
            return Moment("", None, int(digits)), at + 1
        return (Moment("", int(digits)), at + 1) if int(digits) <= 12 else (None, at)

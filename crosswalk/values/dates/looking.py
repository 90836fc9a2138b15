"""Looks ahead along a row of date tokens: what stands at a place, and whether it can be a month, a year, a pair."""

from __future__ import annotations

from crosswalk.values.dates import numeric, words
from crosswalk.values.dates.lexer import Token
from crosswalk.values.dates.moments import Moment
from crosswalk.values.dates.slips import month_with_a_slip
from crosswalk.values.reading import Context

Found = tuple[Moment | None, int]


class Looking:
    """Small questions about the tokens; none of them moves anything."""

    def __init__(self, tokens: list[Token], context: Context) -> None:
        self.tokens = tokens
        self.context = context

    def _month(self, at: int, near: int = -1) -> tuple[int, int]:
        """The month or season word there, and the index after it; 0 where there is none."""
        word = self.tokens[at].text if self._kind(at) == "word" else ""
        number = words.MONTHS.get(word) or words.SEASONS.get(word) or month_with_a_slip(word)
        if not number and near >= 0 and word in words.ROMAN:
            apart = at > near + 1 or not self.tokens[at].glued  # 4x23 is an episode, no October
            number = words.ROMAN[word] if apart and self._digits(self._skip(at + 1)) else 0
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

    def _digits_of(self, at: int) -> str:
        return "".join(filter(str.isdigit, self._text(at)))

    def _text(self, at: int) -> str:
        return self.tokens[at].text if 0 <= at < len(self.tokens) else ""

    def _kind(self, at: int) -> str:
        return self.tokens[at].kind if 0 <= at < len(self.tokens) else ""

    def _may_be_day(self, at: int, end: int) -> bool:
        """`June 13-15`, `June 13, 14, 15, 1961`: two figures that are rather the next day than the year."""
        figure = self.tokens[end - 1].text
        if len(figure) != 2 or not figure.isdigit() or int(figure) > 31:
            return False
        return (
            self._text(at + 1) in ("-", "/")
            or self._kind(end) == "num"
            or (self._is_joint(end) and self._kind(end + 1 + self._is_joint(end + 1)) == "num")
        )

    def _two_digit_doubt(self, at: int) -> tuple[tuple[str, str, tuple[str, ...]], ...]:
        return numeric.century_doubt(self._digits(at), self.context)

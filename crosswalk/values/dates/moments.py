"""One point of a date expression, as written: with what is missing, doubtful or only approximate."""

from __future__ import annotations

from calendar import monthrange

import msgspec


class Moment(msgspec.Struct):
    """A date with as much as was written. `year` is four characters, with X for digits not known.

    >>> Moment(year="1987", month=4, marks="?").edtf
    '1987-04?'
    >>> Moment(year="197X").edtf
    '197X'
    """

    year: str = ""
    month: int | None = None  # 21 to 24 is a season
    day: int | None = None
    marks: str = ""  # "?" and "~" as met
    time: str = ""  # "T19:30:00", with a zone where one was written
    beside: str = ""  # a time of day that EDTF cannot carry
    unspecified: str = ""  # "-XX" or "-XX-XX" where a placeholder was written
    weekday: int | None = None
    doubts: tuple[tuple[str, str, tuple[str, ...]], ...] = ()  # code, message, suggestions

    @property
    def edtf(self) -> str:
        """The EDTF string of this moment."""
        month = f"-{self.month:02}" if self.month else ""
        day = f"-{self.day:02}" if self.day else ""
        return f"{self.year}{month}{day}{self.unspecified}{self.time}{qualifier(self.marks)}"

    @property
    def grain(self) -> int:
        """What was written: 1 a year or more, 2 a month or season, 3 a day."""
        return 3 if self.day else 2 if self.month else 1


def qualifier(marks: str) -> str:
    """The EDTF qualifier for the marks met: "?" uncertain, "~" approximate, "%" both.

    >>> qualifier("?~")
    '%'
    """
    return "%" if "?" in marks and "~" in marks else marks[:1]


def days_in(year: int, month: int) -> int:
    """The number of days of that month.

    >>> days_in(1988, 2)
    29
    """
    return monthrange(year if 1 <= year <= 9999 else 2000, month)[1]

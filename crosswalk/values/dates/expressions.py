"""What the grammar finds in a text: expressions of moments, and the words that belong to none."""

from __future__ import annotations

import msgspec

from crosswalk.values.dates.moments import Moment


class Expression(msgspec.Struct):
    """Moments and the joints between them ("range", "slash", "and", "or"), with what stood before: a bound."""

    moments: list[Moment]
    joints: list[str]
    bound: str = ""  # before, after, since, until, between, or empty
    vague: bool = False
    feast: bool = False  # Easter 1987
    cued: bool = False  # a word or a comma says that a date follows
    led: bool = False  # what stands before says so
    dated: bool = False  # and it is a word
    broken: bool = False
    short_end: bool = False  # 1982/83
    weekday: int | None = None
    unknown_end: bool = False  # 1985-[?]
    split_season: bool = False  # Winter 1983-84
    about_span: bool = False  # ca. 1915-1918: the word stands before the whole span
    about_end: bool = False  # 1915-1918 ca.: both ends, or the last
    numbered: bool = False  # Tape 3 May 1987: a day, or a number
    loose: str = ""  # a figure behind a joint that no date took: 1978 or 87
    glued_c: bool = False  # c1985: circa, or copyright


class Parsed(msgspec.Struct):
    """What was found in a text: expressions, and the words that belong to none."""

    expressions: list[Expression]
    others: list[str]
    counted: list[str]  # "tape 2 of 3"
    unsure: list[str]
    strays: list[str]  # figures and month words that may belong to the date
    times: list[str]
    date_types: list[str]
    left: list[list[str]] = []  # all words and figures that no date took, as they stand together
    notes: tuple[str, ...] = ()  # those of them that are to be kept

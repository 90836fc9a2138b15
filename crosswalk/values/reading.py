"""The one interface of all value parsers: text and context in; value, how it was found, and doubts out.

A parser is a pure function `read_x(text: str, context: Context) -> Reading`. It never raises for a bad value: it
returns a reading without a value and with the doubt that says why. A reading with a value and a doubt is a proposal
that a person must look at: the mapping does not carry it as fact.
"""

from __future__ import annotations

from collections.abc import Callable
from enum import StrEnum
from typing import TypeAlias

import msgspec


class How(StrEnum):
    """How a value was found."""

    EXACT = "exact"  # the text is the published form already
    ALIAS = "alias"  # a row of a vocabulary names this wording
    PATTERN = "pattern"  # a rule that can be named took it apart
    DECISION = "decision"  # a person decided it
    UNREAD = "unread"  # nothing was made of it; the doubts say why


# gc=False below: readings hold no cycles, and a million of them would keep the collector of cycles busy.


class Doubt(msgspec.Struct, frozen=True, gc=False):
    """Why a value cannot simply be trusted: a code of the table, a sentence, and values that may have been meant."""

    code: str
    message: str
    suggestions: tuple[str, ...] = ()


class Reading(msgspec.Struct, frozen=True, gc=False):
    """What a parser made of a text.

    `value` is the standard form (a published term, EDTF, `HH:MM:SS`, a language code), None where nothing was made of
    it. `rule` names the table or rule that changed the text. `also` is what else the wording said, as (kind, value)
    pairs such as ("generation", "Master"), ("standard", "PAL"), ("duration", "01:00:00").

    >>> Reading("U-matic", How.ALIAS).settled
    True
    >>> Reading(None, How.UNREAD, (Doubt("CA01", "no carrier is called so"),)).settled
    False
    """

    value: str | None
    how: How
    doubts: tuple[Doubt, ...] = ()
    rule: str = ""
    also: tuple[tuple[str, str], ...] = ()

    @property
    def settled(self) -> bool:
        """Whether there is a value and no doubt about it."""
        return self.value is not None and not self.doubts


class Context(msgspec.Struct, frozen=True, kw_only=True):
    """What is known beside the text. Everything may be unknown; a parser uses what concerns it."""

    day_first: bool | None = None  # 3/4/87 is 3 April (True) or 4 March (False)
    earliest_year: int = 1880  # nothing recorded can be older
    latest_year: int = 2035
    century_pivot: int = 35  # a two-digit year above it is 19xx, up to it 20xx
    carrier: str = ""  # published term of the carrier in the same row
    capacity_ms: int | None = None  # what the carrier holds at most
    fps: str = ""  # "25", "29.97", ... with "df" behind it for drop-frame
    minutes_first: bool | None = None  # 1:30 is 1 min 30 s (True) or 1 h 30 min (False)
    excel_epoch: int = 1900  # 1900 or 1904
    episode_pattern: str = ""  # the house's own pattern for episode codes
    options: tuple[tuple[str, str], ...] = ()  # further options of a mapping's column, for a house's own converter
    bare_unit: str = ""  # unit of a bare number in a column of lengths: "h", "min" or "s"
    point_is_clock: bool | None = None  # 12.30 min is 12 min 30 s (True) or twelve minutes and three tenths (False)
    day_counts: bool | None = None  # bare numbers of a date column are a workbook's day counts (True)
    house_files: tuple[str, ...] = ()  # a house's own additions to the vocabularies


NO_CONTEXT = Context()

Parser: TypeAlias = Callable[[str, Context], Reading]


def refused(code: str, message: str, *suggestions: str) -> Reading:
    """A reading without a value, with the one doubt that says why.

    >>> refused("DT02", "April has 30 days", "1987-04-30").doubts[0].suggestions
    ('1987-04-30',)
    """
    return Reading(None, How.UNREAD, (Doubt(code, message, suggestions),))

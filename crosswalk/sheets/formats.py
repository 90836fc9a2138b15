"""Number formats: what a stored number is shown as, where that is more than the number.

A code such as `0423` is often the number 423 under the format `0000`; a year is 1 January under `yyyy`; a month is its
first day under `mmm-yy`. What is shown is what the cataloguer saw and meant.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from datetime import datetime, timedelta
from enum import Enum, auto

import msgspec

from crosswalk.sheets.cells import Kind
from crosswalk.sheets.texts import date_text, length_text, number_text, percent_text

FIRST_SURE_SERIAL = 61  # 1 March 1900: before it, the epoch of 1900 counts a 29 February that never was
LAST_SERIAL = 2_958_465  # 31 December 9999
LIKELY_YEARS = range(1800, 2100)  # as a serial number a day of about 1905: rather a year typed under a date format

# ECMA-376 Part 1, 18.8.30: the formats that have a number and no code in the file
BUILT_IN = {
    9: "0%", 10: "0.00%", 14: "mm-dd-yy", 15: "d-mmm-yy", 16: "d-mmm", 17: "mmm-yy", 18: "h:mm AM/PM",
    19: "h:mm:ss AM/PM", 20: "h:mm", 21: "h:mm:ss", 22: "m/d/yy h:mm", 45: "mm:ss", 46: "[h]:mm:ss", 47: "mmss.0",
}  # fmt: skip

PLACE = "\0"  # in a pattern, where a digit goes
TOKEN = re.compile(
    r"\"(?P<quoted>[^\"]*)\"|\\(?P<escaped>.)|_.|\*.|\[(?P<elapsed>[hms])(?P=elapsed)*\]|\[[^\]]*\]|(?P<noon>AM/PM|A/P)"
    r"|(?P<end>;)|(?P<digits>0+)|(?P<percent>%)|(?P<unit>[ymdhs])|(?P<literal>[-+/(): $'&~<>=])|(?P<other>[^@])",
    re.IGNORECASE | re.DOTALL,
)


class Shows(Enum):
    """What a number format makes of a number."""

    PLAIN = auto()  # the number, perhaps with other decimals
    DIGITS = auto()  # leading zeros, or fixed letters about the digits
    PERCENT = auto()
    YEAR = auto()
    MONTH = auto()  # month and year
    DAY_OF_YEAR = auto()  # day and month without a year
    DATE = auto()
    TIME = auto()  # time of day
    LENGTH = auto()  # hours, minutes or seconds that do not end at the next larger unit


class Format(msgspec.Struct, frozen=True):
    """A number format: its code, what it shows, and for DIGITS the pattern with `PLACE` where a digit goes."""

    code: str
    shows: Shows = Shows.PLAIN
    pattern: str = ""


class Shown(msgspec.Struct, frozen=True):
    """What a cell reads as under its format; `code` is that of the finding, if any."""

    text: str
    kind: Kind | None
    code: str = ""


def parse_format(code: str) -> Format:
    """What a format's code shows; only its first section counts, the one for positive numbers.

    >>> [parse_format(code).shows.name for code in ("0000", "[$-409]mmm\\\\ yyyy", "#,##0.00")]
    ['DIGITS', 'MONTH', 'PLAIN']
    """
    tokens = list(_tokens(code))
    kinds = {kind for kind, _ in tokens}
    units = "".join(f"[{text}]" if kind == "elapsed" else text for kind, text in tokens if kind in ("elapsed", "unit"))
    if "percent" in kinds:
        return Format(code, Shows.PERCENT)
    if units:
        return Format(code, _moment(units.lower()))
    if "digits" not in kinds or "other" in kinds:
        return Format(code)
    pattern = "".join(PLACE * len(text) if kind == "digits" else text for kind, text in tokens)
    return Format(code, Shows.PLAIN if pattern.strip() == PLACE else Shows.DIGITS, pattern.strip())


def _tokens(code: str) -> Iterator[tuple[str, str]]:
    """The parts of the first section, each with the name of its group; colours, padding and locales left out."""
    for match in TOKEN.finditer(code):
        if match.lastgroup == "end":
            return
        if match.lastgroup:
            yield match.lastgroup, match[match.lastgroup]


def _moment(letters: str) -> Shows:
    if "[" in letters:
        return Shows.LENGTH
    has = {letter for letter in "ydhs" if letter in letters}
    if not has & {"h", "s"}:
        month = "m" in letters
        if "y" in has:
            return Shows.DATE if "d" in has else Shows.MONTH if month else Shows.YEAR
        return Shows.DAY_OF_YEAR if month and "d" in has else Shows.DATE
    return Shows.DATE if has & {"y", "d"} else Shows.TIME


def shown(raw: str, form: Format, epoch_1904: bool) -> Shown | None:
    """What a stored number reads as under a format; None where nothing is peculiar about it.

    >>> shown("423", parse_format("0000"), False).text, shown("31778", parse_format("yyyy"), False).text
    ('0423', '1987')
    """
    number = float(raw)
    if form.shows is Shows.PLAIN:
        return None
    if form.shows is Shows.DIGITS:
        return _digits(number, form.pattern)
    if form.shows is Shows.PERCENT:
        return Shown(percent_text(number), Kind.PERCENT)
    if form.shows in (Shows.TIME, Shows.LENGTH):
        return _time(number, form)
    return _date(number, form, epoch_1904)


def _digits(number: float, pattern: str) -> Shown | None:
    if number < 0 or number != int(number):
        return None
    places = pattern.count(PLACE)
    digits = str(int(number)).rjust(places, "0")
    surplus, kept = digits[: len(digits) - places], iter(digits[len(digits) - places :])
    before, _, after = pattern.partition(PLACE)
    text = "".join(next(kept) if character == PLACE else character for character in PLACE + after)
    return Shown(before + surplus + text, None, "SH17")


def _time(number: float, form: Format) -> Shown | None:
    if abs(number) > LAST_SERIAL:
        return Shown(number_text(number), Kind.NUMBER, "SH19")
    if number < 0:
        return Shown(length_text(timedelta(days=number)), Kind.TIME, "SH19")
    if form.shows is Shows.TIME and number >= 1:
        return Shown(length_text(timedelta(days=number)), Kind.TIME, "SH17")
    return None


def _date(number: float, form: Format, epoch_1904: bool) -> Shown | None:
    if not (0 if epoch_1904 else FIRST_SURE_SERIAL) <= number < LAST_SERIAL + 1:
        return None if 0 <= number < 1 else Shown(number_text(number), Kind.NUMBER, "SH19")
    moment = serial_moment(number, epoch_1904)
    if number in LIKELY_YEARS:
        return Shown(date_text(moment), Kind.DATE, "SH19")
    if form.shows is Shows.YEAR:
        return Shown(f"{moment.year:04d}", Kind.DATE, "SH18")
    if form.shows is Shows.MONTH:
        return Shown(f"{moment.year:04d}-{moment.month:02d}", Kind.DATE, "SH18")
    if form.shows is Shows.DAY_OF_YEAR:
        return Shown(f"--{moment.month:02d}-{moment.day:02d}", Kind.DATE, "SH20")
    return Shown(date_text(moment), Kind.DATE)


def serial_moment(serial: float, epoch_1904: bool = False) -> datetime:
    """The moment that a serial number of days stands for. In the epoch of 1900, day 60 is a 29 February that never
    was: it reads as 28 February, and so do the days before it count one less (ECMA-376 Part 1, 18.17.4.1).

    >>> serial_moment(31870.84375).isoformat(), serial_moment(30408, True).isoformat()
    ('1987-04-03T20:15:00', '1987-04-03T00:00:00')
    """
    start = datetime(1904, 1, 1) if epoch_1904 else datetime(1899, 12, 30)
    early = not epoch_1904 and 0 < serial < FIRST_SURE_SERIAL - 1
    return start + timedelta(days=int(serial) + early, milliseconds=round(serial % 1 * 86_400_000))

"""What a cell's stored value reads as: numbers in their shortest form, dates and times as ISO 8601 writes them."""

from __future__ import annotations

from datetime import date, datetime, time, timedelta
from decimal import Decimal
from math import isfinite

from crosswalk.sheets.cells import Kind

EXACT_TO = 10**15  # spreadsheets keep 15 significant digits; a larger whole number may have lost its last ones

Value = str | int | float | bool | date | datetime | time | timedelta


def number_text(number: float) -> str:
    """The shortest text of a number, of at most 15 significant digits, never with an exponent.

    >>> number_text(423.0), number_text(0.1 + 0.2), number_text(1e21), number_text(-0.0000001)
    ('423', '0.3', '1000000000000000000000', '-0.0000001')
    """
    if not isfinite(number):
        return str(number)
    if number == int(number):
        return str(int(number)) if abs(number) < EXACT_TO else f"{Decimal(repr(number)):f}".removesuffix(".0")
    text = f"{number:.15g}"
    return f"{Decimal(text):f}" if "e" in text else text


def percent_text(number: float) -> str:
    """A stored fraction as the sheet shows it.

    >>> percent_text(0.5), percent_text(0.125)
    ('50%', '12.5%')
    """
    return number_text(float(f"{number * 100:.13g}")) + "%"


def length_text(length: timedelta) -> str:
    """A length as hours (as many as there are), minutes and seconds; milliseconds only where there are some.

    >>> length_text(timedelta(hours=30, minutes=5)), length_text(timedelta(seconds=-90.25))
    ('30:05:00', '-00:01:30.250')
    """
    total_ms = round(length / timedelta(milliseconds=1))
    sign, (seconds, ms) = "-" * (total_ms < 0), divmod(abs(total_ms), 1000)
    text = f"{sign}{seconds // 3600:02d}:{seconds // 60 % 60:02d}:{seconds % 60:02d}"
    return f"{text}.{ms:03d}" if ms else text


def date_text(moment: date) -> str:
    """A date, with the time of day where there is one.

    >>> date_text(datetime(1987, 4, 3, 20, 15)), date_text(datetime(1987, 4, 3)), date_text(date(1987, 4, 3))
    ('1987-04-03T20:15:00', '1987-04-03', '1987-04-03')
    """
    if not isinstance(moment, datetime):
        return moment.isoformat()
    whole = _to_millisecond(moment)
    if whole.time() == time():
        return whole.date().isoformat()
    return whole.isoformat(timespec="milliseconds" if whole.microsecond else "seconds")


def _to_millisecond(moment: datetime) -> datetime:
    """A sheet keeps a moment as a fraction of a day: what is finer than a millisecond is the fraction's rounding."""
    ms = round(moment.microsecond / 1000)
    return moment.replace(microsecond=0) + timedelta(milliseconds=ms)


def _time_text(moment: time) -> str:
    since_midnight = timedelta(
        hours=moment.hour, minutes=moment.minute, seconds=moment.second, microseconds=moment.microsecond
    )
    return length_text(since_midnight)


def value_text(value: Value) -> tuple[str, Kind | None]:
    """The text of a stored value and its kind, None for plain text.

    >>> value_text(423.0), value_text(True), value_text(time(0, 58, 30))
    (('423', <Kind.NUMBER: 'number'>), ('TRUE', <Kind.BOOLEAN: 'boolean'>), ('00:58:30', <Kind.TIME: 'time'>))
    """
    if isinstance(value, str):
        return value, None
    if isinstance(value, bool):
        return str(value).upper(), Kind.BOOLEAN
    if isinstance(value, int | float):
        return number_text(value), Kind.NUMBER
    if isinstance(value, date):
        return date_text(value), Kind.DATE
    return (_time_text(value) if isinstance(value, time) else length_text(value)), Kind.TIME

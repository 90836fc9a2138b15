"""Number formats, serial dates in both epochs. Outside checks: openpyxl's conversion of serial numbers, its reading of
which formats are dates, and the leap year of 1900 that the epoch inherited (ECMA-376 Part 1, 18.17.4.1)."""

from __future__ import annotations

from datetime import date, datetime, time, timedelta

import pytest
from hypothesis import given
from hypothesis import strategies as st
from openpyxl.styles.numbers import BUILTIN_FORMATS, is_date_format
from openpyxl.utils.datetime import CALENDAR_MAC_1904, CALENDAR_WINDOWS_1900, from_excel

from crosswalk.sheets import Kind
from crosswalk.sheets.formats import BUILT_IN, Shows, parse_format, serial_moment, shown
from crosswalk.sheets.texts import date_text, length_text, number_text, percent_text, value_text

SHOWS = {
    "General": Shows.PLAIN, "@": Shows.PLAIN, "0": Shows.PLAIN, "0.00": Shows.PLAIN, "#,##0": Shows.PLAIN,
    "#,##0.00;[Red]-#,##0.00": Shows.PLAIN, "# ?/?": Shows.PLAIN, "0.00E+00": Shows.PLAIN, '"£"#,##0': Shows.PLAIN,
    "0000": Shows.DIGITS, "000-00": Shows.DIGITS, '"T-"0000': Shows.DIGITS, "\\T0000": Shows.DIGITS,
    '0" min"': Shows.DIGITS, "00\\:00\\:00": Shows.DIGITS, "[Red]0000": Shows.DIGITS, "0000_);(0000)": Shows.DIGITS,
    "0%": Shows.PERCENT, "0.00%": Shows.PERCENT,
    "yyyy": Shows.YEAR, "yyyy;@": Shows.YEAR, "yy": Shows.YEAR,
    "mmm-yy": Shows.MONTH, "mmmm\\ yyyy": Shows.MONTH, "[$-809]mmm\\ yyyy;@": Shows.MONTH,
    "d-mmm": Shows.DAY_OF_YEAR, "dd/mm": Shows.DAY_OF_YEAR,
    "dd/mm/yyyy": Shows.DATE, "[$-409]d\\-mmm\\-yyyy;@": Shows.DATE, "m/d/yy h:mm": Shows.DATE, "dddd": Shows.DATE,
    "h:mm": Shows.TIME, "mm:ss": Shows.TIME, "h:mm:ss AM/PM": Shows.TIME, "mm:ss.0": Shows.TIME,
    "[h]:mm:ss": Shows.LENGTH, "[mm]:ss": Shows.LENGTH, "[ss]": Shows.LENGTH,
}  # fmt: skip
MOMENTS = {Shows.YEAR, Shows.MONTH, Shows.DAY_OF_YEAR, Shows.DATE, Shows.TIME, Shows.LENGTH}


@pytest.mark.parametrize("code", SHOWS)
def test_what_a_format_shows(code: str) -> None:
    assert parse_format(code).shows is SHOWS[code]


@pytest.mark.parametrize("code", [*SHOWS, *(code for code in BUILTIN_FORMATS.values() if code != "General")])
def test_openpyxl_agrees_which_formats_are_dates(code: str) -> None:
    assert (parse_format(code).shows in MOMENTS) == is_date_format(code)


@pytest.mark.parametrize("number", BUILT_IN)
def test_openpyxl_has_the_same_built_in_formats(number: int) -> None:
    assert parse_format(BUILTIN_FORMATS[number]).shows is parse_format(BUILT_IN[number]).shows


# format, stored number, text, kind, code of the finding
READ_AS: dict[str, tuple[str, str, str, Kind | None, str]] = {
    "leading zero": ("0000", "423", "0423", None, "SH17"),
    "more digits than places": ("000", "4231", "4231", None, "SH17"),
    "letters before": ('"TDLN"0000', "423", "TDLN0423", None, "SH17"),
    "places with a hyphen": ("000-00", "11703", "117-03", None, "SH17"),
    "surplus digits go first": ("00-00", "11703", "117-03", None, "SH17"),
    "a unit behind": ('0" min"', "58", "58 min", None, "SH17"),
    "length typed as a number": ("00\\:00\\:00", "5830", "00:58:30", None, "SH17"),
    "percent": ("0%", "0.5", "50%", Kind.PERCENT, ""),
    "percent that binary cannot hold": ("0.0%", "0.29", "29%", Kind.PERCENT, ""),
    "year": ("yyyy", "31778", "1987", Kind.DATE, "SH18"),
    "month": ("mmm-yy", "32021", "1987-09", Kind.DATE, "SH18"),
    "day and month": ("d-mmm", "39906", "--04-03", Kind.DATE, "SH20"),
    "negative under a date": ("yyyy-mm-dd", "-5", "-5", Kind.NUMBER, "SH19"),
    "a count under a date": ("yyyy-mm-dd", "27", "27", Kind.NUMBER, "SH19"),
    "the day that never was": ("yyyy-mm-dd", "60", "60", Kind.NUMBER, "SH19"),
    "digits of a date under a date": ("yyyy-mm-dd", "19870403", "19870403", Kind.NUMBER, "SH19"),
    "a year under a date": ("dd/mm/yyyy", "1987", "1905-06-09", Kind.DATE, "SH19"),
    "minutes typed as hours": ("h:mm", "2.4375", "58:30:00", Kind.TIME, "SH17"),
    "negative length": ("[h]:mm", "-0.5", "-12:00:00", Kind.TIME, "SH19"),
}


@pytest.mark.parametrize("case", READ_AS)
def test_numbers_read_as_they_are_shown(case: str) -> None:
    code, raw, text, kind, finding = READ_AS[case]
    found = shown(raw, parse_format(code), False)
    assert found is not None
    assert (found.text, found.kind, found.code) == (text, kind, finding)


UNTOUCHED = {
    "plain": ("0.00", "423"), "negative digits": ("0000", "-423"), "parts of digits": ("0000", "4.5"),
    "time of day": ("h:mm", "0.75"), "length": ("[h]:mm:ss", "1.25"), "time under a date": ("dd/mm/yyyy", "0.5"),
}  # fmt: skip


@pytest.mark.parametrize("case", UNTOUCHED)
def test_nothing_peculiar(case: str) -> None:
    code, raw = UNTOUCHED[case]
    assert shown(raw, parse_format(code), False) is None


@given(st.integers(min_value=1, max_value=2_958_464).filter(lambda serial: serial != 60))
def test_openpyxl_agrees_on_dates_since_1900(serial: int) -> None:
    assert serial_moment(serial) == from_excel(serial, CALENDAR_WINDOWS_1900)


@given(st.integers(min_value=1, max_value=2_957_000))
def test_openpyxl_agrees_on_dates_since_1904(serial: int) -> None:
    assert serial_moment(serial, True) == from_excel(serial, CALENDAR_MAC_1904)


def test_the_leap_year_that_never_was() -> None:
    assert serial_moment(59) == datetime(1900, 2, 28)
    assert serial_moment(60) == datetime(1900, 2, 28)
    assert serial_moment(61) == datetime(1900, 3, 1)
    assert serial_moment(1) == datetime(1900, 1, 1)


def test_the_two_epochs_are_1462_days_apart() -> None:  # ECMA-376 Part 1, 18.17.4.1
    assert serial_moment(30_000 + 1462) == serial_moment(30_000, True)


TEXTS: dict[str, tuple[object, str, Kind | None]] = {
    "whole": (423.0, "423", Kind.NUMBER), "negative": (-7.0, "-7", Kind.NUMBER), "zero": (0.0, "0", Kind.NUMBER),
    "parts": (1.5, "1.5", Kind.NUMBER), "sum of tenths": (0.1 + 0.2, "0.3", Kind.NUMBER),
    "large": (4.2e20, "420000000000000000000", Kind.NUMBER), "small": (1e-7, "0.0000001", Kind.NUMBER),
    "boolean": (False, "FALSE", Kind.BOOLEAN), "text": ("x", "x", None),
    "date": (date(1987, 4, 3), "1987-04-03", Kind.DATE),
    "moment": (datetime(1987, 4, 3, 20, 15), "1987-04-03T20:15:00", Kind.DATE),
    "midnight": (datetime(1987, 4, 3), "1987-04-03", Kind.DATE),
    "rounding of a fraction of a day": (datetime(1987, 4, 3, 20, 14, 59, 999_900), "1987-04-03T20:15:00", Kind.DATE),
    "time": (time(0, 58, 30), "00:58:30", Kind.TIME),
    "milliseconds": (time(0, 0, 1, 480_000), "00:00:01.480", Kind.TIME),
    "length": (timedelta(hours=30, minutes=5), "30:05:00", Kind.TIME),
}  # fmt: skip


@pytest.mark.parametrize("case", TEXTS)
def test_texts_of_values(case: str) -> None:
    value, text, kind = TEXTS[case]
    assert value_text(value) == (text, kind)  # type: ignore[arg-type]


@given(st.floats(allow_nan=False, allow_infinity=False, min_value=-1e14, max_value=1e14))
def test_a_number_keeps_its_15_digits_and_has_no_exponent(number: float) -> None:
    text = number_text(number)
    assert "e" not in text.lower()
    assert float(text) == float(f"{number:.15g}")


@given(st.integers(min_value=0, max_value=10**7))
def test_percent_texts(hundredths: int) -> None:
    assert percent_text(hundredths / 10_000) == f"{hundredths / 100:.2f}".rstrip("0").rstrip(".") + "%"


@given(st.timedeltas(min_value=timedelta(0), max_value=timedelta(days=4000)))
def test_lengths(length: timedelta) -> None:
    hours, minutes, seconds = length_text(length).split(":")
    read = timedelta(hours=int(hours), minutes=int(minutes), seconds=float(seconds))
    assert abs(read - length) <= timedelta(milliseconds=1)


@given(st.datetimes(min_value=datetime(1, 1, 1), max_value=datetime(9999, 12, 30)))
def test_dates(moment: datetime) -> None:
    assert abs(datetime.fromisoformat(date_text(moment)) - moment) <= timedelta(milliseconds=1)

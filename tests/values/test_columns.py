"""Columns: what the neighbours decide, what they cannot, and a reader that takes each wording apart once."""

from __future__ import annotations

import pytest

from crosswalk.values import columns
from crosswalk.values.columns import ColumnReader, column_context
from crosswalk.values.reading import NO_CONTEXT, Context, How, Reading


@pytest.mark.parametrize(
    ("texts", "day_first"),
    [
        (["6/3/61", "13/6/61"], True),
        (["6/3/61", "6/13/61"], False),
        (["6.3.61", "31.4.61"], True),
        (["6/3/61", "7/7/61"], None),
        (["6/3/61", "June 13, 1961"], None),
        (["6/3/61", "13/6/61", "6/13/61"], None),
        (["6/3/61", "1961-06-13"], None),
        (["6/3/61", "tape 13/6 of 20"], None),
        (["6/3/61", "taped 6/13/61"], False),
        ([], None),
    ],
)
def test_one_impossible_reading_decides_the_order(texts: list[str], day_first: bool | None) -> None:
    assert column_context("date", texts).day_first == day_first


def test_evidence_both_ways_is_told_in_each_doubt() -> None:
    context = column_context("date", ["6/3/61", "13/6/61", "6/13/61"])
    assert [doubt.code for doubt in ColumnReader("date", context).read("6/3/61").doubts] == ["DT15"]


def test_a_mapping_that_states_the_order_stands() -> None:
    assert column_context("date", ["6/13/61"], Context(day_first=True)).day_first is True


@pytest.mark.parametrize(
    ("texts", "value"),
    [
        (["20013", "29182"], "1954-10-16"),
        (["20013", "1961"], None),
        (["20013", "20014"], None),
    ],
)
def test_a_column_of_day_counts(texts: list[str], value: str | None) -> None:
    reading = ColumnReader("date", column_context("date", texts)).read("20013")
    assert (reading.value if reading.settled else None) == value


@pytest.mark.parametrize(
    ("texts", "settled"),
    [
        (["1961/1964", "1961~", "196X"], True),
        (["1961/1964", "1961/.."], True),
        (["1961/1964", "1961/1962"], False),
        (["1961/1964", "1961~", "summer 1961"], False),
    ],
)
def test_a_column_of_edtf(texts: list[str], settled: bool) -> None:
    assert ColumnReader("date", column_context("date", texts)).read("1961/1964").settled == settled


@pytest.mark.parametrize(
    ("texts", "value"),
    [
        (["2003-04", "1985-04"], "2003-04"),
        (["2003-04", "1985-97"], "2003/2004"),
        (["2003-04", "1985-04", "1985-97"], None),
        (["2003-04", "2001-06"], None),
    ],
)
def test_a_year_and_two_figures(texts: list[str], value: str | None) -> None:
    reading = ColumnReader("date", column_context("date", texts)).read("2003-04")
    assert (reading.value if reading.settled else None) == value


@pytest.mark.parametrize(
    ("texts", "minutes_first"),
    [
        (["1:30", "58:30"], True),
        (["1:30", "10:00"], True),
        (["1:30", "2:45"], None),
        (["1:30", "2:45 hrs"], False),
        (["1:30", "58:30", "2:45 hrs"], None),
        (["1:30", "01:58:30"], None),
    ],
)
def test_a_length_that_cannot_be_hours_decides(texts: list[str], minutes_first: bool | None) -> None:
    assert column_context("duration", texts).minutes_first == minutes_first


SIXTIETHS = ["12.30 min", "3.45 min", "7.15 mins", "44.59 min", "(5.05 min)", "9.12 min", "10.40 min", "6.33 min"]


@pytest.mark.parametrize(
    ("texts", "point_is_clock"),
    [
        (SIXTIETHS, True),
        (SIXTIETHS[:5], None),
        ([*SIXTIETHS, "7.75 min"], False),
        (["12.75 min"], False),
        (["12.00 min"] * 9, None),
        (["400.75 ft", "2.75 hrs", "12.5 min"], None),
    ],
)
def test_hundredths_or_sixtieths(texts: list[str], point_is_clock: bool | None) -> None:
    assert column_context("duration", texts).point_is_clock == point_is_clock


@pytest.mark.parametrize(
    ("texts", "unit"),
    [
        (["1660", "27", "3480.0"], "s"),
        (["1660"], "s"),
        (["27", "1660"], ""),
        (["27", "58"], ""),
        (["27", "1660 ft"], ""),
        (["1660", "58:30", "27:30"], ""),
        (["1987", "1991"], ""),
    ],
)
def test_most_numbers_too_large_for_minutes_make_seconds(texts: list[str], unit: str) -> None:
    assert column_context("duration", texts).bare_unit == unit


def test_a_unit_that_nobody_stated_is_said_to_be_the_columns() -> None:
    column = column_context("duration", ["1660", "1720", "27"])
    stated = Context(bare_unit="s")
    assert [ColumnReader("duration", context).read("1660").rule for context in (column, stated)] == [
        "column-unit",
        "stated-unit",
    ]


@pytest.mark.parametrize("kind", ["carrier", "text", "no such kind"])
def test_other_columns_give_no_evidence(kind: str) -> None:
    assert column_context(kind, ["6/13/61"]) == NO_CONTEXT


def test_each_wording_is_taken_apart_once(monkeypatch: pytest.MonkeyPatch) -> None:
    seen: list[str] = []

    def read(text: str, context: Context) -> Reading:
        seen.append(text)
        return Reading(text, How.EXACT)

    monkeypatch.setattr(columns, "parser", lambda kind: read)
    reader = ColumnReader("date")
    assert [reading.value for reading in reader.read_all(["a", "b", "a"] * 1000)] == ["a", "b", "a"] * 1000
    assert reader.read("a").value == "a"
    assert seen == ["a", "b"]

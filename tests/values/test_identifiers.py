"""Identifiers and part numbers: what spreadsheets do to them."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from crosswalk.values.identifiers import read_identifier, read_part
from crosswalk.values.reading import NO_CONTEXT


@pytest.mark.parametrize(
    "text, value",
    [
        ("MC-0117", "MC-0117"),
        ("00117", "00117"),
        ("31665.0", "31665"),
        ("1.0", "1"),
        ("1.50", "1.50"),
        ("'00117", "00117"),
        ("*31665*", "31665"),
        ("  MC  0117 ", "MC 0117"),
        ("31665000123456", "31665000123456"),
        ("Ü-12/b", "Ü-12/b"),
    ],
)
def test_identifiers(text: str, value: str) -> None:
    reading = read_identifier(text, NO_CONTEXT)
    assert (reading.value, reading.settled) == (value, True)


@pytest.mark.parametrize(
    "text, code",
    [
        ("3.16650E+13", "ID04"),
        ("3,1E+11", "ID04"),
        ("31665000123456000", "ID04"),
        ("#REF!", "ID03"),
        ("", "ID03"),
        ("--", "ID03"),
        ("9" * 300, "ID03"),
    ],
)
def test_doubtful_identifiers(text: str, code: str) -> None:
    """IEEE 754 double precision keeps 15 decimal digits."""
    reading = read_identifier(text, NO_CONTEXT)
    assert [doubt.code for doubt in reading.doubts] == [code]


@pytest.mark.parametrize(
    "text, value, also",
    [
        ("Tape 2 of 3", "2 of 3", {"part": "2", "of": "3", "kind": "tape"}),
        ("2/3", "2 of 3", {"part": "2", "of": "3"}),
        ("2 of 3", "2 of 3", {"part": "2", "of": "3"}),
        ("(2 of 3)", "2 of 3", {}),
        ("Pt. 2", "2", {"part": "2", "kind": "pt"}),
        ("Part II", "2", {"part": "2"}),
        ("Reel IV of VI", "4 of 6", {}),
        ("Side A", "A", {"part": "A", "kind": "side"}),
        ("Teil 1 von 2", "1 of 2", {}),
        ("part two of three", "2 of 3", {}),
        ("2.0", "2", {}),
        ("01 of 02", "1 of 2", {}),
        ("disc 1", "1", {"kind": "disc"}),
    ],
)
def test_parts(text: str, value: str, also: dict[str, str]) -> None:
    reading = read_part(text, NO_CONTEXT)
    assert (reading.value, reading.settled) == (value, True)
    assert dict(reading.also).items() >= also.items()


@pytest.mark.parametrize(
    "text, code",
    [("3 of 2", "ID06"), ("", "ID05"), ("see notes", "ID05"), ("A", "ID05"), ("1-2", "ID05"), ("x" * 99, "ID05")],
)
def test_doubtful_parts(text: str, code: str) -> None:
    reading = read_part(text, NO_CONTEXT)
    assert reading.value is None
    assert [doubt.code for doubt in reading.doubts] == [code]


@given(st.integers(1, 500), st.integers(0, 500))
def test_a_part_that_is_printed_is_read_again(part: int, more: int) -> None:
    value = f"{part} of {part + more}"
    assert read_part(value, NO_CONTEXT).value == value


@given(st.from_regex(r"[A-Za-z0-9][A-Za-z0-9 /._-]{0,30}", fullmatch=True))
def test_reading_an_identifier_twice_changes_nothing(text: str) -> None:
    once = read_identifier(text, NO_CONTEXT).value
    assert once is None or read_identifier(once, NO_CONTEXT).value == once or once.endswith(".0")

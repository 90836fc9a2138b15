"""Folding: what counts in a spelling, and what does not."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from crosswalk.vocabularies.fold import fold, plain


@pytest.mark.parametrize(
    "one, other",
    [
        ("U-matic", "u matic"),
        ("Sub Master", "submaster"),
        ("½ inch", "1/2 INCH"),
        ("Vidéo", "video"),
        ("B&W", "bw"),
        ("Straße", "strasse"),
    ],
)
def test_these_count_as_one(one: str, other: str) -> None:
    assert fold(one) == fold(other)


@pytest.mark.parametrize(
    "one, other", [("1/2 inch", "12 inch"), ("DVD+R", "DVD-R"), ("9.5mm", "95mm"), ("2:1", "21"), ("D1", "D2")]
)
def test_these_do_not(one: str, other: str) -> None:
    assert fold(one) != fold(other)


@given(st.text())
def test_folding_twice_changes_nothing_and_never_fails(text: str) -> None:
    assert fold(fold(text)) == fold(text)
    assert plain(plain(text)) == plain(text)

"""File names from identifiers: safe on every system, never the same twice."""

from __future__ import annotations

import re

import pytest
from hypothesis import given
from hypothesis import strategies as st

from crosswalk.standards.naming import Names, safe_name


@given(st.lists(st.text(max_size=8) | st.sampled_from(["a", "A", "a-2", "con", "COM1.x", "é", "..", ""]), max_size=12))
def test_names_are_safe_and_differ(identifiers: list[str]) -> None:
    names = Names()
    given_names = [names.unique(identifier) for identifier in identifiers]
    assert len({name.lower() for name in given_names}) == len(identifiers)
    assert all(re.fullmatch(r"[A-Za-z0-9_][A-Za-z0-9._-]*(?<![.])", name) for name in given_names)
    assert not [name for name in given_names if re.match(r"(con|prn|aux|nul|com\d|lpt\d)(\.|$)", name, re.I)]


@pytest.mark.parametrize(
    ("identifier", "name"),
    [
        pytest.param("TDLN 0423/A", "TDLN_0423_A", id="blank and slash"),
        pytest.param("../../x", "x", id="way out of the folder"),
        pytest.param("nul", "_nul", id="device of Windows"),
        pytest.param("x" * 300, "x" * 100, id="long"),
        pytest.param("\u6f6e", "record", id="nothing that is safe"),
    ],
)
def test_a_name_says_what_it_can(identifier: str, name: str) -> None:
    assert safe_name(identifier) == name

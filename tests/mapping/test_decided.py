"""Decisions before a mapping's parsers: judged by the vocabularies that the mapping names."""

from __future__ import annotations

from pathlib import Path

import pytest

from crosswalk.mapping.model import Mapping
from crosswalk.mapping.readers import readers_of
from crosswalk.values.decisions import Decision, Decisions
from crosswalk.values.reading import NO_CONTEXT, Context


def decisions(kind: str, decided: str) -> Decisions:
    return Decisions([Decision(kind=kind, text="brown box", decided=decided, by="A. Vale", on="2024-05-02")])


@pytest.mark.parametrize("decided, codes, value", [("Merrow spool", [], "Merrow spool"), ("Spoolish", ["DE03"], None)])
def test_a_house_s_own_term(tmp_path: Path, decided: str, codes: list[str], value: str | None) -> None:
    house = tmp_path / "house.toml"
    house.write_text('vocabulary = "carriers"\n[[term]]\nterm = "Merrow spool"\n', encoding="utf-8")
    settled = decisions("carrier", decided)
    read = readers_of(Mapping(), settled)("carrier", Context(house_files=(str(house),)))
    assert [found.code for found in settled.check()] == codes
    assert read("Brown box").value == value
    assert settled.unused() == []


def test_a_house_s_own_converter(tmp_path: Path) -> None:
    """Its decisions were told to be of no known kind, and applied."""
    (tmp_path / "house.py").write_text("PARSERS = {'shelf': lambda text, context: None}\n", encoding="utf-8")
    settled = decisions("shelf", "Room 2")
    read = readers_of(Mapping(path=str(tmp_path / "m.toml"), converters="house.py"), settled)("shelf", NO_CONTEXT)
    assert settled.check() == []
    assert read("brown box").value == "Room 2"

"""Every mapping that is shipped holds its own examples; so can every mapping of a house."""

from __future__ import annotations

import tomllib
from pathlib import Path

import pytest

from crosswalk.mapping.examples import differences
from crosswalk.mapping.loading import load_mapping
from crosswalk.mapping.readers import readers_of
from crosswalk.resources import mappings_dir

SHIPPED = sorted(
    path
    for path in (mappings_dir() / "house").glob("*.toml")
    if "vocabulary" not in tomllib.loads(path.read_text(encoding="utf-8"))
)


def differing(path: Path) -> list[str]:
    mapping = load_mapping(path)
    return differences(mapping, readers_of(mapping))


def test_there_are_mappings_to_test() -> None:
    assert len(SHIPPED) >= 3


@pytest.mark.parametrize("path", SHIPPED, ids=lambda path: path.stem)
def test_a_shipped_mapping_has_examples_and_they_hold(path: Path) -> None:
    assert load_mapping(path).example
    assert not differing(path)


MAPPING = """
[[column]]
heading = "Format"
to = "instantiation.physical"
read = "carrier"
[[column]]
heading = "Gen"
to = "instantiation.generations"
lookup = { sheet = "Codes", key = "Code", value = "Meaning" }
[[column]]
heading = "Host"
to = "asset.contributor"
role = "Host"
[[column]]
heading = "Sound"
to = "track.encoding"
"""


@pytest.mark.parametrize(
    ("example", "told"),
    [
        ('row = { Format = "umatic" }\nexpect = { "instantiation.physical" = "U-matic" }', []),
        ('row = { Host = "Quill, Perpetua" }\nexpect = { "asset.contributor" = ["Quill, Perpetua"] }', []),
        ('row = { Sound = "PCM" }\nexpect = { "track.encoding" = "PCM" }', []),
        ('row = { Format = "umatic" }\nexpect = { "asset.title" = "" }', []),
        (
            'row = { Gen = "M" }\nlookup = { Codes = { M = "Dub" } }\nexpect = { "instantiation.generations" = "Dub" }',
            [],
        ),
        (
            'row = { Format = "umatic" }\nexpect = { "instantiation.physical" = "VHS" }',
            ['example 1: instantiation.physical: expected "VHS", found "U-matic"'],
        ),
        ('row = { Format = "umatic" }\nexpect = { "asset.colour" = "red" }', ['example 1: "asset.colour" is no place']),
        ('row = { Odd = "x" }\nexpect = {}', ['example 1: no entry of the mapping carries the column of "x"']),
        (
            'row = { Format = "Beta" }\nexpect = { "instantiation.physical" = "Betamax" }',
            ['example 1: instantiation.physical: expected "Betamax", found nothing ('],
        ),
        (
            'row = { Gen = "Q" }\nexpect = { "instantiation.generations" = "Master" }',
            ['example 1: instantiation.generations: expected "Master", found nothing ('],
        ),
    ],
    ids=["one", "list", "track", "nothing", "look-up", "other", "no place", "unmapped", "doubtful", "not looked up"],
)
def test_what_differs_is_told(tmp_path: Path, example: str, told: list[str]) -> None:
    path = tmp_path / "mapping.toml"
    path.write_text(f"{MAPPING}\n[[example]]\n{example}\n", encoding="utf-8")
    found = differing(path)
    assert len(found) == len(told)
    assert all(line.startswith(start) for line, start in zip(found, told, strict=True)), found


def test_an_example_without_the_key_says_so(tmp_path: Path) -> None:
    path = tmp_path / "mapping.toml"
    example = '[[example]]\nrow = { Format = "VHS" }\nexpect = {}'
    path.write_text(f'asset-key = ["ID"]\n{MAPPING}\n{example}\n', encoding="utf-8")
    assert differing(path) == ["example 1: its row has no column of the asset key (ID) (headings found: Format)"]

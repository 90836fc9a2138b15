"""docs/mappings.md names every key that files of mappings and jobs may have, and its snippets work."""

from __future__ import annotations

import re
from pathlib import Path
from typing import Any

import msgspec
import pytest

from crosswalk.checks.vocabulary import check_vocabulary
from crosswalk.delivery import job
from crosswalk.errors import MappingError
from crosswalk.mapping import model
from crosswalk.tomlio import FILLED
from tests.mapping.make import Mapped, column, sheet, toml

PAGE = (Path(__file__).parents[2] / "docs" / "mappings.md").read_text(encoding="utf-8")
SHORTEST, HOUSE, *_ = re.findall(r"^```toml\n(.*?)^```$", PAGE, re.DOTALL | re.MULTILINE)
PROSE = re.sub(r"^```.*?^```$|<!-- generated.*?<!-- end -->", "", PAGE, flags=re.DOTALL | re.MULTILINE)
DESCRIBED = {word for span in re.findall(r"`([^`\n]+)`", PROSE) for word in re.split(r"[\s,={}\[\]]+", span)}
MODELS: list[Any] = [
    model.Mapping, model.Column, model.Constant, model.MarkRule, model.Skip, model.Example, model.Lookup,
    job.Job, job.Sheets, job.Review, job.Output,
]  # fmt: skip
KEYS = sorted({field.encode_name for kind in MODELS for field in msgspec.structs.fields(kind)} - {FILLED})


@pytest.mark.parametrize("key", KEYS)
def test_every_key_is_described(key: str) -> None:
    assert key in DESCRIBED


def test_the_shortest_mapping_does_what_the_page_says(tmp_path: Path) -> None:
    rows = [["Tape", "Title", "Format", "Date"], ["0117", "Dusk", '3/4" Umatic', "3/4/87"]]
    found = Mapped([sheet(tmp_path, rows)], [toml(tmp_path, SHORTEST)])
    assert found.codes() == []
    assert found.texts("asset.identifier") == ["MC-0117"]
    assert found.texts("instantiation.physical") == ["U-matic"]
    assert found.texts("instantiation.date") == ["1987-04-03"]


def test_the_converter_of_the_page_reads_what_the_page_says(tmp_path: Path) -> None:
    (module,) = re.findall(r"^```python\n(.*?)^```$", PAGE, re.DOTALL | re.MULTILINE)
    (tmp_path / "own.py").write_text(module, encoding="utf-8")
    mapping = 'converters = "own.py"\n' + column("Shelf", 'to = "instantiation.location"\nread = "shelf"')
    found = Mapped([sheet(tmp_path, [["Shelf"], ["V-214"], ["cellar"]])], [toml(tmp_path, mapping)])
    assert found.texts("instantiation.location") == ["214"]
    assert (found.account("tapes.csv:2:1"), found.account("tapes.csv:3:1")) == ("delivered", "refused")
    assert found.codes() == ["MP07"]


def test_the_terms_of_the_page_are_read_as_the_page_says(tmp_path: Path) -> None:
    """And a check of what is written agrees: a term of the house claims no published list."""
    (tmp_path / "terms.toml").write_text(HOUSE, encoding="utf-8")
    stated = 'to = "instantiation.physical"\nread = "carrier"\nsource = "PBCore instantiationPhysical"'
    mapping = 'vocabularies = ["terms.toml"]\n' + column("Format", stated)
    rows = [["Format"], ["blue box"], ["blue brick"], ["VHS"]]
    found = Mapped([sheet(tmp_path, rows)], [toml(tmp_path, mapping)])
    physical = [one.instantiations[0].physical for one in found.assets]
    assert [(one.text, one.source) for one in physical if one] == [
        ("Zapcorder", "Merrow carrier list"),
        ("U-matic", "PBCore instantiationPhysical"),
        ("VHS", "PBCore instantiationPhysical"),
    ]
    assert [each.code for one in found.assets for each in check_vocabulary(one)] == []


STATED = {
    "a published list": ('source = "PBCore"', 'source = "Merrow list"', "Merrow list"),
    "a published list, and ours has no name": ('source = "PBCore"\nref = "http://pbcore.org/1"', "", None),
    "nothing": ("", 'source = "Merrow list"', "Merrow list"),
    "a list of the house": ('source = "Merrow formats"', 'source = "Merrow list"', "Merrow formats"),
}


@pytest.mark.parametrize(("stated", "of_house", "source"), STATED.values(), ids=STATED.keys())
def test_what_the_source_of_a_term_of_the_house_is(
    tmp_path: Path, stated: str, of_house: str, source: str | None
) -> None:
    terms = f'vocabulary = "generations"\n{of_house}\n[[term]]\nterm = "Yellow label"\n'
    (tmp_path / "terms.toml").write_text(terms, encoding="utf-8")
    mapping = 'vocabularies = ["terms.toml"]\n' + column(
        "Kind", f'to = "instantiation.generations"\nread = "generation"\n{stated}'
    )
    found = Mapped([sheet(tmp_path, [["Kind"], ["yellow label"]])], [toml(tmp_path, mapping)])
    (generation,) = found.asset.instantiations[0].generations
    assert (generation.text, generation.source, generation.ref) == ("Yellow label", source, None)


def test_terms_for_no_vocabulary_are_refused(tmp_path: Path) -> None:
    (tmp_path / "terms.toml").write_text('vocabulary = "carrier"\n', encoding="utf-8")
    mapping = 'vocabularies = ["terms.toml"]\n' + column("Format", 'to = "instantiation.physical"\nread = "carrier"')
    with pytest.raises(MappingError, match=r'there is no "carrier", but .*carriers'):
        Mapped([sheet(tmp_path, [["Format"], ["VHS"]])], [toml(tmp_path, mapping)])

"""The catalogue names every schema document that is shipped, and each loads by itself, from this folder alone."""

from __future__ import annotations

import hashlib
import re
import tomllib
from pathlib import Path
from typing import Any

import pytest
import xmlschema
from lxml import etree

from crosswalk.resources import schema_path, schemas_dir
from tests.schemas.families import KEYS, PUBLISHED, STANDARDS

CATALOGUE: dict[str, list[dict[str, Any]]] = tomllib.loads(schema_path("catalogue.toml").read_text(encoding="utf-8"))
SCHEMAS = [pytest.param(row, id=row["key"]) for row in CATALOGUE["schema"]]
DOCUMENTS = sorted(path.name for path in schemas_dir().glob("*.xsd"))
XS = "{http://www.w3.org/2001/XMLSchema}"

live = pytest.mark.skipif(not STANDARDS.is_dir(), reason="the published standards are not beside the checkout")


def test_every_schema_document_is_in_the_catalogue() -> None:
    assert sorted({name for row in CATALOGUE["schema"] for name in (row["file"], *row["parts"])}) == DOCUMENTS


def test_every_schema_in_the_catalogue_is_held_against_the_published_one() -> None:
    assert [row["key"] for row in CATALOGUE["schema"]] == list(KEYS)
    for row in CATALOGUE["schema"]:
        assert [Path(name).name for name in PUBLISHED[row["key"]].files] == row["published"]


def test_published_files_are_described_once() -> None:
    described = [row["name"] for row in CATALOGUE["published"]]
    assert len(described) == len(set(described))
    assert set(described) == {name for row in CATALOGUE["schema"] for name in row["published"]}


@pytest.mark.parametrize("row", SCHEMAS)
def test_namespace_roots_and_parts_are_those_of_the_document(row: dict[str, Any]) -> None:
    root = etree.parse(str(schema_path(row["file"]))).getroot()
    assert root.get("targetNamespace") == row["namespace"]
    assert sorted(str(e.get("name")) for e in root.findall(f"{XS}element")) == sorted(row["roots"])
    assert _brought_in(row["file"]) == {row["file"], *row["parts"]}


def _brought_in(name: str) -> set[str]:
    root = etree.parse(str(schema_path(name))).getroot()
    named = {str(e.get("schemaLocation")) for e in root.iter(f"{XS}import", f"{XS}include", f"{XS}redefine")}
    return {name}.union(*(_brought_in(other) for other in named))


@pytest.mark.parametrize("name", DOCUMENTS)
def test_each_document_loads_with_both_engines(name: str) -> None:
    parser = etree.XMLParser(no_network=True)
    assert etree.XMLSchema(etree.parse(str(schema_path(name)), parser)) is not None
    assert xmlschema.XMLSchema(str(schema_path(name)), allow="sandbox").built


@pytest.mark.live
@live
@pytest.mark.parametrize("row", [pytest.param(row, id=row["name"]) for row in CATALOGUE["published"]])
def test_recorded_digest_is_that_of_the_published_file(row: dict[str, Any]) -> None:
    """Source: the published files themselves."""
    (path,) = STANDARDS.rglob(row["name"])
    assert hashlib.sha256(path.read_bytes()).hexdigest() == row["sha256"]


@pytest.mark.live
@live
@pytest.mark.parametrize("name", DOCUMENTS)
def test_no_words_are_taken_from_the_published_documents(name: str) -> None:
    """Facts carry over, sentences do not: no six words in a row are the same."""
    theirs = {run for path in STANDARDS.rglob("*.xsd") for run in _runs(path)}
    assert not _runs(schema_path(name)) & theirs


def _runs(path: Path, length: int = 6) -> set[tuple[str, ...]]:
    nodes = etree.parse(str(path)).getroot().iter(etree.Comment, f"{XS}documentation")
    texts = [re.findall(r"\w+", (node.text or "").lower()) for node in nodes]
    return {tuple(words[i : i + length]) for words in texts for i in range(len(words) - length + 1)}

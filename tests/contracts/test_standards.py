"""What every standard has to keep, over the maximal record: valid, the same bytes twice, and equal when read back, or,
where it declares losses, nothing more lost on a second trip. Standards that come later are tested by being there."""

from __future__ import annotations

import re
from pathlib import Path
from typing import Any

import pytest
from lxml import etree

from crosswalk.findings import Finding
from crosswalk.records import LEVELS, Asset, Instantiation, Record
from crosswalk.resources import resource
from crosswalk.standards.base import Document, ReadOptions, Standard, WriteOptions, standards
from tests.contracts.maximal import maximal

WRITABLE = [name for name, standard in standards().items() if standard.write is not None]
BOTH_WAYS = [name for name in WRITABLE if standards()[name].read is not None]


def records() -> list[Record]:
    """Two assets and an instantiation by itself; standards may put one kind before the other."""
    return [maximal(Asset), maximal(Asset, 10_000), maximal(Instantiation, 20_000)]


def written(standard: Standard, **options: Any) -> list[Document]:
    assert standard.write is not None
    return list(standard.write(records(), WriteOptions(**options)))


@pytest.mark.parametrize("name", WRITABLE)
def test_the_same_bytes_twice(name: str) -> None:
    first, second = written(standards()[name]), written(standards()[name])
    assert first == second and first
    assert all(document.content for document in first)


@pytest.mark.parametrize("name", WRITABLE)
def test_names_are_safe_and_unique(name: str) -> None:
    for one_each in (False, True):
        names = [document.name for document in written(standards()[name], one_each=one_each)]
        assert len({each.lower() for each in names}) == len(names)
        assert not [each for each in names if each.startswith("/") or ".." in each.split("/") or "\\" in each]


@pytest.mark.parametrize("name", [name for name in WRITABLE if standards()[name].schema.endswith(".xsd")])
def test_every_document_is_valid(name: str) -> None:
    schema = etree.XMLSchema(etree.parse(resource("schemas", standards()[name].schema)))
    for document in written(standards()[name]):
        assert schema.validate(etree.fromstring(document.content)), schema.error_log


def there_and_back(standard: Standard, sent: list[Record], folder: Path) -> list[Record]:
    assert standard.write is not None and standard.read is not None
    documents = list(standard.write(sent, WriteOptions()))
    for document in documents:
        path = folder / document.name
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_bytes(document.content)
    starts = [each for each in documents if standard.recognise(each.content[:4096], each.name.rpartition("/")[2])]
    read = [item for each in starts for item in standard.read(folder / each.name, ReadOptions())]
    records = [item for item in read if not isinstance(item, Finding)]
    return sorted(records, key=lambda record: isinstance(record, Instantiation))


@pytest.mark.parametrize("name", [name for name in BOTH_WAYS if not standards()[name].losses])
def test_what_is_written_reads_back_equal(name: str, tmp_path: Path) -> None:
    assert there_and_back(standards()[name], records(), tmp_path) == records()


@pytest.mark.parametrize("name", [name for name in BOTH_WAYS if standards()[name].losses])
def test_a_second_trip_loses_nothing_more(name: str, tmp_path: Path) -> None:
    """A standard that declares losses has them on the first trip."""
    once = there_and_back(standards()[name], records(), tmp_path / "1")
    assert once
    assert there_and_back(standards()[name], once, tmp_path / "2") == once


@pytest.mark.parametrize("name", BOTH_WAYS)
def test_its_own_documents_are_recognised_by_no_other(name: str) -> None:
    document = next(each for each in written(standards()[name]) if each.records)
    file = document.name.rpartition("/")[2]
    assert [other for other in BOTH_WAYS if standards()[other].recognise(document.content[:4096], file)] == [name]


@pytest.mark.parametrize("name", WRITABLE)
def test_declared_losses_are_of_the_model(name: str) -> None:
    for loss in standards()[name].losses:
        assert loss.carried in ("part", "none"), loss
        assert loss.why, loss
        assert re.split("[.@]", loss.field)[0] in LEVELS, loss

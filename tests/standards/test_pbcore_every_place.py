"""Every document that the schema's generator makes (each optional part present and absent, each attribute, each fault
in each place) is read: what comes without a complaint is written back unchanged, and a valid one comes without."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import islice
from pathlib import Path
from typing import TypeAlias

from lxml import etree

from crosswalk.errors import UnreadableInput
from crosswalk.findings import Finding, Severity
from crosswalk.records import LEVELS, ROOTS, Collection, Extension, Record, Rights, shape
from crosswalk.resources import resource
from crosswalk.standards.base import ReadOptions, WriteOptions
from crosswalk.standards.pbcore import write_record
from crosswalk.standards.pbcore_read import read
from crosswalk.standards.pbcore_write import write
from tests.schemas.documents import Case, groups
from tests.schemas.families import family

Told: TypeAlias = tuple[str, frozenset[tuple[str, str]], tuple[str, ...], tuple["Told", ...]]
XSI = "{http://www.w3.org/2001/XMLSchema-instance}"
# Elements whose content is no text of their own, so that white space in them says nothing.
NO_TEXT = {
    child.element
    for cls in (*LEVELS.values(), Collection, Extension, Rights)
    for child in shape(cls).children
    if shape(child.cls).content != "text"
}


def cases(every: int = 6) -> Iterator[Case]:
    """One in six of some sixty thousand, which still reaches every place and every kind of change."""
    return islice((case for _, each in groups(family("pbcore")) for case in each), 0, None, every)


def told(element: etree._Element) -> Told:
    """All that an element tells, whatever its prefixes; white space between elements aside, and what is noted as not
    kept."""
    attributes = frozenset((str(name), str(value)) for name, value in element.attrib.items() if XSI not in str(name))
    spaced = len(element) or element.tag.rpartition("}")[2] in NO_TEXT
    texts = [element.text or "", *(child.tail or "" for child in element)]
    return (
        element.tag,
        attributes,
        tuple(text.strip(" \t\r\n") if spaced else text for text in texts),
        tuple(map(told, element)),
    )


def parsed(content: bytes) -> Told:
    return told(etree.fromstring(content, etree.XMLParser(remove_comments=True, remove_pis=True)))


def written(records: list[Record], collections: list[Collection]) -> bytes:
    if not collections:
        return write_record(*records)
    (document,) = write(records, WriteOptions(collection=collections[0]))
    return document.content


def test_what_comes_without_complaint_is_written_back_unchanged(tmp_path: Path) -> None:
    schema = etree.XMLSchema(etree.parse(resource("schemas", "pbcore-2.1.xsd")))
    path, unchanged, complaints = tmp_path / "a.xml", 0, 0
    for case in cases():
        path.write_bytes(case.data)
        root, collections = etree.fromstring(case.data), list[Collection]()
        valid = schema.validate(root)
        try:
            items = list(read(path, ReadOptions(on_collection=collections.append)))
        except UnreadableInput:
            assert not valid and root.tag.rpartition("}")[2] not in ROOTS, case.kind
            continue
        records = [item for item in items if not isinstance(item, Finding)]
        if any(isinstance(item, Finding) and item.severity > Severity.NOTE for item in items):
            assert not valid, (case.kind, case.data, items)
            complaints += 1
        else:
            assert parsed(written(records, collections)) == parsed(case.data), (case.kind, case.data)
            unchanged += 1
    assert unchanged > 1_000 and complaints > 1_000

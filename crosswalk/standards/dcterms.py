"""DCMI Metadata Terms in XML: qualified, with `xsi:type` where the form of a text is known."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from itertools import islice
from pathlib import Path

from crosswalk.findings import Finding
from crosswalk.records import Record
from crosswalk.standards.base import Document, ReadOptions, Standard, WriteOptions
from crosswalk.standards.dublin_core import ENVELOPE
from crosswalk.standards.naming import Names, numbered
from crosswalk.standards.tables.flat_xml import (
    DECLARATION,
    XSI,
    Format,
    Reader,
    Writer,
    encoded,
    encoded_all,
    identifier_of,
)

DCTERMS = "http://purl.org/dc/terms/"
CONTAINER = "urn:x-crosswalk:dcterms-record"  # the published schemas declare no root and leave it to the application
TERMS = (
    "abstract", "accessRights", "accrualMethod", "accrualPeriodicity", "accrualPolicy", "alternative", "audience",
    "available", "bibliographicCitation", "conformsTo", "contributor", "coverage", "created", "creator", "date",
    "dateAccepted", "dateCopyrighted", "dateSubmitted", "description", "educationLevel", "extent", "format",
    "hasFormat", "hasPart", "hasVersion", "identifier", "instructionalMethod", "isFormatOf", "isPartOf",
    "isReferencedBy", "isReplacedBy", "isRequiredBy", "isVersionOf", "issued", "language", "license", "mediator",
    "medium", "modified", "provenance", "publisher", "references", "relation", "replaces", "requires", "rights",
    "rightsHolder", "source", "spatial", "subject", "tableOfContents", "temporal", "title", "type", "valid",
)  # fmt: skip

FORMAT = Format(
    target="dcterms",
    root="rec:record",
    namespaces={"rec": CONTAINER, "dcterms": DCTERMS, "xsi": XSI},
    kinds={
        "w3cdtf": "dcterms:W3CDTF",
        "period": "dcterms:Period",
        "uri": "dcterms:URI",
        "language": "dcterms:ISO639-2",
        "dcmi-type": "dcterms:DCMIType",
        "imt": "dcterms:IMT",
    },
    names=lambda: frozenset(f"dcterms:{name}" for name in TERMS),
)


def recognise(start: bytes, name: str) -> bool:
    """Whether a file begins as a record of DCMI terms does.

    >>> recognise(b'<rec:record xmlns:rec="urn:x-crosswalk:dcterms-record">', "a.xml")
    True
    """
    text = start.replace(b"\0", b"")  # UTF-16
    return CONTAINER.encode() in text and not ENVELOPE.search(text)


def write(records: Iterable[Record], options: WriteOptions) -> Iterator[Document]:
    """The records, `options.batch` in a document, or one a document."""
    writer = Writer(FORMAT, options)
    if options.one_each:
        names = Names()
        for record in records:
            content = encoded(DECLARATION + writer.element(record, "", FORMAT.declared), record)
            yield Document(f"{names.unique(identifier_of(record))}.xml", content, (identifier_of(record),))
        return
    stream, number = iter(records), 0
    while batch := list(islice(stream, options.batch)):
        number += 1
        yield _list(writer, batch, numbered(options.stem, number) + ".xml")


def _list(writer: Writer, batch: list[Record], name: str) -> Document:
    pieces = [writer.element(record, "  ") for record in batch]
    content = encoded_all([f"{DECLARATION}<rec:records{FORMAT.declared}>\n", *pieces, "</rec:records>\n"])
    if content is None:  # some record holds a character that XML forbids: this says which
        content = b"".join(encoded(piece, record) for piece, record in zip(pieces, batch, strict=True))
    return Document(name, content, tuple(map(identifier_of, batch)))


def read(path: Path, options: ReadOptions) -> Iterator[Record | Finding]:
    """The records in a file, as far as the terms go."""
    return Reader(FORMAT, options).read(path)


STANDARD = Standard(
    name="dcterms",
    title="DCMI Metadata Terms",
    suffix=".xml",
    media_type="application/xml",
    recognise=recognise,
    read=read,
    write=write,
    schema="dcterms-record.xsd",
    losses=FORMAT.losses,
)

"""Simple Dublin Core as `oai_dc:dc`: the fifteen elements, one document a record, since the format has no list."""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator
from pathlib import Path

from crosswalk.findings import Finding
from crosswalk.records import Record
from crosswalk.standards.base import Document, ReadOptions, Standard, WriteOptions
from crosswalk.standards.naming import Names
from crosswalk.standards.tables.flat_xml import DECLARATION, XSI, Format, Reader, Writer, encoded, identifier_of

ELEMENTS = (
    "contributor", "coverage", "creator", "date", "description", "format", "identifier", "language", "publisher",
    "relation", "rights", "source", "subject", "title", "type",
)  # fmt: skip
OAI_DC = "http://www.openarchives.org/OAI/2.0/oai_dc/"
DC = "http://purl.org/dc/elements/1.1/"
SCHEMA_LOCATION = f"{OAI_DC} http://www.openarchives.org/OAI/2.0/oai_dc.xsd"

FORMAT = Format(
    target="oai_dc",
    root="oai_dc:dc",
    namespaces={"oai_dc": OAI_DC, "dc": DC, "xsi": XSI},
    kinds={},
    names=lambda: frozenset(f"dc:{name}" for name in ELEMENTS),
)
# What a record was harvested in, and its header may say that it is withdrawn: the protocol's namespace, its root, or a
# record of it that lost both.
ENVELOPE = re.compile(
    rb"""["']http://www\.openarchives\.org/OAI/2\.0/(?:static-repository)?["']"""
    rb"""|<(?:[\w.-]+:)?OAI-PMH[\s>]|<record>\s*<header[\s>]"""
)
ATTRIBUTES = f'{FORMAT.declared} xsi:schemaLocation="{SCHEMA_LOCATION}"'


def recognise(start: bytes, name: str) -> bool:
    """Whether a file begins as a Simple Dublin Core record does.

    >>> recognise(b'<oai_dc:dc xmlns:oai_dc="http://www.openarchives.org/OAI/2.0/oai_dc/">', "a.xml")
    True
    """
    text = start.replace(b"\0", b"")  # UTF-16
    return OAI_DC.encode() in text and not ENVELOPE.search(text)


def write(records: Iterable[Record], options: WriteOptions) -> Iterator[Document]:
    """The records, one document each, named by their identifiers."""
    writer, names = Writer(FORMAT, options), Names()
    for record in records:
        identifier = identifier_of(record)
        content = encoded(DECLARATION + writer.element(record, "", ATTRIBUTES), record)
        yield Document(f"{names.unique(identifier)}.xml", content, (identifier,))


def read(path: Path, options: ReadOptions) -> Iterator[Record | Finding]:
    """The records in a file, as far as the fifteen elements go."""
    return Reader(FORMAT, options).read(path)


STANDARD = Standard(
    name="oai_dc",
    title="Simple Dublin Core",
    suffix=".xml",
    media_type="application/xml",
    recognise=recognise,
    read=read,
    write=write,
    schema="oai_dc.xsd",
    losses=FORMAT.losses,
)

"""Open Archives: a static repository, which is harvested without a server, and ListRecords pages for large sets.

Both carry Simple Dublin Core. A static repository is one file (Open Archives: Specification for an OAI Static
Repository, 2004-04-23), meant for a few thousand records; pages are answers of the protocol (OAI-PMH 2.0), laid out as
files, each naming the next one in its resumption token.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from itertools import chain, islice
from urllib.parse import urlsplit

from crosswalk.errors import CannotContinue
from crosswalk.records import Record
from crosswalk.standards.base import Document, Standard, WriteOptions
from crosswalk.standards.dublin_core import ATTRIBUTES, ENVELOPE, FORMAT, OAI_DC
from crosswalk.standards.naming import numbered
from crosswalk.standards.oai_read import read
from crosswalk.standards.tables.flat_xml import DECLARATION, Writer, encoded, identifier_of
from crosswalk.standards.tables.uris import Minted, base_of, segment
from crosswalk.xmlio import escape_text

PMH = "http://www.openarchives.org/OAI/2.0/"
STATIC = "http://www.openarchives.org/OAI/2.0/static-repository"
PREFIX = "oai_dc"


def recognise_static(start: bytes, name: str) -> bool:
    """Whether a file begins as a static repository does.

    >>> recognise_static(b'<Repository xmlns="http://www.openarchives.org/OAI/2.0/static-repository">', "a.xml")
    True
    """
    return STATIC.encode() in start.replace(b"\0", b"")


def recognise_pages(start: bytes, name: str) -> bool:
    """Whether a file begins as an answer of the protocol does, or as what was taken out of one: a list, a record.

    >>> recognise_pages(b'<OAI-PMH xmlns="http://www.openarchives.org/OAI/2.0/">', "a.xml")
    True
    >>> recognise_pages(b'<record xmlns="http://www.openarchives.org/OAI/2.0/"><header status="deleted">', "a.xml")
    True
    """
    return bool(ENVELOPE.search(start.replace(b"\0", b""))) and not recognise_static(start, name)


def write_static(records: Iterable[Record], options: WriteOptions) -> Iterator[Document]:
    """One static repository with all records; none where there are no records, since the format wants at least one."""
    items = _Items(options)
    pieces, identifiers = [], []
    for record in records:
        pieces.append(items.record(record, "    "))
        identifiers.append(identifier_of(record))
    if not pieces:
        return
    head, foot = _static_frame(options)
    yield Document(f"{options.stem}.xml", b"".join((head.encode(), *pieces, foot.encode())), tuple(identifiers))


def write_pages(records: Iterable[Record], options: WriteOptions) -> Iterator[Document]:
    """ListRecords answers of `options.batch` records; the last has an empty resumption token."""
    items, stream, number = _Items(options), iter(records), 0
    batch = list(islice(stream, options.batch))
    while batch:
        number += 1
        ahead = list(islice(stream, 1))
        yield _page(items, batch, number, bool(ahead))
        batch = list(chain(ahead, islice(stream, options.batch - 1))) if ahead else []


class _Items:
    """Records with the header that the protocol gives them."""

    def __init__(self, options: WriteOptions) -> None:
        self.options = options
        self._writer = Writer(FORMAT, options)
        self._minted = Minted()
        self._host = urlsplit(base_of(options.base_uri)).hostname or ""

    def record(self, record: Record, pad: str) -> bytes:
        identifier = identifier_of(record)
        if not identifier:
            raise CannotContinue("a record", "has no identifier to be harvested by", "give it an identifier")
        uri = f"oai:{self._host}:{segment(self._minted.key(identifier))}"
        header = f"<oai:identifier>{uri}</oai:identifier><oai:datestamp>{self.options.stamp[:10]}</oai:datestamp>"
        metadata = self._writer.element(record, pad + "    ", ATTRIBUTES)
        text = (
            f"{pad}<oai:record>\n{pad}  <oai:header>{header}</oai:header>\n"
            f"{pad}  <oai:metadata>\n{metadata}{pad}  </oai:metadata>\n{pad}</oai:record>\n"
        )
        return encoded(text, record)


def _static_frame(options: WriteOptions) -> tuple[str, str]:
    name = escape_text(options.collection.collection_title or options.stem)
    address = escape_text(f"{base_of(options.base_uri)}{options.stem}.xml")
    head = f"""{DECLARATION}<Repository xmlns="{STATIC}" xmlns:oai="{PMH}">
  <Identify>
    <oai:repositoryName>{name}</oai:repositoryName>
    <oai:baseURL>{address}</oai:baseURL>
    <oai:protocolVersion>2.0</oai:protocolVersion>
    <oai:adminEmail>{escape_text(options.contact)}</oai:adminEmail>
    <oai:earliestDatestamp>{options.stamp[:10]}</oai:earliestDatestamp>
    <oai:deletedRecord>no</oai:deletedRecord>
    <oai:granularity>YYYY-MM-DD</oai:granularity>
  </Identify>
  <ListMetadataFormats>
    <oai:metadataFormat>
      <oai:metadataPrefix>{PREFIX}</oai:metadataPrefix>
      <oai:schema>http://www.openarchives.org/OAI/2.0/oai_dc.xsd</oai:schema>
      <oai:metadataNamespace>{OAI_DC}</oai:metadataNamespace>
    </oai:metadataFormat>
  </ListMetadataFormats>
  <ListRecords metadataPrefix="{PREFIX}">
"""
    return head, "  </ListRecords>\n</Repository>\n"


def _page(items: _Items, batch: list[Record], number: int, more: bool) -> Document:
    options = items.options
    name = numbered(options.stem, number) + ".xml"
    following = numbered(options.stem, number + 1) + ".xml" if more else ""
    asked = f'metadataPrefix="{PREFIX}"' if number == 1 else f'resumptionToken="{name}"'
    head = f"""{DECLARATION}<oai:OAI-PMH xmlns:oai="{PMH}">
  <oai:responseDate>{options.stamp}</oai:responseDate>
  <oai:request verb="ListRecords" {asked}>{escape_text(base_of(options.base_uri))}</oai:request>
  <oai:ListRecords>
"""
    token = f'    <oai:resumptionToken cursor="{(number - 1) * options.batch}">{following}</oai:resumptionToken>\n'
    foot = ("" if number == 1 and not more else token) + "  </oai:ListRecords>\n</oai:OAI-PMH>\n"
    pieces = [items.record(record, "    ") for record in batch]
    return Document(name, b"".join((head.encode(), *pieces, foot.encode())), tuple(map(identifier_of, batch)))


STANDARDS = (
    Standard(
        name="oai_static",
        title="OAI-PMH static repository",
        suffix=".xml",
        media_type="application/xml",
        recognise=recognise_static,
        read=read,
        write=write_static,
        schema="oai-static-repository.xsd",
        losses=FORMAT.losses,
    ),
    Standard(
        name="oai_pages",
        title="OAI-PMH ListRecords pages",
        suffix=".xml",
        media_type="application/xml",
        recognise=recognise_pages,
        read=read,
        write=write_pages,
        schema="oai-pmh.xsd",
        losses=FORMAT.losses,
    ),
)

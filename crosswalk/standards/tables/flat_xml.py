"""Flat statements as XML and back: one element a statement, `xsi:type` for its kind where the standard has one."""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Callable, Iterable, Iterator, Mapping
from functools import cached_property
from pathlib import Path
from typing import Any, cast

import msgspec
from lxml import etree

from crosswalk.errors import CannotContinue, UnreadableInput
from crosswalk.findings import Finding, Origin, Severity, finding
from crosswalk.records import Asset, Record
from crosswalk.standards.base import Loss, ReadOptions, WriteOptions
from crosswalk.standards.pbcore_mend import completed
from crosswalk.standards.tables.choice import folded
from crosswalk.standards.tables.flat import Flat, Statement
from crosswalk.standards.tables.forms import FLAT, REMEMBERED
from crosswalk.standards.tables.losses import Losses
from crosswalk.standards.tables.reverse import Reverse
from crosswalk.standards.tables.table import Known, Table, load
from crosswalk.xmlio import FORBIDDEN, GUARDED, NO_DOCTYPE, Limits, Source, chunks, escape_text, sources

DECLARATION = '<?xml version="1.0" encoding="UTF-8"?>\n'
# Looking for bytes is several times as fast as a pattern; the two forbidden characters beyond ASCII go by themselves.
_FORBIDDEN_BYTES = bytes(byte for byte in range(32) if byte not in b"\t\n\r")
_XML_LANG = "{http://www.w3.org/XML/1998/namespace}lang"
_APART = "the numbers of carriers are not kept apart here: take the record from its sheet, or from its PBCore or RDF"
_TAG = re.compile(r"[A-Za-z]{2,3}(?:-[A-Za-z0-9]{2,8})*")
XSI = "http://www.w3.org/2001/XMLSchema-instance"


class Format(msgspec.Struct, frozen=True, dict=True, kw_only=True):
    """A flat XML format: which table it follows, its prefixes, and how kinds of text are marked."""

    target: str
    root: str  # the element of one record, with its prefix
    namespaces: Mapping[str, str]  # prefix: namespace
    kinds: Mapping[str, str]  # kind of text: value of xsi:type
    names: Callable[[], frozenset[str]]  # the properties that a table may name

    @cached_property
    def known(self) -> Known:
        """What a table for this format may name."""
        return Known(self.names, frozenset(FLAT))

    def table(self, house: str = "") -> Table:
        """The table, with a house's own rows."""
        return load(self.target, self.known, house)

    @cached_property
    def losses(self) -> tuple[Loss, ...]:
        """What the shipped table cannot carry."""
        return Losses(self.table(), FLAT).declared()

    @property
    def tag(self) -> str:
        """The element of one record, as lxml writes it."""
        prefix, _, local = self.root.rpartition(":")
        return f"{{{self.namespaces[prefix]}}}{local}"

    @cached_property
    def declared(self) -> str:
        """The namespace declarations, as attributes."""
        return "".join(f' xmlns:{prefix}="{name}"' for prefix, name in self.namespaces.items())


class Writer:
    """Writes records in one format, telling of losses where it is asked to."""

    def __init__(self, format_: Format, options: WriteOptions) -> None:
        table = format_.table(options.table)
        table = table if options.language else table.unspoken()
        self._format, self._options = format_, options
        self._flat = Flat(table, FLAT)
        self._losses = Losses(table, FLAT) if options.on_loss else None
        self._lines = _Lines(format_.kinds, language_tag(options.language))

    def element(self, record: Record, pad: str = "", attributes: str = "") -> str:
        """One record as an element, indented by `pad`, with attributes put in as they are."""
        self._tell(record)
        inner, root, lines = pad + "  ", self._format.root, self._lines
        found = inner.join(["", *[lines[statement] for statement in self._flat.statements(record)]])
        return f"{pad}<{root}{attributes}>\n{found}{pad}</{root}>\n"

    def _tell(self, record: Record) -> None:
        if self._losses is not None and self._options.on_loss is not None:
            for lost in self._losses.of(record, identifier_of(record)):
                self._options.on_loss(lost)
        if self._options.on_finding is not None:
            for problem in bad_languages(record):
                self._options.on_finding(problem)


class _Lines(dict[Statement, str]):
    """Statements as lines of XML: an archive says the same of many records."""

    def __init__(self, kinds: Mapping[str, str], language: str) -> None:
        self._kinds, self._language = kinds, language

    def __missing__(self, statement: Statement) -> str:
        name, text, kind = statement
        mark = f' xsi:type="{self._kinds[kind]}"' if kind in self._kinds else ""
        if kind == "prose" and self._language:
            mark = f' xml:lang="{self._language}"'
        if len(self) >= REMEMBERED:
            self.clear()
        self[statement] = line = f"<{name}{mark}>{escape_text(text)}</{name}>\n"
        return line


def language_tag(text: str) -> str:
    """A language tag that is one, or "". Raises CannotContinue for anything else.

    >>> language_tag("en-GB"), language_tag("")
    ('en-GB', '')
    """
    if text and not _TAG.fullmatch(text):
        raise CannotContinue(f'language "{text}"', "is no language tag (BCP 47)", "write one such as en or cy")
    return text


def encoded_all(pieces: list[str]) -> bytes | None:
    """The pieces in UTF-8, or None where one of them holds a character that XML forbids."""
    text = "".join(pieces)
    try:
        content = text.encode()
    except UnicodeEncodeError:
        return None
    beyond = not text.isascii() and (b"\xef\xbf\xbe" in content or b"\xef\xbf\xbf" in content)
    return None if beyond or len(content.translate(None, _FORBIDDEN_BYTES)) != len(content) else content


def encoded(text: str, record: Record) -> bytes:
    """The text in UTF-8; raises CannotContinue where it holds a character that XML forbids."""
    content = encoded_all([text])
    if content is not None:
        return content
    found = FORBIDDEN.search(text)
    assert found is not None
    near = text[max(0, found.start() - 30) : found.start()]
    problem = f"U+{ord(found.group()):04X} is forbidden in XML (XML 1.0, 2.2), after {near!r}"
    raise CannotContinue(identifier_of(record) or "record", problem, "clean the text first")


def identifier_of(record: Record) -> str:
    """The first identifier of a record, or "" where it has none."""
    return record.identifiers[0].text if record.identifiers else ""


def bad_languages(record: Record) -> Iterator[Finding]:
    """A finding for each language code of a record that is no code: it is written as plain text."""
    from crosswalk.standards.tables.forms import is_language

    instantiations = record.instantiations if isinstance(record, Asset) else (record,)
    for instantiation in instantiations:
        for language in instantiation.languages:
            for code in filter(None, map(str.strip, language.text.split(";"))):
                if not is_language(code):
                    message = f'"{code}" is no code of ISO 639-2, and is written as plain text'
                    yield finding("DC02", Origin(record=identifier_of(record)), message, value=code)


class Reader:
    """Reads the records of one format from XML, whatever they are wrapped in."""

    def __init__(self, format_: Format, options: ReadOptions) -> None:
        self._format, self._options = format_, options
        self._tags: set[str] = set()
        self._reverse = Reverse(format_.table(options.table), FLAT)
        self._prefixes = {namespace: prefix for prefix, namespace in format_.namespaces.items()}
        self._kinds = {folded(name): kind for kind, name in format_.kinds.items()}

    def read(self, path: Path) -> Iterator[Record | Finding]:
        """The records of a file, one after the other, each with findings on what no row of the table understands."""
        for source in sources(path):
            for element in ended(source, self._options, (self._format.tag,)):
                yield from self.record(element, source.name)
                element.clear(keep_tail=True)
            yield from self.languages(source)

    def languages(self, source: Source) -> Iterator[Finding]:
        """The marks of language that were met since this was asked last."""
        if self._tags:
            message = f"texts are marked as {', '.join(sorted(self._tags))}, which a record cannot say"
            yield finding("DC03", Origin(file=source.name), message, value=" ".join(sorted(self._tags)))
        self._tags.clear()

    def record(self, element: Any, name: str) -> Iterator[Record | Finding]:
        """The record in an element of a file of that name, after what no row of the table understands."""
        unknown: list[tuple[str, str]] = []
        asset = self._reverse.record(self._statements(element), lambda *what: unknown.append(what))
        line = int(element.sourceline or 0)
        for prop, text in unknown:
            severity = Severity.ERROR if self._options.strict else None
            message = f"{prop} is not understood, and its text is left out"
            yield finding("DC01", Origin(file=name, line=line), message, value=text[:200], severity=severity)
        if self._options.repair:
            yield from _repaired(asset, Origin(file=name, line=line, record=identifier_of(asset)))
        else:
            yield asset

    def _statements(self, element: Any) -> Iterable[Statement]:
        for child in element.iterchildren(etree.Element):
            qname = etree.QName(child)
            prefix = self._prefixes.get(qname.namespace or "")
            tag = f"{prefix}:{qname.localname}" if prefix else str(child.tag)
            if language := child.get(_XML_LANG):
                self._tags.add(str(language))
            kind = self._kinds.get(folded(child.get(f"{{{XSI}}}type", "")), "")
            yield tag, "".join(child.itertext()).strip(), kind


def _repaired(asset: Asset, origin: Origin) -> Iterator[Asset | Finding]:
    """The asset with what PBCore asks for and this format does not keep: written empty, never made up."""
    gaps: Counter[tuple[str, bool]] = Counter()
    mended = completed(asset, "pbcoreDescriptionDocument", lambda message, filled: gaps.update([(message, filled)]))
    for (message, filled), count in gaps.items():
        times = f", {count} times" if count > 1 else ""
        if filled:
            yield finding("PB20", origin, f"{message}{times}; written empty")
        else:
            yield finding("PB06", origin, message + times, next_step=_APART)
    yield cast("Asset", mended)


def ended(source: Source, options: ReadOptions, tags: Iterable[str]) -> Iterator[Any]:
    """The elements of those tags, each as soon as it is complete.

    Raises UnreadableInput where the file is not well-formed, or has a document type definition."""
    parser = etree.XMLPullParser(("end",), tag=tuple(tags), **GUARDED)
    try:
        for piece in chunks(source, Limits(max_bytes=options.max_bytes)):
            parser.feed(piece)
            yield from _without_doctype(parser, source)
        parser.close()
        yield from _without_doctype(parser, source)
    except etree.XMLSyntaxError as error:
        place = f"{source.name}:{error.lineno or 1}"
        raise UnreadableInput(place, f"is not well-formed XML: {error.msg}", "mend the file") from error


def _without_doctype(parser: etree.XMLPullParser, source: Source) -> Iterator[Any]:
    element: Any
    for _, element in parser.read_events():
        if element.getroottree().docinfo.doctype:
            raise UnreadableInput(source.name, *NO_DOCTYPE)
        yield element

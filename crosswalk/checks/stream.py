"""Reading a document record by record, so that a collection of any size is checked in flat memory.

libxml2's log of errors grows with the square of the errors in one tree, so each record is checked by itself; its lines
stay those of the file, beyond 65,535 too.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from itertools import chain
from typing import Any, Literal, cast

import msgspec
from lxml import etree

from crosswalk.errors import UnreadableInput
from crosswalk.xmlio import not_well_formed

XSI = "http://www.w3.org/2001/XMLSchema-instance"
LOCATIONS = (f"{{{XSI}}}schemaLocation", f"{{{XSI}}}noNamespaceSchemaLocation")


class Head(msgspec.Struct, frozen=True):
    """What the first tag of a document says: its root element, where it starts, and where it says its schema is."""

    tag: str
    line: int
    doctype: str
    locations: str


def parser(events: tuple[Literal["start", "end"], ...], tags: tuple[str, ...] = ()) -> etree.XMLPullParser:
    """A guarded parser: no entity is resolved, nothing is loaded; libxml2's own limits of depth and length stand."""
    options: dict[str, Any] = {"resolve_entities": False, "no_network": True, "load_dtd": False, "huge_tree": False}
    if tags:
        options["tag"] = tags
    return etree.XMLPullParser(events, **options)


def elements(pull: etree.XMLPullParser) -> Iterator[etree._Element]:
    """The elements of the events that are ready."""
    for _, element in pull.read_events():
        yield cast("etree._Element", element)


LINES_KEPT = 65_535  # what a node of libxml2 can hold as its line; beyond it, the line of a text nearby is given


def line_of(element: etree._Element) -> int:
    """The line of an element; 0 for one that was made in memory.

    >>> line_of(etree.fromstring("<a>\\n<b/></a>")[0])
    2
    """
    line = _noted(element)
    return line if line < LINES_KEPT else _beyond(element)


def _noted(element: etree._Element) -> int:
    return cast("int | None", element.sourceline) or 0


def _beyond(element: etree._Element) -> int:
    """The line of an element whose own is not kept: from the nearest one before it that can be trusted, counting the
    lines between."""
    here, lines = element, 0
    while (line := _trusted(here)) is None:
        parent, previous = here.getparent(), here.getprevious()
        if previous is not None:
            lines += etree.tostring(previous, encoding="unicode").count("\n")
            here = previous
        elif parent is not None and parent.getparent() is not None:
            lines += (parent.text or "").count("\n")
            here = parent
        else:
            return _noted(element)
    return line + lines


def _trusted(element: etree._Element) -> int | None:
    """The line by the first text in an element, of which libxml2 keeps the end. A text of several lines comes in pieces
    and is not trusted, unless it is white space."""
    if _noted(element) < LINES_KEPT:
        return _noted(element)
    while not element.text and len(element):
        element = element[0]
    text = element.text
    if not isinstance(element.tag, str) or not text or ("\n" in text and not text.isspace()):
        return None
    return _noted(element) - text.count("\n")


def head(pieces: Iterable[bytes], name: str = "document") -> tuple[Head, Iterator[bytes]]:
    """What the first tag says, and all pieces of the document again.

    Raises UnreadableInput where there is no first tag, or what stands before it is not well-formed.

    >>> head([b"<a><b/></a>"])[0].tag
    'a'
    """
    pull, seen, rest = parser(("start",)), [], iter(pieces)
    try:
        for piece in rest:
            seen.append(piece)
            pull.feed(piece)
            for root in elements(pull):
                return _head(root), chain(seen, rest)
        pull.close()
    except etree.XMLSyntaxError as error:
        raise not_well_formed(name, error) from error
    raise UnreadableInput(name, "has no content", "check that the whole file was sent")


def _head(root: etree._Element) -> Head:
    locations = " ".join(str(root.get(name)) for name in LOCATIONS if root.get(name))
    docinfo: Any = root.getroottree().docinfo
    return Head(str(root.tag), line_of(root), docinfo.doctype or "", locations)


class Stray(msgspec.Struct, frozen=True):
    """Something between the records that is none: an element's name, or text."""

    line: int
    tag: str
    text: str


class Records:
    """The records of one document, as elements that live until the next is asked for. Of the tags, the first is that
    of records inside a collection; the others are roots only.

    After the last one, `root` is the document's root with the last record still in it, and `strays` are what stood
    between the records (the first thousand).
    """

    def __init__(self, pieces: Iterable[bytes], tags: tuple[str, ...]) -> None:
        self._pieces = pieces
        self.tags = tags
        self._pull = parser(("end",), tags)
        self.root: etree._Element | None = None
        self.strays: list[Stray] = []
        self.count = 0

    def __iter__(self) -> Iterator[etree._Element]:
        for piece in self._pieces:
            self._pull.feed(piece)
            yield from self._ready()
        root = self._pull.close()
        yield from self._ready()
        self.root = root
        if root.tag not in self.tags:
            self._collect(root)

    def _ready(self) -> Iterator[etree._Element]:
        for element in elements(self._pull):
            parent = element.getparent()
            if parent is not None:
                if parent.getparent() is not None:
                    continue  # deeper than records stand: part of one
                self._clear(parent, element)
                if element.tag != self.tags[0]:
                    continue  # a root of another kind inside the collection: noted when it is cleared
            self.count += 1
            yield element

    def _clear(self, parent: etree._Element, element: etree._Element) -> None:
        """Drops what stands before the record, noting what is no record."""
        before = element.getprevious()
        while before is not None:
            self._note(before)
            parent.remove(before)
            before = element.getprevious()

    def _collect(self, root: etree._Element) -> None:
        if root.text and not root.text.isspace():
            self.strays.insert(0, Stray(line_of(root), "", root.text.strip()[:60]))
        for child in root:
            self._note(child)

    def _note(self, element: etree._Element) -> None:
        if len(self.strays) >= 1000 or not isinstance(element.tag, str):
            return
        if element.tag != self.tags[0]:
            self.strays.append(Stray(line_of(element), element.tag, ""))
        if element.tail and not element.tail.isspace():
            self.strays.append(Stray(line_of(element), "", element.tail.strip()[:60]))

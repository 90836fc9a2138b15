"""A PBCore document as a stream: its first tag, its records one after the other, and where each of their nodes stands.

libxml2 reads the records, since it is the fastest; expat looks at the first tag before libxml2 sees anything, and gives
exact lines and columns (libxml2 guesses them beyond 65,535) in a second pass, which starts only when one is asked for.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, field
from typing import Any, cast
from xml.parsers import expat

from lxml import etree

from crosswalk.errors import UnreadableInput
from crosswalk.xmlio import GUARDED, LIMITS, NO_DOCTYPE, Limits, Source, chunks, not_well_formed

Place = tuple[int, int]  # line and column, from 1


@dataclass
class Head:
    """The first tag of a document, and the comments and instructions above it."""

    namespace: str = ""
    name: str = ""  # of the root, without prefix; "" until it is seen
    place: Place = (1, 1)
    attributes: list[tuple[str, str]] = field(default_factory=list)
    remarks: list[tuple[str, Place]] = field(default_factory=list)

    @property
    def tag(self) -> str:
        """The root's name as lxml writes it."""
        return f"{{{self.namespace}}}{self.name}" if self.namespace else self.name


def head(source: Source, limits: Limits = LIMITS) -> Head:
    """What stands at the top of a document.

    Raises UnreadableInput where there is no tag, a document type definition, or what stands there is not XML."""
    found = Head()
    parser = expat.ParserCreate(namespace_separator="}")
    parser.ordered_attributes = True
    _watch(parser, found, source)
    try:
        for piece in chunks(source, limits):
            parser.Parse(piece, False)
            if found.name:
                return found
        parser.Parse(b"", True)
    except expat.ExpatError as error:
        if found.name:
            return found
        place = f"{source.name}:{error.lineno}:{error.offset + 1}"
        problem = f"is not well-formed XML: {expat.ErrorString(error.code)}"
        raise UnreadableInput(place, problem, "check that this is the right file, and whole") from error
    except (LookupError, ValueError) as error:  # of an encoding that Python does not know, or expat cannot use
        raise UnreadableInput(f"{source.name}:1", str(error), "save the file as UTF-8") from error
    return found


def _watch(parser: expat.XMLParserType, found: Head, source: Source) -> None:
    def start(name: str, attributes: list[str]) -> None:
        if not found.name:
            found.namespace, _, found.name = name.rpartition("}")
            found.place = _place(parser)
            found.attributes = list(zip(attributes[::2], attributes[1::2], strict=True))

    def remark(*texts: str) -> None:
        if not found.name:
            found.remarks.append((" ".join(texts), _place(parser)))

    def doctype(*_: object) -> None:
        raise UnreadableInput(f"{source.name}:{parser.CurrentLineNumber}", *NO_DOCTYPE)

    parser.StartElementHandler = start
    parser.CommentHandler = remark
    parser.ProcessingInstructionHandler = remark
    parser.StartDoctypeDeclHandler = doctype


def _place(parser: expat.XMLParserType) -> Place:
    return parser.CurrentLineNumber, parser.CurrentColumnNumber + 1


def children(source: Source, tag: str, limits: Limits = LIMITS) -> Iterator[etree._Element]:
    """The children of the root, each as soon as it is complete, and gone when the next is asked for. The last that
    comes is the root itself, with its own text and what stands after it.

    Raises UnreadableInput where the document is not well-formed, or exceeds a limit."""
    parser = etree.XMLPullParser(("start",), tag=tag, **GUARDED)
    root: etree._Element | None = None
    try:
        for piece in chunks(source, limits):
            parser.feed(piece)
            if root is None:
                root = next((cast("etree._Element", element) for _, element in parser.read_events()), None)
            if root is not None and len(root) > 1:
                complete = list(root)[:-1]
                for element in complete:
                    yield element
                    element.clear()  # frees what is in it at once; to delete it whole costs a walk through it
                del root[: len(complete)]
        root = parser.close()
    except etree.XMLSyntaxError as error:
        raise not_well_formed(source.name, error) from error
    yield from root
    del root[:]
    yield root


def whole(source: Source, limits: Limits = LIMITS) -> etree._Element:
    """The root with everything in it, for a document that holds one record.

    Raises UnreadableInput as `children` does."""
    parser = etree.XMLParser(**GUARDED)
    try:
        for piece in chunks(source, limits):
            parser.feed(piece)
        return parser.close()
    except etree.XMLSyntaxError as error:
        raise not_well_formed(source.name, error) from error


class Places:
    """Where the nodes of a document stand: asked for by the number of a unit (from 0), numbers never going back.

    `depth` is that of a unit: 1 for the children of the root, 0 for the root itself. What comes after the last unit
    is a unit of its own."""

    def __init__(self, source: Source, depth: int, limits: Limits = LIMITS) -> None:
        self._units = self._run(source, depth, limits)
        self._number, self._unit = -1, [(1, 1)]

    def of(self, number: int) -> list[Place]:
        """The places of all elements, comments and instructions in a unit, in the order of the document."""
        while self._number < number:
            self._number += 1
            self._unit = next(self._units, self._unit)
        return self._unit

    def _run(self, source: Source, depth: int, limits: Limits) -> Iterator[list[Place]]:
        parser = expat.ParserCreate()
        ready: list[list[Place]] = []
        finish = _collect(parser, depth, ready)
        for piece in chunks(source, limits):
            parser.Parse(piece, False)
            yield from ready
            ready.clear()
        finish()
        yield from ready


def _collect(parser: expat.XMLParserType, wanted: int, ready: list[list[Place]]) -> Any:
    """Hangs handlers into the parser that gather the places of each unit; returns what ends the last one."""
    unit: list[Place] = []
    depth, seen = 0, False

    def node(*_: str) -> None:
        if seen:
            unit.append(_place(parser))
        if depth == wanted == 1:
            finish()

    def start(*_: Any) -> None:
        nonlocal depth, seen
        seen = True
        if depth >= wanted:
            unit.append(_place(parser))
        depth += 1

    def end(_: str) -> None:
        nonlocal depth
        depth -= 1
        if depth == wanted:
            finish()

    def finish() -> None:
        nonlocal unit
        ready.append(unit)
        unit = []

    parser.StartElementHandler, parser.EndElementHandler = start, end
    parser.CommentHandler = parser.ProcessingInstructionHandler = node
    return finish

"""PBCore documents to records, as a stream: collections, description documents, instantiation documents."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass
from pathlib import Path
from typing import Any, cast

import msgspec
from lxml import etree

from crosswalk.errors import UnreadableInput
from crosswalk.findings import Finding, Origin, Severity, finding
from crosswalk.records import NAMESPACE, ROOTS, Asset, Collection, Record, shape
from crosswalk.standards import pbcore_fast
from crosswalk.standards.base import ReadOptions
from crosswalk.standards.pbcore_stream import Head, Place, Places, children, head, whole
from crosswalk.standards.pbcore_tree import Walk
from crosswalk.standards.pbcore_write import identifier_of
from crosswalk.xmlio import Limits, Source, sources

_FIRST_EDITION = ("PBCoreDescriptionDocument", "PBCoreCollection")
_XSI = "http://www.w3.org/2001/XMLSchema-instance"


def read(path: Path, options: ReadOptions) -> Iterator[Record | Finding]:
    """The records of a file, each after what there is to say about it.

    Raises UnreadableInput, with file and line, where the file is not PBCore 2, not well-formed, or beyond a limit."""
    for source in sources(path):
        yield from _Document(source, options).read()


def collection_of(path: Path) -> Collection | None:
    """What the collection in a file says of itself, without its records; None where the file holds a single record.

    Raises UnreadableInput where the file is not PBCore 2, or not readable at its start."""
    source = sources(path)[0]
    top = _recognised(head(source), source)
    return _collection(top) if top.name == "pbcoreCollection" else None


def repair(path: Path, options: ReadOptions | None = None) -> Iterator[Record | Finding]:
    """The records of a file in valid form, as far as that can be had without inventing anything. Findings of code
    PB20 are the repairs; the others are what stays to be done. Raises UnreadableInput as `read` does."""
    return read(path, msgspec.structs.replace(options or ReadOptions(), repair=True))


def read_element(element: etree._Element, name: str, options: ReadOptions) -> Iterator[Record | Finding]:
    """The records in an element of a file of another kind, each after what there is to say about it."""
    root = etree.QName(element)
    if root.localname == "pbcoreCollection":
        for child in element.iterchildren(f"{{{root.namespace}}}pbcoreDescriptionDocument"):
            yield from read_element(child, name, options)
        return
    nodes: Any = element.iter()
    places = [(int(node.sourceline or 1), 0) for node in nodes]
    walk = Walk(
        element, name, f"/{root.localname}", lambda: places, strict=options.strict, repair=options.repair,
        evidence=options.evidence, namespace=root.namespace or "",
    )  # fmt: skip
    yield from _walked(walk, cast("type[Record]", ROOTS[root.localname]))


def _walked(walk: Walk, cls: type[Record]) -> Iterator[Record | Finding]:
    record = cast("Record", walk.read(walk.element, cls))
    name = identifier_of(record)
    for found in walk.findings:
        yield msgspec.structs.replace(found, origin=msgspec.structs.replace(found.origin, record=name))
    yield record


@dataclass
class _Document:
    source: Source
    options: ReadOptions

    def read(self) -> Iterator[Record | Finding]:
        """Everything in one document, in its order."""
        self.limits = Limits(max_bytes=self.options.max_bytes)
        self.top = _recognised(head(self.source, self.limits), self.source)
        collection = self.top.name == "pbcoreCollection"
        self.places = Places(self.source, 1 if collection else 0, self.limits)
        yield from self._about_head()
        yield from self._collection() if collection else self._single()

    def _single(self) -> Iterator[Record | Finding]:
        root = whole(self.source, self.limits)
        cls = cast("type[Record]", ROOTS[self.top.name])
        record = self._quick(root, cls)
        yield from self._thorough(root, cls, 0, f"/{self.top.name}") if record is None else [record]
        yield from self._after(root, 1)

    def _collection(self) -> Iterator[Record | Finding]:
        yield from self._about_collection()
        tag, count = self.top.tag.replace("pbcoreCollection", "pbcoreDescriptionDocument"), 0
        number = -1
        for number, element in enumerate(children(self.source, self.top.tag, self.limits)):
            is_record = element.tag == tag
            if is_record:
                count += 1
                record = self._quick(element, Asset)
                if record is None:
                    path = f"/{self.top.name}/pbcoreDescriptionDocument[{count}]"
                    yield from self._thorough(element, Asset, number, path)
                else:
                    yield record
            if not is_record or (element.tail or "").strip(" \t\r\n"):
                yield from self._beside(element, number, is_record)
        if not count:
            yield self._finding("PB13", self.top.place, "the collection has no record in it")
        yield from self._after(element, number)

    def _quick(self, element: etree._Element, cls: type[Record]) -> Record | None:
        """The record, where nothing about it is odd, and nothing but the record is asked for."""
        if self.top.namespace != NAMESPACE or self.options.repair or self.options.evidence:
            return None
        try:
            return pbcore_fast.read(element, cls)
        except pbcore_fast.Odd:
            return None

    def _thorough(
        self, element: etree._Element, cls: type[Record], number: int, path: str
    ) -> Iterator[Record | Finding]:
        yield from _walked(self._walk(element, number, path), cls)

    def _walk(self, element: etree._Element, number: int, path: str) -> Walk:
        options, places = self.options, self._places_of(number)
        return Walk(
            element, self.source.name, path, places, strict=options.strict, repair=options.repair,
            evidence=options.evidence, namespace=self.top.namespace,
        )  # fmt: skip

    def _places_of(self, number: int) -> Callable[[], list[Place]]:
        return lambda: self.places.of(number)

    def _beside(self, element: etree._Element, number: int, is_record: bool) -> Iterator[Finding]:
        """What stands in a collection beside its records: other nodes, and text."""
        if element.getparent() is None:
            if (element.text or "").strip(" \t\r\n"):
                yield self._finding(
                    "PB04", self.top.place, f"there is text in {self.top.name}", str(element.text).strip()
                )
            return
        walk = self._walk(element, number, f"/{self.top.name}")
        if not is_record:
            walk.unknown(element, f"is no element of {self.top.name}")
        walk.stray(element, element.tail, "after")
        yield from walk.findings

    def _after(self, root: etree._Element, number: int) -> Iterator[Finding]:
        for place, node in enumerate(root.itersiblings()):
            walk = self._walk(node, number, "")
            walk.places = lambda place=place: self.places.of(number)[place:]  # type: ignore[misc]
            walk.unknown(node, "")
            yield from walk.findings

    def _about_head(self) -> Iterator[Finding]:
        for text, place in self.top.remarks:
            yield self._finding("PB01", place, "a comment or instruction above the first element is not kept", text)
        if self.top.namespace != NAMESPACE:
            message = f"the namespace is {self.top.namespace or 'missing'}, not that of PBCore 2"
            yield self._finding("PB10", self.top.place, message, self.top.namespace)

    def _about_collection(self) -> Iterator[Finding]:
        known = {attribute.name for attribute in shape(Collection).attributes}
        for name, value in self.top.attributes:
            if name.startswith(_XSI):
                yield self._finding("PB12", self.top.place, f"xsi:{name.rpartition('}')[2]} is not kept", value)
            elif name not in known:
                message = f"pbcoreCollection has the attribute {name}, which PBCore does not know"
                yield self._finding("PB03", self.top.place, message, f'{name}="{value}"')
        if self.options.on_collection:
            self.options.on_collection(_collection(self.top))

    def _finding(self, code: str, place: Place, message: str, value: str = "") -> Finding:
        line, column = place
        origin = Origin(file=self.source.name, line=line, column=column, path=f"/{self.top.name}")
        found = finding(code, origin, message, value=value[:200])
        is_error = self.options.strict and found.severity == Severity.WARNING
        return msgspec.structs.replace(found, severity=Severity.ERROR) if is_error else found


def _collection(top: Head) -> Collection:
    known = {attribute.name: attribute.field for attribute in shape(Collection).attributes}
    values: dict[str, Any] = {known[name]: value for name, value in top.attributes if name in known}
    return Collection(**values)


def _recognised(top: Head, source: Source) -> Head:
    """The head of a document that is PBCore 2 by the name of its root."""
    place = f"{source.name}:{top.place[0]}"
    if top.name in _FIRST_EDITION:
        problem = f"is PBCore 1.x: its root is {top.name}, and its elements are arranged in another way"
        raise UnreadableInput(place, problem, "convert it to PBCore 2 first, or ask for it in PBCore 2")
    if top.name not in ROOTS:
        problem = f"the root element is {top.name or 'missing'}, which is none of PBCore's"
        raise UnreadableInput(place, problem, f"PBCore documents begin with one of: {', '.join(ROOTS)}")
    return top

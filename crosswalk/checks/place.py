"""Where a finding about a record points: the cell that a value came from, or the line and path of its element."""

from __future__ import annotations

import msgspec
from lxml import etree

from crosswalk.checks.stream import line_of
from crosswalk.checks.tree import tree_of
from crosswalk.findings import Origin
from crosswalk.records import Asset, Evidence, Identifier, Record, Value

_NAMELESS = Identifier("")


class Place(msgspec.Struct, frozen=True):
    """Where one record stands.

    `element` is its element, where it was read from XML; `number` counts the records of a collection from 1, and is 0
    for a document of its own. `line` is the line of a record in a file of lines. `anchor` stands for values that are
    missing: the evidence of the record's identifier, which has the row.

    >>> place = Place(file="in.xml", number=2, root="pbcoreDescriptionDocument", record="TDLN-0423")
    >>> place.at("pbcoreTitle[1]").path
    '/pbcoreCollection/pbcoreDescriptionDocument[2]/pbcoreTitle[1]'
    """

    file: str = ""
    element: etree._Element | None = None
    number: int = 0
    line: int = 0
    record: str = ""
    root: str = ""
    anchor: Evidence | None = None
    named: bool = False  # what the record says of itself is in it

    def at(self, path: str = "", value: Value | None = None) -> Origin:
        """The origin for a path below the record and, where there is one, the value that stands there."""
        evidence = value.evidence if value is not None and value.evidence is not None else None
        if evidence is None and self.element is None and self.line == 0:
            evidence = self.anchor
        if evidence is not None and evidence.row:
            return Origin(file=evidence.file, cell=evidence.cell, path=path, record=self.record)
        return Origin(file=self.file, line=self._line(path), path=self.whole(path), record=self.record)

    def of(self, record: Record) -> Place:
        """This place with what the record itself says: its name, and the evidence of its identifier."""
        if self.named:
            return self
        first = record.identifiers[0] if record.identifiers else _NAMELESS
        root = self.root or _root(record)
        return Place(self.file, self.element, self.number, self.line, first.text, root, first.evidence, True)

    def whole(self, path: str) -> str:
        """The path from the root of the document."""
        if not self.root:
            return path
        before = f"/pbcoreCollection/{self.root}[{self.number}]" if self.number else f"/{self.root}"
        return f"{before}/{path}" if path else before

    def _line(self, path: str) -> int:
        """The line of the nearest element that is there: of the path, or of what should hold it."""
        if self.element is None:
            return self.line
        return line_of(tree_of(self.element).nearest(path))


NOWHERE = Place()


def _root(record: Record) -> str:
    return "pbcoreDescriptionDocument" if isinstance(record, Asset) else "pbcoreInstantiationDocument"


def below(path: str, step: str) -> str:
    """A path one step further down.

    >>> below("", "pbcoreTitle[1]"), below("pbcorePart[2]", "pbcoreTitle[1]")
    ('pbcoreTitle[1]', 'pbcorePart[2]/pbcoreTitle[1]')
    """
    return f"{path}/{step}" if path else step

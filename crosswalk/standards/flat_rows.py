"""Records to rows of flat tables, and back."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Iterator
from dataclasses import dataclass, field
from typing import Any, cast

from crosswalk.findings import Finding, Origin, finding
from crosswalk.records import Asset, Child, Instantiation, Node, Record
from crosswalk.standards.flat_cells import escape, read_cell, write_cell
from crosswalk.standards.flat_layout import AS, KEY, OF, RECORDS, SHEETS, columns, labels, rows_of, sheet_of, values_of
from crosswalk.standards.pbcore_write import problem_of

Row = dict[str, str]
DEEPEST = 100  # parts in parts


class Tables:
    """The rows of some records, by sheet."""

    def __init__(self, records: Iterable[Record]) -> None:
        self.rows: dict[str, list[Row]] = {sheet: [] for sheet in SHEETS}
        self._keys: dict[str, int] = {}
        for record in records:
            self._add(record, Instantiation if isinstance(record, Instantiation) else Asset, "", "")

    def header(self, sheet: str) -> list[str]:
        """The columns of a sheet that hold anything, after the three that every sheet has."""
        used = {label for row in self.rows[sheet] for label in row}
        return [KEY, OF, AS, *(label for label in labels(sheet) if label in used)]

    def _add(self, node: Node, cls: type[Node], owner: str, role: str) -> None:
        key = self._key(node) if rows_of(cls) else ""
        row = {KEY: escape(key) if key else "", OF: escape(owner) if owner else "", AS: role}
        for column in columns(cls):
            nodes: list[Any] = [node]
            if column.child is not None:
                value = getattr(node, column.child.field)
                nodes = list(value) if column.child.many else [] if value is None else [value]
            if text := write_cell([getattr(each, column.field) for each in nodes]):
                row[column.label] = text
        self.rows[sheet_of(cls)].append(row)
        for child in rows_of(cls):
            value = getattr(node, child.field)
            for each in value if child.many else [] if value is None else [value]:
                self._add(each, child.cls, key, child.path)

    def _key(self, node: Node) -> str:
        """A name that no other row has: the identifier, where it is the first of that name."""
        named = getattr(node, "identifiers", ())
        stem = named[0].text.strip() if named and named[0].text.strip() else type(node).__name__.lower()
        key = stem
        while key in self._keys:
            self._keys[stem] += 1
            key = f"{stem} #{self._keys[stem]}"
        self._keys[key] = 1
        return key


@dataclass
class Placed:
    """A row that was read, and where it stood."""

    sheet: str
    cells: Row
    origin: Origin
    used: bool = False


@dataclass
class Joined:
    """Rows joined to records by their keys; what cannot be joined is in `findings`."""

    placed: list[Placed]
    findings: list[Finding] = field(default_factory=list)

    def records(self) -> Iterator[Record]:
        """The records, in the order of their rows."""
        self._children: dict[str, list[Placed]] = defaultdict(list)
        for row in self.placed:
            self._children[_plain(row.cells.get(OF, ""))].append(row)
        self._report_keys()
        for row in self._children.pop("", []):
            if row.sheet in RECORDS and not row.cells.get(AS):
                record = cast("Record", self._build(row, RECORDS[row.sheet], 0))
                if problem := problem_of(record):
                    self.findings.append(finding("FT01", row.origin, problem, value=row.cells.get(KEY, "")))
                else:
                    yield record
        for row in self.placed:
            if not row.used:
                message = f"this row belongs to nothing: it is {row.cells.get(AS)!r} of {row.cells.get(OF)!r}"
                self.findings.append(finding("FT03", row.origin, message, value=row.cells.get(OF, "")))

    def _build(self, row: Placed, cls: type[Node], depth: int) -> Node:
        row.used = True
        known = {column.label for column in columns(cls)} | {KEY, OF, AS}
        for label in sorted(row.cells.keys() - known):
            message = f"there is no column {label!r} for {row.cells.get(AS) or cls.__name__.lower()!r}"
            self.findings.append(finding("FT02", row.origin, message, value=row.cells[label][:200]))
        values = {column.field: self._one(row, column.label) for column in columns(cls) if column.child is None}
        for child in values_of(cls):
            values |= self._values(row, cls, child)
        key = _plain(row.cells.get(KEY, ""))
        for child in rows_of(cls):
            found = [each for each in self._children.get(key, ()) if key and self._is(each, child) and depth < DEEPEST]
            nodes = [self._build(each, child.cls, depth + 1) for each in found]
            values[child.field] = tuple(nodes) if child.many else next(iter(nodes), None)
        return cls(**{name: value for name, value in values.items() if value is not None})

    def _is(self, row: Placed, child: Child) -> bool:
        return not row.used and row.sheet == sheet_of(child.cls) and row.cells.get(AS) == child.path

    def _one(self, row: Placed, label: str) -> Any:
        return next(iter(read_cell(row.cells.get(label, ""))), None)

    def _values(self, row: Placed, cls: type[Node], child: Child) -> dict[str, Any]:
        cells = {c.field: read_cell(row.cells.get(c.label, "")) for c in columns(cls) if c.child == child}
        texts = cells.pop("text", None) or cells.pop("xml", [])
        if any(len(values) > len(texts) for values in cells.values()) or (len(texts) > 1 and not child.many):
            message = f"{child.path} has {len(texts)} values here, and its other columns do not fit that number"
            self.findings.append(finding("FT04", row.origin, message, value=row.cells.get(child.path, "")[:200]))
        given = {name: values for name, values in cells.items() if values}
        nodes = [
            child.cls(text or "", **{name: values[place] for name, values in given.items() if place < len(values)})
            for place, text in enumerate(texts)
        ]
        return {child.field: tuple(nodes) if child.many else next(iter(nodes), None)}

    def _report_keys(self) -> None:
        seen: dict[str, Origin] = {}
        for row in self.placed:
            key = row.cells.get(KEY, "")
            if key and key in seen:
                message = f"the key {key!r} stands in {seen[key]} already, so what is of it cannot be told apart"
                self.findings.append(finding("FT05", row.origin, message, value=key))
            seen.setdefault(key, row.origin)


def _plain(cell: str) -> str:
    return next(iter(read_cell(cell)), None) or ""

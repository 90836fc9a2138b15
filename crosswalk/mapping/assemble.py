"""The rows of one asset become one record."""

from __future__ import annotations

from collections.abc import Iterable
from functools import cache

import msgspec

from crosswalk.findings import Finding, finding
from crosswalk.ledger import Account, Entry
from crosswalk.mapping.columns import Made, annotation
from crosswalk.mapping.plan import Plan
from crosswalk.mapping.rows import MappedRow, map_row, marked
from crosswalk.mapping.store import StoredRow
from crosswalk.records import Asset, EssenceTrack, Evidence, Instantiation, Node, shape

TWICE = Entry(Account.REFUSED, "the element holds one value, and another column gave another", "MP05")


class RowAccount(msgspec.Struct):
    """What the ledger needs of one row, once it is known whether its record goes out."""

    plan: Plan
    row: StoredRow
    entries: dict[int, Entry]


class Assembled(msgspec.Struct):
    """One record, the account of the rows it came from, and what there is to say."""

    asset: Asset
    rows: list[RowAccount]
    findings: list[Finding]


def assemble(rows: Iterable[tuple[Plan, StoredRow]]) -> Assembled:
    """Maps the rows of one asset and puts the elements together, in the order of the mapping and of the rows."""
    content = Elements()
    copies: list[Instantiation] = []
    accounts, findings = [], []
    for plan, row in rows:
        mapped = map_row(plan, row)
        content.add_all(mapped.asset, mapped)
        marks = list(marked(mapped)) if row.marks else []
        for made, evidence in marks:
            if made.target.on_asset:
                content.add(made, evidence)
        copy = _instantiation(mapped, marks)
        if copy is not None:
            copies.append(copy)
        accounts.append(RowAccount(plan, row, mapped.entries))
        findings.extend(mapped.findings)
    built = content.built(Asset)
    if copies:
        built["instantiations"] = tuple(copies)
    return Assembled(Asset(**built), accounts, findings)  # type: ignore[arg-type]


class Elements:
    """The child elements of a record in the making. What is said twice is held once."""

    def __init__(self) -> None:
        self._fields: dict[str, list[Node]] = {}
        self._keys: dict[str, list[object]] = {}
        self._met: set[Made] = set()  # by identity: a wording met again
        self._spare: list[Made] = []

    def add_all(self, elements: Iterable[tuple[Made, int]], mapped: MappedRow) -> None:
        """Adds the elements of a row; what has no place beside another value is refused, with a finding."""
        met, evidence = self._met, mapped.evidence
        for made, index in elements:
            if made not in met:
                met.add(made)
                held = self.add(made, evidence(made, index))
                if held and index >= 0:
                    _twice(mapped, made, index, held)

    def add(self, made: Made, evidence: Evidence | None) -> str:
        """Adds one element. Returns what the field holds already, where it can hold one value and that is another."""
        child = made.target.child
        field = child.field
        if made.spare:
            self._spare.append(made)
            return ""
        keys = self._keys.get(field)
        if keys is None:
            self._keys[field] = [made.key]
            self._fields[field] = [made.make(evidence=evidence)]
        elif made.key in keys:
            return ""
        elif child.many:
            keys.append(made.key)
            self._fields[field].append(made.make(evidence=evidence))
        else:
            held = str(getattr(self._fields[field][0], "text", ""))
            return "" if held == made.value else held
        return ""

    def built(self, cls: type[Node]) -> dict[str, object]:
        """The fields of a record of that class."""
        fields = self._fields
        for made in self._spare:
            fields.setdefault(made.target.child.field, [made.make(evidence=None)])
        many = _many(cls)
        return {field: tuple(nodes) if field in many else nodes[0] for field, nodes in fields.items()}


@cache
def _many(cls: type[Node]) -> frozenset[str]:
    return frozenset(child.field for child in shape(cls).children if child.many)


def _instantiation(mapped: MappedRow, marks: list[tuple[Made, Evidence]]) -> Instantiation | None:
    if all(index < 0 for _, index in mapped.carrier):
        return None
    own: list[tuple[Made, int]] = []
    remarks: list[tuple[Made, int]] = []
    tracks: dict[int, list[tuple[Made, int]]] = {}
    for pair in mapped.carrier:
        made = pair[0]
        if made.remark:
            remarks.append(pair)
        elif made.target.level == "track":
            tracks.setdefault(made.track, []).append(pair)
        else:
            own.append(pair)
    content = Elements()
    content.add_all(own, mapped)
    for made, evidence in marks:
        if not made.target.on_asset:
            content.add(made, evidence)
    for made, index in remarks:
        _remark(content, made, mapped.evidence(made, index))
    built = content.built(Instantiation)
    if tracks:
        built["essence_tracks"] = tuple(_track(pairs, mapped) for _, pairs in sorted(tracks.items()))
    return Instantiation(**built)  # type: ignore[arg-type]


def _track(pairs: list[tuple[Made, int]], mapped: MappedRow) -> EssenceTrack:
    content = Elements()
    content.add_all(pairs, mapped)
    return EssenceTrack(**content.built(EssenceTrack))  # type: ignore[arg-type]


def _remark(content: Elements, made: Made, evidence: Evidence | None) -> None:
    """A side remark that its own column contradicts stays as a note of its kind: nothing is lost."""
    if content.add(made, evidence):
        content.add(annotation(made.remark, made), evidence)


def _twice(mapped: MappedRow, made: Made, index: int, held: str) -> None:
    mapped.entries[index] = TWICE
    message = f'"{made.value[:60]}": {made.target.child.element} already holds "{held[:60]}"'
    mapped.findings.append(finding("MP05", mapped.place(index), message, value=made.value))

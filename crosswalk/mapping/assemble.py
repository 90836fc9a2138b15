"""The rows of one asset become one record."""

from __future__ import annotations

from collections.abc import Iterable
from functools import cache

import msgspec

from crosswalk.findings import Finding, Origin, finding
from crosswalk.ledger import Account, Entry
from crosswalk.mapping.columns import annotation
from crosswalk.mapping.plan import Piece, Plan
from crosswalk.mapping.rows import MappedRow, map_row
from crosswalk.mapping.store import StoredRow
from crosswalk.records import Asset, EssenceTrack, Instantiation, Node, shape

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
        for piece in mapped.pieces:
            if piece.made.target.level == "asset":
                content.add(piece)
        copy = _instantiation(plan, row, mapped)
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
        self._said: set[tuple[object, ...]] = set()
        self._spare: list[Piece] = []

    def add(self, piece: Piece) -> str:
        """Adds an element. Returns what the field holds already, where it holds one value only and another one."""
        made = piece.made
        if made.key in self._said:
            return ""
        self._said.add(made.key)
        child = made.target.child
        if made.spare:
            self._spare.append(piece)
        elif child.field not in self._fields:
            self._fields[child.field] = [made.make(piece.evidence)]
        elif child.many:
            self._fields[child.field].append(made.make(piece.evidence))
        else:
            return str(getattr(self._fields[child.field][0], "text", ""))
        return ""

    def built(self, cls: type[Node]) -> dict[str, object]:
        """The fields of a record of that class."""
        for piece in self._spare:
            self._fields.setdefault(piece.made.target.child.field, [piece.made.make(piece.evidence)])
        many = _many(cls)
        return {field: tuple(nodes) if field in many else nodes[0] for field, nodes in self._fields.items()}


@cache
def _many(cls: type[Node]) -> frozenset[str]:
    return frozenset(child.field for child in shape(cls).children if child.many)


def _instantiation(plan: Plan, row: StoredRow, mapped: MappedRow) -> Instantiation | None:
    own = [piece for piece in mapped.pieces if piece.made.target.level != "asset"]
    if not any(piece.index >= 0 for piece in own):
        return None
    content = Elements()
    tracks: dict[int, Elements] = {}
    remarks = []
    for piece in own:
        if piece.made.remark:
            remarks.append(piece)
            continue
        inner = piece.made.target.level == "track"
        into = tracks.setdefault(piece.made.track, Elements()) if inner else content
        if held := into.add(piece):
            _twice(plan, row, piece, held, mapped)
    for piece in remarks:
        if content.add(piece):
            content.add(_as_annotation(piece))
    built = content.built(Instantiation)
    if tracks:
        built["essence_tracks"] = tuple(_track(track) for _, track in sorted(tracks.items()))
    return Instantiation(**built)  # type: ignore[arg-type]


def _track(content: Elements) -> EssenceTrack:
    return EssenceTrack(**content.built(EssenceTrack))  # type: ignore[arg-type]


def _as_annotation(piece: Piece) -> Piece:
    """A side remark that its own column contradicts stays as a note of its kind: nothing is lost."""
    made = piece.made
    return Piece(annotation(made.remark, made), piece.evidence, piece.index)


def _twice(plan: Plan, row: StoredRow, piece: Piece, held: str, mapped: MappedRow) -> None:
    if held == piece.made.value or piece.index < 0:
        return
    mapped.entries[piece.index] = TWICE
    place = Origin(file=plan.file, cell=plan.address(row.number, piece.index))
    message = f'"{piece.made.value[:60]}": {piece.made.target.child.element} already holds "{held[:60]}"'
    mapped.findings.append(finding("MP05", place, message, value=piece.made.value))

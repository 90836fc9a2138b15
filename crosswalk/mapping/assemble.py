"""The rows of one asset become one record."""

from __future__ import annotations

from collections.abc import Iterable

import msgspec

from crosswalk.findings import Finding
from crosswalk.ledger import Entry
from crosswalk.mapping.elements import Elements
from crosswalk.mapping.made import CARRIER, NO_CELL, Made, annotation, fill
from crosswalk.mapping.plan import Plan
from crosswalk.mapping.rows import MappedRow, map_row
from crosswalk.mapping.store import StoredRow
from crosswalk.records import Asset, EssenceTrack, Evidence, Instantiation


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
    accounts: list[RowAccount] = []
    findings: list[Finding] = []
    for plan, row in rows:
        mapped = MappedRow(plan, row, content, is_first=not accounts)
        map_row(mapped)
        copy = _instantiation(mapped)
        if copy is not None:
            copies.append(copy)
        accounts.append(RowAccount(plan, row, mapped.entries))
        findings += mapped.findings
    built = content.built()
    if copies:
        built["instantiations"] = tuple(copies)
    evidence = _row_of(accounts[0].plan, accounts[0].row) if accounts else None
    return Assembled(Asset(**built, evidence=evidence), accounts, findings)  # type: ignore[arg-type]


def _row_of(plan: Plan, row: StoredRow) -> Evidence:
    """The evidence of what a whole row became: the values in it need not name the row again."""
    return Evidence("", plan.file, plan.sheet, row.number, NO_CELL)


def _instantiation(mapped: MappedRow) -> Instantiation | None:
    """The carrier or file of a row, None where no cell of the row tells of one."""
    if not mapped.has_carrier:
        return None
    content = mapped.part(CARRIER)
    for made, evidence in mapped.remarks:
        _remark(content, made, evidence)
    built = content.built()
    tracks = [mapped.parts[part] for part in sorted(mapped.parts) if part > CARRIER]
    if tracks:
        built["essence_tracks"] = tuple([EssenceTrack(**track.built()) for track in tracks])  # type: ignore[arg-type]
    return Instantiation(**built, evidence=_row_of(mapped.plan, mapped.row))  # type: ignore[arg-type]


def _remark(content: Elements, made: Made, evidence: Evidence) -> None:
    """A side remark that its own column contradicts stays as a note of its kind: nothing is lost."""
    if content.add(fill(made, evidence)):
        content.add(fill(annotation(made.element.remark, made), evidence))

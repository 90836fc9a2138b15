"""Small mappings over small sheets: what comes of them."""

from __future__ import annotations

import csv
import io
from collections.abc import Callable, Sequence
from contextlib import ExitStack
from pathlib import Path
from typing import Any

import openpyxl

from crosswalk.findings import Finding
from crosswalk.ledger import Account, Ledger
from crosswalk.mapping.assemble import Assembled
from crosswalk.mapping.store import RowStore
from crosswalk.mapping.targets import resolve
from crosswalk.pipeline.converting import from_rows
from crosswalk.pipeline.gather import gather
from crosswalk.pipeline.run import FindingLog, Options, Run
from crosswalk.records import Asset

Rows = Sequence[Sequence[str]]


class Mapped:
    """The records of some sheets, the findings, and where the cells ended (all records taken as delivered)."""

    def __init__(self, sources: Sequence[Path], mappings: Sequence[Path], in_memory_bytes: int = 10_000_000) -> None:
        buffer = io.StringIO()
        run = Run(Options(out=Path("nowhere")), Ledger(buffer), FindingLog())
        with ExitStack() as stack:
            store = RowStore(in_memory_bytes)
            stack.callback(store.close)
            plans = gather([(source, list(mappings)) for source in sources], store, run)
            self.assembled: list[Assembled] = list(from_rows(plans, store.groups()))
        for one in self.assembled:
            run.log.add(one.findings)
            for row in one.rows:
                run.ledger.row(row.plan.columns, row.row.number, row.row.texts, "r", Account.DELIVERED, row.entries)
        run.ledger.check()
        self.findings: list[Finding] = run.log.kept
        self.ledger = {row["cell"]: row for row in csv.DictReader(io.StringIO(buffer.getvalue()))}

    @property
    def assets(self) -> list[Asset]:
        return [one.asset for one in self.assembled]

    @property
    def asset(self) -> Asset:
        (asset,) = self.assets
        return asset

    def texts(self, path: str) -> list[str]:
        """All that stands at a place such as `asset.title`, record by record."""
        target = resolve(path)
        assert target is not None
        found = []
        for asset in self.assets:
            by_level: dict[str, list[Any]] = {
                "asset": [asset],
                "instantiation": list(asset.instantiations),
                "track": [track for one in asset.instantiations for track in one.essence_tracks],
            }
            for holder in by_level[target.level]:
                held = getattr(holder, target.child.field)
                for node in held if isinstance(held, tuple) else [held] if held is not None else []:
                    inner = node if target.main is None else getattr(node, target.main.field)
                    found += [one.text for one in (inner if isinstance(inner, tuple) else [inner])]
        return found

    def codes(self, *apart: str) -> list[str]:
        """The codes of all findings, without the note on encoding that every delimited file has."""
        return [one.code for one in self.findings if one.code not in ("SH01", *apart)]

    def account(self, cell: str) -> str:
        return self.ledger[cell]["account"]


def toml(folder: Path, text: str, name: str = "mapping.toml") -> Path:
    path = folder / name
    path.write_text(text, encoding="utf-8")
    return path


def sheet(folder: Path, rows: Rows, name: str = "tapes.csv") -> Path:
    buffer = io.StringIO()
    csv.writer(buffer).writerows(rows)
    path = folder / name
    path.write_text(buffer.getvalue(), encoding="utf-8")
    return path


def workbook(folder: Path, sheets: dict[str, Rows], fill: Callable[[Any], None] | None = None) -> Path:
    book = openpyxl.Workbook()
    book.remove(book.worksheets[0])
    for name, rows in sheets.items():
        made = book.create_sheet(name)
        for row in rows:
            made.append([text or None for text in row])
    if fill is not None:
        fill(book)
    path = folder / "tapes.xlsx"
    book.save(path)
    return path


def mapped(folder: Path, mapping: str, rows: Rows) -> Mapped:
    """A mapping over one delimited file."""
    return Mapped([sheet(folder, rows)], [toml(folder, mapping)])


def column(heading: str, rest: str) -> str:
    """One [[column]] of a mapping."""
    return f'\n[[column]]\nheading = "{heading}"\n{rest}\n'

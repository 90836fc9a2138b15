"""What each format's reader hands to the search for the table: the sheet as it stands, from its first row on."""

from __future__ import annotations

from collections.abc import Callable, Iterator

import msgspec

from crosswalk.findings import Finding
from crosswalk.sheets.cells import Row, cell_address
from crosswalk.sheets.notes import Notes

Dress = dict[str, set[int]]  # numbers of rows by the fill of a cell in them (RRGGBB), and those of struck-out text


class Range(msgspec.Struct, frozen=True, order=True):
    """A merged range: first and last row (numbers from 1) and column (indexes from 0)."""

    top: int
    left: int
    bottom: int
    right: int


class RawSheet(msgspec.Struct, kw_only=True):
    """A sheet before its header is known. `rows()` streams every row that has content, with its own number."""

    file: str
    name: str
    rows: Callable[[], Iterator[Row]]
    findings: list[Finding]
    notes: Notes
    width: int | None = None  # how many columns have content, where that is known without reading all
    merged: tuple[Range, ...] = ()
    hidden_columns: frozenset[int] = frozenset()
    row_count: int | None = None
    dress: Dress = {}

    def address(self, row: int, index: int) -> str:
        """The address of a cell, for messages."""
        return cell_address(self.file, self.name, row, index)

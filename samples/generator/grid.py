"""A sheet as a grid of cells with regions, its address arithmetic, and its writing: the same bytes each time."""

from __future__ import annotations

import datetime as dt
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

import xlsxwriter
from xlsxwriter.utility import xl_col_to_name

from generator.model import Cell

REGIONS = ("title block", "header", "data", "totals")
WRITTEN_ON = dt.datetime(2015, 3, 2, 9, 0, 0)  # tells nothing; a clock would change the bytes on each run


@dataclass
class Grid:
    """One sheet. Rows and columns count from 0 inside, addresses from 1 as in the sheet."""

    name: str
    cells: dict[tuple[int, int], Cell] = field(default_factory=dict)
    regions: dict[int, str] = field(default_factory=dict)
    merges: list[tuple[int, int, int, int]] = field(default_factory=list)
    hidden_rows: list[int] = field(default_factory=list)
    hidden_columns: list[int] = field(default_factory=list)
    widths: dict[int, int] = field(default_factory=dict)
    headings: list[str] = field(default_factory=list)
    header_rows: list[int] = field(default_factory=list)

    def put(self, row: int, column: int, cell: Cell | str, region: str = "data") -> str:
        """Place a cell; its address comes back."""
        self.regions[row] = region
        if not isinstance(cell, Cell):
            cell = Cell(cell)
        if cell.filled or cell.formula or cell.fill:
            self.cells[row, column] = cell
        return self.address(row, column)

    def address(self, row: int, column: int) -> str:
        return f"{self.name}!{xl_col_to_name(column)}{row + 1}"

    def title_block(self, lines: list[str]) -> None:
        for row, line in enumerate(lines):
            self.put(row, 0, line, "title block")

    def header(self, row: int, headings: list[str]) -> None:
        self.headings, self.header_rows = headings, [*self.header_rows, row + 1]
        for column, heading in enumerate(headings):
            self.put(row, column, heading, "header")

    def counts(self) -> dict[str, int]:
        """Non-empty cells by region, as a reader of stored values sees them."""
        result = dict.fromkeys(REGIONS, 0)
        for (row, _), cell in self.cells.items():
            result[self.regions[row]] += cell.filled
        return result

    def unstored(self) -> list[str]:
        """Formulas that have no stored value: empty to a reader of values."""
        return [self.address(*at) for at, cell in sorted(self.cells.items()) if cell.formula and not cell.filled]


class Book:
    """A workbook in the making, its cell formats made once each."""

    def __init__(self, path: Path, title: str) -> None:
        self.file = xlsxwriter.Workbook(
            path, {"in_memory": True, "strings_to_formulas": False, "strings_to_urls": False}
        )
        self.file.set_properties({"title": title, "author": "Tape library", "created": WRITTEN_ON})
        self.formats: dict[tuple[tuple[str, Any], ...], Any] = {}

    def format(self, cell: Cell, region: str) -> Any:
        wanted: dict[str, Any] = {}
        if cell.number_format:
            wanted["num_format"] = cell.number_format
        if cell.fill:
            wanted["bg_color"] = "#FFFF00"
        if cell.strike:
            wanted["font_strikeout"] = True
        if region in ("header", "totals"):
            wanted["bold"] = True
        key = tuple(sorted(wanted.items()))
        if wanted and key not in self.formats:
            self.formats[key] = self.file.add_format(wanted)
        return self.formats.get(key)

    def write_cell(self, sheet: Any, row: int, column: int, cell: Cell, style: Any) -> None:
        if cell.formula:
            sheet.write_formula(row, column, cell.formula, style, "" if cell.value is None else cell.value)
        elif not cell.filled:
            sheet.write_blank(row, column, None, style)
        elif cell.kind == "date":
            sheet.write_datetime(row, column, cell.value, style)
        elif isinstance(cell.value, str):
            sheet.write_string(row, column, cell.value, style)
        else:
            sheet.write_number(row, column, cell.value, style)
        if cell.note:
            sheet.write_comment(row, column, cell.note, {"author": "Tape library"})

    def add(self, grid: Grid) -> None:
        """Write one sheet."""
        sheet = self.file.add_worksheet(grid.name)
        sheet.freeze_panes(max(grid.header_rows), 0)
        for column, width in grid.widths.items():
            sheet.set_column(column, column, width)
        for column in grid.hidden_columns:
            sheet.set_column(column, column, 10, None, {"hidden": True})
        for row in grid.hidden_rows:
            sheet.set_row(row, None, None, {"hidden": True})
        for merge in grid.merges:
            sheet.merge_range(*merge, "")
        for (row, column), cell in sorted(grid.cells.items()):
            self.write_cell(sheet, row, column, cell, self.format(cell, grid.regions[row]))

"""Small workbooks and delimited files for the tests, made by other libraries than the one under test."""

from __future__ import annotations

import zipfile
from collections.abc import Callable, Sequence
from pathlib import Path
from typing import Any

import openpyxl

from crosswalk.sheets import ReadOptions, Sheet, open_sheets

SPREADSHEET = "http://schemas.openxmlformats.org/spreadsheetml/2006/main"


def text_file(folder: Path, content: str | bytes, name: str = "tapes.csv") -> Path:
    path = folder / name
    path.write_bytes(content.encode() if isinstance(content, str) else content)
    return path


def only_sheet(path: Path, options: ReadOptions = ReadOptions()) -> Sheet:  # noqa: B008
    (sheet,) = open_sheets(path, options)
    return sheet


def texts(sheet: Sheet) -> list[list[str]]:
    return [row.texts for row in sheet.rows()]


def codes(sheet: Sheet) -> list[str]:
    """The codes of all findings, rows read; without the note on encoding, which every delimited file has."""
    for _ in sheet.rows():
        pass
    return [finding.code for finding in sheet.findings if finding.code != "SH01"]


def workbook(folder: Path, fill: Callable[[Any], None], name: str = "tapes.xlsx") -> Path:
    """A workbook with one sheet "Tapes" that `fill` writes through openpyxl."""
    book = openpyxl.Workbook()
    sheet = book.active
    assert sheet is not None
    sheet.title = "Tapes"
    fill(sheet)
    book.save(folder / name)
    return folder / name


def grid(rows: Sequence[Sequence[object]], *merged: str) -> Callable[[Any], None]:
    """Fills a sheet with rows from A1 on, None for an empty cell."""

    def fill(sheet: Any) -> None:
        for number, row in enumerate(rows, 1):
            for column, value in enumerate(row, 1):
                if value is not None:
                    sheet.cell(number, column, value)
        for span in merged:
            sheet.merge_cells(span)

    return fill


def sheet_xml(rows: str, before: str = "") -> str:
    return f'<worksheet xmlns="{SPREADSHEET}">{before}<sheetData>{rows}</sheetData></worksheet>'


def with_part(source: Path, target: Path, changes: dict[str, bytes | None]) -> Path:
    """A copy of a ZIP package with parts replaced, added, or (None) left out."""
    with zipfile.ZipFile(source) as old, zipfile.ZipFile(target, "w", zipfile.ZIP_DEFLATED) as new:
        for name in dict.fromkeys([*old.namelist(), *changes]):
            part = changes.get(name, old.read(name) if name in old.namelist() else None)
            if part is not None:
                new.writestr(name, part)
    return target


def raw_workbook(folder: Path, xml: str, name: str = "raw.xlsx") -> Path:
    """A workbook whose one worksheet is the given XML, for what no library writes."""
    plain = workbook(folder, grid([["x"]]), "plain.xlsx")
    return with_part(plain, folder / name, {"xl/worksheets/sheet1.xml": xml.encode()})

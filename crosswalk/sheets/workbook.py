"""Workbooks through python-calamine: values to texts, with the numbers that rows and columns have in the workbook."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from pathlib import Path

from python_calamine import CalamineSheet, CalamineWorkbook, SheetTypeEnum

from crosswalk.findings import Finding
from crosswalk.sheets.cells import ReadOptions, Row
from crosswalk.sheets.notes import Notes
from crosswalk.sheets.raw import Range, RawSheet
from crosswalk.sheets.texts import Value, value_text


def read_workbook(path: Path, options: ReadOptions) -> list[RawSheet]:
    """The sheets of a workbook that hold cells, in its order."""
    book = CalamineWorkbook.from_path(path)
    names = [sheet.name for sheet in book.sheets_metadata if sheet.typ == SheetTypeEnum.WorkSheet]
    return [_raw_sheet(path, book, name) for name in names if wanted(name, options)]


def wanted(name: str, options: ReadOptions) -> bool:
    """Whether the options ask for this sheet: by name, or by shell pattern."""
    from fnmatch import fnmatchcase

    return not options.sheets or any(name == asked or fnmatchcase(name, asked) for asked in options.sheets)


def _raw_sheet(path: Path, book: CalamineWorkbook, name: str) -> RawSheet:
    sheet = book.get_sheet_by_name(name)
    findings: list[Finding] = []
    end = sheet.end
    return RawSheet(
        file=str(path),
        name=name,
        rows=lambda: _rows(sheet),
        findings=findings,
        notes=Notes(findings, str(path)),
        width=end[1] + 1 if end else 0,
        merged=merged_ranges(sheet),
        row_count=sheet.total_height,
    )


def merged_ranges(sheet: CalamineSheet) -> tuple[Range, ...]:
    """The merged ranges, rows from 1 and columns from 0, in reading order."""
    found = sheet.merged_cell_ranges or []
    return tuple(sorted(Range(top + 1, left, bottom + 1, right) for (top, left), (bottom, right) in found))


def _rows(sheet: CalamineSheet) -> Iterator[Row]:
    """calamine starts at the first row of the sheet, but at the first column that has content."""
    start = sheet.start
    if start is None:
        return
    before = [""] * start[1]
    for number, values in enumerate(sheet.iter_rows(), 1):
        if any(value != "" for value in values):
            yield row_of(number, before, values)


def row_of(number: int, before: list[str], values: Sequence[Value]) -> Row:
    """A row from stored values, with the kinds of those that are not text."""
    texts, kinds, shift = before.copy(), {}, len(before)
    for index, value in enumerate(values, shift):
        if isinstance(value, str):
            texts.append(value)
            continue
        text, kind = value_text(value)
        texts.append(text)
        if kind:
            kinds[index] = kind
    return Row(number, texts, kinds)

"""XLSX: calamine's values, and what a look at the XML adds to them."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from pathlib import Path
from typing import TypeVar

from python_calamine import CalamineSheet, CalamineWorkbook

from crosswalk.errors import UnreadableInput
from crosswalk.findings import Finding
from crosswalk.sheets.cells import ReadOptions, Row
from crosswalk.sheets.container import SAVE_AS, Package
from crosswalk.sheets.marks import Marks, read_marks
from crosswalk.sheets.notes import Notes
from crosswalk.sheets.peculiar import amend, report, report_beside_cells, report_unread_notes
from crosswalk.sheets.raw import Range, RawSheet
from crosswalk.sheets.texts import Value, value_text
from crosswalk.sheets.wanted import report_missing, wanted
from crosswalk.sheets.xlsx_look import Look, Styles, UnsafeXml, look_over
from crosswalk.sheets.xlsx_parts import Part, beside_cells, noted_cells, read_parts

Found = TypeVar("Found")


def read_xlsx(path: Path, options: ReadOptions) -> list[RawSheet]:
    """The worksheets that the options ask for, in the workbook's order."""
    with Package(path, options.max_unpacked_bytes) as package, package.refusing():
        parts = read_parts(package)
        asked = [part for part in parts.sheets if wanted(part.name, options)]
        package.prove(lambda name: options.marks or name.endswith("sharedStrings.xml"))
        looks = [_look(package, part, parts.styles) for part in asked]
        noted = [[] if options.marks else noted_cells(package, part) for part in asked]
        beside = [beside_cells(package, part) for part in asked]
    marks, trouble = read_marks(path, [part.name for part in asked]) if options.marks else ({}, "")
    book = _Book(path)
    sheets = [_raw_sheet(part, look, book, marks.get(part.name, {})) for part, look in zip(asked, looks, strict=True)]
    for raw, cells, more in zip(sheets, noted, beside, strict=True):
        report_unread_notes(raw, cells)
        report_beside_cells(raw, more)
    for raw in sheets if trouble else ():
        raw.notes.once("SH22", f"colours, strike-outs and notes could not be read ({trouble})", value=raw.name)
    report_missing(path, sheets, [part.name for part in parts.sheets], options)
    return sheets


def worksheet_names(path: Path, options: ReadOptions) -> list[str]:
    """The names of all worksheets, in the workbook's order."""
    with Package(path, options.max_unpacked_bytes) as package, package.refusing():
        return [part.name for part in read_parts(package).sheets]


class _Book:
    """The workbook in calamine, whose failures are refusals."""

    def __init__(self, path: Path) -> None:
        self.path = path
        self._book = self._guarded(lambda: CalamineWorkbook.from_path(path))

    def sheet(self, name: str) -> CalamineSheet:
        """One worksheet, its values in memory."""
        return self._guarded(lambda: self._book.get_sheet_by_name(name))

    def _guarded(self, step: Callable[[], Found]) -> Found:
        try:
            return step()
        except (KeyboardInterrupt, SystemExit, MemoryError):
            raise
        except BaseException as error:  # a panic in calamine arrives as a BaseException
            raise UnreadableInput(self.path, f"is damaged ({error})", SAVE_AS) from error


def _look(package: Package, part: Part, styles: Styles) -> Look:
    try:
        look = look_over(package.blocks(part.path), styles)
    except KeyError as error:
        raise package.damaged(f'the part of sheet "{part.name}" is missing') from error
    except UnsafeXml as error:
        raise UnreadableInput(package.path, f'sheet "{part.name}" has {error}', SAVE_AS) from error
    if look.sprawls:
        problem = f'sheet "{part.name}" has few cells that stand far apart, down to row {look.last_row}'
        raise UnreadableInput(package.path, problem, "delete the stray cells far below or right of the table")
    return look


def _raw_sheet(part: Part, look: Look, book: _Book, marks: Marks) -> RawSheet:
    sheet = book.sheet(part.name)
    findings: list[Finding] = []
    end = sheet.end
    raw = RawSheet(
        file=str(book.path),
        name=part.name,
        rows=lambda: _rows(sheet, look, marks),
        findings=findings,
        notes=Notes(findings, str(book.path)),
        width=max(end[1] + 1 if end else 0, *(max(cells) + 1 for cells in look.cells.values()), 0),
        merged=merged_ranges(sheet),
        hidden_columns=frozenset(look.hidden_columns),
        row_count=max(end[0] + 1 if end else 0, *look.cells, 0),
        dress=look.dress,
    )
    report(raw, look.cells, look.hidden_rows, part.hidden)
    return raw


def merged_ranges(sheet: CalamineSheet) -> tuple[Range, ...]:
    """The merged ranges, rows from 1 and columns from 0, in reading order."""
    found = sheet.merged_cell_ranges or []
    return tuple(sorted(Range(top + 1, left, bottom + 1, right) for (top, left), (bottom, right) in found))


def _rows(sheet: CalamineSheet, look: Look, marks: Marks) -> Iterator[Row]:
    """calamine starts at the first row of the sheet, but at the first column that has content, and ends before cells
    that it takes for empty."""
    start = sheet.start
    before = [""] * (start[1] if start else 0)
    peculiar, hidden = look.cells, frozenset(look.hidden_rows)
    number = 0
    for number, values in enumerate(_values(sheet) if start else (), 1):
        row = row_of(number, before, values)
        if number in peculiar:
            amend(row, peculiar[number])
        if number in hidden:
            row.hidden = True
        if number in marks:
            row.marks = dict(marks[number])
        if any(row.texts):
            yield row
    for later in sorted(later for later in peculiar if later > number):
        yield amend(Row(later, [], marks=dict(marks.get(later, {})), hidden=later in hidden), peculiar[later])


def _values(sheet: CalamineSheet) -> Iterator[list[Value]]:
    """The rows of values; calamine raises for a length beyond what Python can hold."""
    try:
        yield from sheet.iter_rows()
    except (OverflowError, ValueError) as error:
        raise UnreadableInput(sheet.name, f"holds a value out of all range ({error})", "mend the cell") from error


def row_of(number: int, before: list[str], values: Sequence[Value]) -> Row:
    """A row from stored values, with the kinds of those that are not text."""
    texts, kinds = before.copy(), {}
    for index, value in enumerate(values, len(before)):
        if isinstance(value, str):
            texts.append(value)
            continue
        text, kind = value_text(value)
        texts.append(text)
        if kind:
            kinds[index] = kind
    return Row(number, texts, kinds)

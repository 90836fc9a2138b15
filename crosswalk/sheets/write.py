"""Workbooks and delimited text that this project makes: same content, same bytes; put in place whole."""

from __future__ import annotations

import csv
import io
from collections.abc import Iterable, Sequence
from pathlib import Path
from typing import Any

import msgspec

from crosswalk.errors import UnwritableOutput
from crosswalk.sheets.cells import Mark
from crosswalk.tables import CREATED, as_text, written_whole
from crosswalk.xmlio import write_whole

MAX_CELL_CHARS = 32_767  # what a cell of a workbook holds
MAX_WIDTH_CHARS, MIN_WIDTH_CHARS = 60, 8
SHEET_NAME_CHARS = 31

CellValue = str | int | float | None


class Table(msgspec.Struct, kw_only=True):
    """One sheet to write: a header, rows of cells, and marks by position in `rows` (both from 0). Texts stay texts
    whatever they begin with; numbers stay numbers."""

    name: str
    header: Sequence[str]
    rows: Iterable[Sequence[CellValue]]
    marks: dict[tuple[int, int], Mark] = {}


def write_workbook(path: Path, tables: Sequence[Table]) -> None:
    """Writes an XLSX workbook, one sheet a table, the header frozen and with a filter.

    Raises UnwritableOutput where it cannot be written, or a text is longer than a cell of a workbook may be."""
    import xlsxwriter

    content = io.BytesIO()
    with xlsxwriter.Workbook(content, {"in_memory": True, "strings_to_formulas": False}) as book:
        book.set_properties({"created": CREATED})
        names: list[str] = []
        for table in tables:
            names.append(sheet_name(table.name, names))
            _write_table(book, path, names[-1], table)
    write_whole(path, content.getvalue())


def sheet_name(wanted: str, taken: Sequence[str] = ()) -> str:
    """A name that a workbook accepts for a sheet, different from those taken.

    >>> sheet_name("Video: 1960s/70s"), sheet_name("Radio", ["radio"])
    ('Video_ 1960s_70s', 'Radio (2)')
    """
    clean = "".join("_" if character in "[]:*?/\\\\" else character for character in wanted).strip("' ") or "Sheet"
    name, number = clean[:SHEET_NAME_CHARS], 2
    while name.casefold() in {one.casefold() for one in taken}:
        ending = f" ({number})"
        name, number = clean[: SHEET_NAME_CHARS - len(ending)] + ending, number + 1
    return name


def _write_table(book: Any, path: Path, name: str, table: Table) -> None:
    sheet = book.add_worksheet(name)
    formats = _Formats(book)
    widths = [len(text) for text in table.header]
    for column, text in enumerate(table.header):
        sheet.write_string(0, column, text, formats.header)
    last = 0
    for last, row in enumerate(table.rows, 1):
        for column, value in enumerate(row):
            mark = table.marks.get((last - 1, column))
            _write_cell(sheet, path, (last, column), value, formats.of(mark))
            if mark is not None and mark.note:
                sheet.write_comment(last, column, mark.note, {"author": "", "x_scale": 2})
            widths += [0] * (column + 1 - len(widths))
            widths[column] = max(widths[column], len(str(value)) if value is not None else 0)
    for column, width in enumerate(widths):
        sheet.set_column(column, column, min(max(width + 2, MIN_WIDTH_CHARS), MAX_WIDTH_CHARS))
    sheet.freeze_panes(1, 0)
    if table.header:
        sheet.autofilter(0, 0, last, len(table.header) - 1)


def _write_cell(sheet: Any, path: Path, place: tuple[int, int], value: CellValue, form: Any) -> None:
    if value is None or value == "":
        sheet.write_blank(*place, None, form)
    elif not isinstance(value, str):
        sheet.write_number(*place, value, form)
    elif len(value) > MAX_CELL_CHARS:
        problem = f"the text of row {place[0] + 1}, column {place[1] + 1} has {len(value):,} characters"
        raise UnwritableOutput(path, problem, f"a cell holds {MAX_CELL_CHARS:,} at the most: write CSV instead")
    else:
        sheet.write_string(*place, value, form)


class _Formats:
    """The formats of one workbook, one for each fill and strike-out."""

    def __init__(self, book: Any) -> None:
        self._book = book
        self.header = book.add_format({"bold": True, "text_wrap": True, "valign": "top"})
        self._made: dict[tuple[str, bool], Any] = {("", False): book.add_format({"num_format": "@"})}

    def of(self, mark: Mark | None) -> Any:
        """The format of a cell: text, so that a program which opens the sheet leaves codes as they are."""
        key = (mark.fill, mark.struck) if mark is not None else ("", False)
        if key not in self._made:
            look: dict[str, object] = {"num_format": "@", "font_strikeout": key[1]}
            self._made[key] = self._book.add_format(look | ({"bg_color": f"#{key[0]}"} if key[0] else {}))
        return self._made[key]


def write_csv(
    path: Path, header: Sequence[str], rows: Iterable[Sequence[CellValue]], *, guard_formulas: bool = False
) -> None:
    """Writes comma delimited UTF-8 text with CRLF (RFC 4180).

    A text that begins like a formula is written as it is, so that reading gives back what was written; a spreadsheet
    program would calculate it. `guard_formulas` puts an apostrophe before it, for files that go to such a program and
    are not read again.

    Raises UnwritableOutput where the file cannot be written."""
    with written_whole(path) as stream:
        writer = csv.writer(stream, lineterminator="\r\n")
        writer.writerow(header)
        for row in rows:
            writer.writerow([_guarded(value) for value in row] if guard_formulas else row)


def _guarded(value: CellValue) -> CellValue:
    return as_text(value) if isinstance(value, str) else value

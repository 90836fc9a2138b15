"""Cells of a workbook that read otherwise than their plain stored value, and the findings about them."""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence

import msgspec

from crosswalk.sheets.cells import Kind, Row, column_letters
from crosswalk.sheets.raw import RawSheet

MOST_SHOWN = 5
EACH_CELL = {
    "SH13": 'the cell shows the error "{text}"',
    "SH14": 'the formula "{text}" has no stored value',
    "SH29": 'part of the text is struck out; what is left reads "{raw}"',
    "SH15": '"{text}" has more digits than a spreadsheet keeps',
    "SH19": 'the number {raw} stands under the date or time format {shown_by}; read as "{text}"',
}  # findings about a cell; the others are about a column


class Peculiar(msgspec.Struct, frozen=True):
    """A cell that reads otherwise than its value. `code` is that of its finding; `raw` the number as stored,
    `shown_by` the code of the format."""

    text: str
    kind: Kind | None
    code: str = ""
    raw: str = ""
    shown_by: str = ""


Cells = dict[int, dict[int, Peculiar]]  # by row number and column index


def amend(row: Row, cells: dict[int, Peculiar]) -> Row:
    """The row with its peculiar cells in place."""
    row.texts += [""] * (max(cells) + 1 - len(row.texts))
    for index, cell in cells.items():
        row.texts[index] = cell.text or row.texts[index]
        if cell.kind is None:
            row.kinds.pop(index, None)
        else:
            row.kinds[index] = cell.kind
    return row


def report(raw: RawSheet, cells: Cells, hidden_rows: Sequence[int], hidden_sheet: bool) -> None:
    """The findings about one sheet of a workbook."""
    if hidden_sheet:
        raw.notes.once("SH12", f'sheet "{raw.name}" is hidden; it was read', value=raw.name)
    if hidden_rows:
        spans = row_spans(hidden_rows)
        raw.notes.once("SH12", f'sheet "{raw.name}": hidden rows were read: {spans}', value=spans)
    for row in sorted(cells):
        for index, cell in sorted(cells[row].items()):
            if cell.code in EACH_CELL:
                said = EACH_CELL[cell.code].format(text=cell.text, raw=cell.raw, shown_by=cell.shown_by)
                raw.notes.cell(cell.code, raw.address(row, index), said, cell.text)
    _report_columns(raw, cells)


def report_unread_notes(raw: RawSheet, cells: Sequence[str]) -> None:
    """One finding a sheet where cells have notes that nothing asks for; `cells` as they are named within the sheet."""
    if cells:
        notes = "1 note" if len(cells) == 1 else f"{len(cells)} notes"
        message = f'sheet "{raw.name}": {notes} on cells, from {cells[0]} on, not read, since no mark asks for them'
        raw.notes.once("SH24", message, cell=f"{raw.name}!{cells[0]}", value=str(len(cells)))


def report_beside_cells(raw: RawSheet, found: Sequence[str]) -> None:
    """One finding a sheet for links and text boxes, which no cell says."""
    if found:
        shown = "; ".join(one[:80] for one in found[:MOST_SHOWN]) + ("; ..." if len(found) > MOST_SHOWN else "")
        raw.notes.once("SH30", f'sheet "{raw.name}": not read, since it is no cell: {shown}', value=str(len(found)))


def _report_columns(raw: RawSheet, cells: Cells) -> None:
    """One finding a column and format where numbers were read as they are shown."""
    counts: Counter[tuple[int, str, str]] = Counter()
    first: dict[tuple[int, str, str], tuple[int, Peculiar]] = {}
    for row in sorted(cells):
        for index, cell in cells[row].items():
            if cell.code and cell.code not in EACH_CELL:
                key = (index, cell.code, cell.shown_by)
                counts[key] += 1
                first.setdefault(key, (row, cell))
    for (index, code, shown_by), count in sorted(counts.items()):
        row, cell = first[index, code, shown_by]
        many = "1 cell" if count == 1 else f"{count} cells"
        message = (
            f'column {column_letters(index)}: {many} read as shown by the format {shown_by}, such as "{cell.text}"'
        )
        raw.notes.once(code, message, cell=raw.address(row, index), value=cell.text)


def row_spans(numbers: Sequence[int]) -> str:
    """Row numbers as spans.

    >>> row_spans([3, 4, 5, 9])
    '3-5, 9'
    """
    spans: list[list[int]] = []
    for number in numbers:
        if spans and number == spans[-1][1] + 1:
            spans[-1][1] = number
        else:
            spans.append([number, number])
    return ", ".join(f"{first}-{last}" if last > first else str(first) for first, last in spans)

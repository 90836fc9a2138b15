"""XLSX: calamine's values, and what a look at the XML adds to them."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Sequence
from fnmatch import fnmatchcase
from pathlib import Path

from python_calamine import CalamineError, CalamineSheet, CalamineWorkbook

from crosswalk.errors import UnreadableInput
from crosswalk.findings import Finding
from crosswalk.sheets.cells import ReadOptions, Row, column_letters, fold_heading
from crosswalk.sheets.container import SAVE_AS, Package
from crosswalk.sheets.notes import Notes
from crosswalk.sheets.raw import Range, RawSheet
from crosswalk.sheets.texts import Value, value_text
from crosswalk.sheets.xlsx_look import Look, Peculiar, Styles, UnsafeXml, look_over
from crosswalk.sheets.xlsx_parts import Part, read_parts

EACH_CELL = frozenset({"SH13", "SH14", "SH15", "SH19"})  # findings about a cell; the others are about a column


def read_xlsx(path: Path, options: ReadOptions) -> list[RawSheet]:
    """The worksheets that the options ask for, in the workbook's order."""
    with Package(path, options.max_unpacked_bytes) as package:
        parts = read_parts(package)
        for name in sorted(package.names):  # calamine reads it unguarded: see first that it unpacks to what it declares
            if name.endswith("sharedStrings.xml"):
                _drain(package, name)
        looks = [(part, _look(package, part, parts.styles)) for part in parts.sheets if wanted(part.name, options)]
    try:
        book = CalamineWorkbook.from_path(path)
        return [_raw_sheet(path, part, look, book.get_sheet_by_name(part.name)) for part, look in looks]
    except CalamineError as error:
        raise UnreadableInput(path, f"is damaged ({error})", SAVE_AS) from error


def wanted(name: str, options: ReadOptions) -> bool:
    """Whether the options ask for this sheet: by name, or by shell pattern; case does not matter.

    >>> wanted("Video 1960s", ReadOptions(sheets=("video 19*",))), wanted("Radio", ReadOptions(sheets=("video 19*",)))
    (True, False)
    """
    folded = fold_heading(name)
    return not options.sheets or any(
        folded == fold_heading(asked) or fnmatchcase(folded, fold_heading(asked)) for asked in options.sheets
    )


def _drain(package: Package, name: str) -> None:
    for _ in package.blocks(name):
        pass


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


def _raw_sheet(path: Path, part: Part, look: Look, sheet: CalamineSheet) -> RawSheet:
    findings: list[Finding] = []
    end = sheet.end
    width = max(end[1] + 1 if end else 0, *(max(cells) + 1 for cells in look.cells.values()), 0)
    raw = RawSheet(
        file=str(path),
        name=part.name,
        rows=lambda: _rows(sheet, look),
        findings=findings,
        notes=Notes(findings, str(path)),
        width=width,
        merged=merged_ranges(sheet),
        hidden_columns=frozenset(look.hidden_columns),
        row_count=max(sheet.total_height, max(look.cells, default=0)),
    )
    _report(raw, part, look)
    return raw


def merged_ranges(sheet: CalamineSheet) -> tuple[Range, ...]:
    """The merged ranges, rows from 1 and columns from 0, in reading order."""
    found = sheet.merged_cell_ranges or []
    return tuple(sorted(Range(top + 1, left, bottom + 1, right) for (top, left), (bottom, right) in found))


def _rows(sheet: CalamineSheet, look: Look) -> Iterator[Row]:
    """calamine starts at the first row of the sheet, but at the first column that has content, and ends before cells
    that it takes for empty."""
    start = sheet.start
    before = [""] * (start[1] if start else 0)
    peculiar, hidden = look.cells, frozenset(look.hidden_rows)
    number = 0
    for number, values in enumerate(sheet.iter_rows() if start else (), 1):
        row = row_of(number, before, values)
        if number in peculiar:
            _amend(row, peculiar[number])
        if number in hidden:
            row.hidden = True
        if any(row.texts):
            yield row
    for later in sorted(number_ for number_ in peculiar if number_ > number):
        yield _amend(Row(later, [], hidden=later in hidden), peculiar[later])


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


def _amend(row: Row, cells: dict[int, Peculiar]) -> Row:
    """The row with its peculiar cells in place."""
    row.texts += [""] * (max(cells) + 1 - len(row.texts))
    for index, cell in cells.items():
        row.texts[index] = cell.text
        if cell.kind is None:
            row.kinds.pop(index, None)
        else:
            row.kinds[index] = cell.kind
    return row


def _report(raw: RawSheet, part: Part, look: Look) -> None:
    if part.hidden:
        raw.notes.once("SH12", f'sheet "{part.name}" is hidden; it was read', value=part.name)
    if look.hidden_rows:
        spans = row_spans(look.hidden_rows)
        raw.notes.once("SH12", f'sheet "{part.name}": hidden rows were read: {spans}', value=spans)
    for row in sorted(look.cells):
        for index, cell in sorted(look.cells[row].items()):
            if cell.code in EACH_CELL:
                raw.notes.cell(cell.code, raw.address(row, index), _said(cell), cell.text)
    _report_columns(raw, look)


def _said(cell: Peculiar) -> str:
    return {
        "SH13": f'the cell shows the error "{cell.text}"',
        "SH14": f'the formula "{cell.text}" has no stored value',
        "SH15": f'"{cell.text}" has more digits than a spreadsheet keeps',
        "SH19": f'the number {cell.raw} stands under the date or time format {cell.shown_by}; read as "{cell.text}"',
    }[cell.code]


def _report_columns(raw: RawSheet, look: Look) -> None:
    """One finding a column and format where numbers were read as they are shown."""
    counts: Counter[tuple[int, str, str]] = Counter()
    first: dict[tuple[int, str, str], tuple[int, Peculiar]] = {}
    for row in sorted(look.cells):
        for index, cell in look.cells[row].items():
            if cell.code and cell.code not in EACH_CELL:
                key = (index, cell.code, cell.shown_by)
                counts[key] += 1
                first.setdefault(key, (row, cell))
    for (index, code, shown_by), count in sorted(counts.items()):
        row, cell = first[index, code, shown_by]
        message = f'column {column_letters(index)}: {count} cells under the format {shown_by} read as "{cell.text}"'
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
    return ", ".join(f"{a}-{b}" if b > a else str(a) for a, b in spans)

"""ODS: values, shown texts, marks and hidden rows straight from the document's XML, in one guarded pass.

An OpenDocument cell carries its value, its kind and the text that was shown, so that nothing has to be worked out from
number formats; calamine hands on the value only. One sheet is held in memory, as a spreadsheet program holds it.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Any

from lxml import etree

from crosswalk.errors import UnreadableInput
from crosswalk.findings import Finding
from crosswalk.sheets.cells import ReadOptions, Row, column_letters
from crosswalk.sheets.container import SAVE_AS, Package
from crosswalk.sheets.dress import dressed
from crosswalk.sheets.notes import Notes
from crosswalk.sheets.ods_cells import ANNOTATION, STYLE, TABLE, CellReader, OdsStyles
from crosswalk.sheets.peculiar import Cells, report, report_unread_notes
from crosswalk.sheets.raw import Dress, Range, RawSheet
from crosswalk.sheets.wanted import report_missing, wanted

MAX_COLUMNS, MAX_ROWS = 16_384, 1_048_576
TAGS = (
    f"{{{STYLE}}}style", f"{{{OdsStyles.NUMBER}}}date-style", f"{{{TABLE}}}table", f"{{{TABLE}}}table-column",
    f"{{{TABLE}}}table-row", f"{{{TABLE}}}table-source",
)  # fmt: skip


def read_ods(path: Path, options: ReadOptions) -> list[RawSheet]:
    """The tables that the options ask for, in the document's order."""
    document = _Document(path, options)
    _parse(path, options, document.take)
    report_missing(path, document.sheets, document.names, options)
    return document.sheets


def table_names(path: Path, options: ReadOptions) -> list[str]:
    """The names of all tables, copies of other files' tables left out."""
    document = _Document(path, options, cells=False)
    _parse(path, options, document.take)
    return document.names


def _parse(path: Path, options: ReadOptions, take: Callable[[Iterator[Any]], None]) -> None:
    with Package(path, options.max_unpacked_bytes) as package, package.refusing():
        if "content.xml" not in package.names:
            raise package.damaged("it has no content.xml")
        parser = etree.XMLPullParser(
            events=("start", "end"), tag=TAGS, resolve_entities=False, no_network=True, load_dtd=False, huge_tree=False
        )
        try:
            for block in package.blocks("content.xml"):
                parser.feed(block)
                take(parser.read_events())
            parser.close()
        except etree.XMLSyntaxError as error:
            raise package.damaged(error.msg) from error


class _Document:
    """Collects the tables as the parser meets their parts."""

    def __init__(self, path: Path, options: ReadOptions, *, cells: bool = True) -> None:
        self.sheets: list[RawSheet] = []
        self.names: list[str] = []
        self._path, self._options, self._cells = path, options, cells
        self._styles = OdsStyles()
        self._table: _Table | None = None

    def take(self, events: Iterator[Any]) -> None:
        """Takes what the parser has ready."""
        for event, element in events:
            name = etree.QName(element).localname
            if name == "table":
                self._begin(element) if event == "start" else self._end(element)
            elif event == "end":
                self._part(name, element)

    def _begin(self, element: etree._Element) -> None:
        if element.getroottree().docinfo.doctype:  # type: ignore[attr-defined]
            raise UnreadableInput(self._path, "has a document type definition", SAVE_AS)
        self._table = _Table(element, self._styles, self._options.marks)
        self._table.reading = self._cells and wanted(self._table.name, self._options)

    def _end(self, element: etree._Element) -> None:
        table, self._table = self._table, None
        if table is not None and not table.foreign:
            self.names.append(table.name)
            if table.reading:
                self.sheets.append(table.raw_sheet(self._path))
        element.clear()

    def _part(self, name: str, element: etree._Element) -> None:
        if self._table is None:
            if name in ("style", "date-style"):
                self._styles.add(element)
        elif name == "table-row":
            self._table.add_rows(element) if self._table.reading else element.clear()
        elif name == "table-column":
            self._table.add_columns(element)
        elif name == "table-source":
            self._table.foreign = True  # a copy of a table in another file, kept for its links


class _Table:
    """One table while it is read."""

    def __init__(self, element: etree._Element, styles: OdsStyles, marks: bool) -> None:
        self.name = element.get(f"{{{TABLE}}}name", "")
        self.foreign = False
        self.reading = True
        self._hidden = styles.is_hidden_table(element.get(f"{{{TABLE}}}style-name", ""))
        self._reader = CellReader(styles, marks)
        self._marks = marks
        self._noted: list[str] = []
        self._dress: Dress = {}
        self._rows: list[Row] = []
        self._merged: list[Range] = []
        self._peculiar: Cells = {}
        self._hidden_rows: list[int] = []
        self._hidden_columns: set[int] = set()
        self._row = self._column = 0

    def add_columns(self, element: etree._Element) -> None:
        """One or more columns: only whether they are hidden matters."""
        count = repeated(element, "columns", MAX_COLUMNS)
        if is_hidden(element):
            self._hidden_columns.update(range(self._column, min(self._column + count, MAX_COLUMNS)))
        self._column += count

    def add_rows(self, element: etree._Element) -> None:
        """One row, or several that are equal."""
        count = repeated(element, "rows", MAX_ROWS)
        first = self._row + 1
        self._row += count
        row, peculiar, spans = self._reader.row(element, first)
        hidden = is_hidden(element)
        if not self._marks:
            self._noted += [noted_cell(note, first) for note in element.iter(ANNOTATION)]
        element.clear()
        if not any(row.texts):
            return
        self._merged += spans
        dressed(self._dress, row, range(first, min(first + count, MAX_ROWS + 1)))
        marks = row.marks if self._marks else {}
        for number in range(first, min(first + count, MAX_ROWS + 1)):
            self._rows.append(Row(number, row.texts.copy(), row.kinds.copy(), marks.copy(), hidden=hidden))
            if peculiar:
                self._peculiar[number] = peculiar
            if hidden:
                self._hidden_rows.append(number)

    def raw_sheet(self, path: Path) -> RawSheet:
        """The sheet as it stands."""
        findings: list[Finding] = []
        rows = self._rows
        raw = RawSheet(
            file=str(path),
            name=self.name,
            rows=lambda: map(copied, rows),
            findings=findings,
            notes=Notes(findings, str(path)),
            width=max((len(row.texts) for row in rows), default=0),
            merged=tuple(sorted(self._merged)),
            hidden_columns=frozenset(self._hidden_columns),
            row_count=rows[-1].number if rows else 0,
        )
        raw.dress = self._dress
        report(raw, self._peculiar, self._hidden_rows, self._hidden)
        report_unread_notes(raw, self._noted)
        return raw


def copied(row: Row) -> Row:
    """A row that its reader may change without changing the next reading."""
    return Row(row.number, row.texts.copy(), row.kinds.copy(), row.marks.copy(), hidden=row.hidden)


def noted_cell(note: etree._Element, row: int) -> str:
    """The cell that a note belongs to, such as B7."""
    cell = note.getparent()
    before = cell.itersiblings(preceding=True) if cell is not None else ()
    return f"{column_letters(sum(repeated(one, 'columns', MAX_COLUMNS) for one in before))}{row}"


def repeated(element: etree._Element, what: str, most: int) -> int:
    """How many rows or columns an element stands for."""
    return min(int(element.get(f"{{{TABLE}}}number-{what}-repeated", "1")), most)


def is_hidden(element: etree._Element) -> bool:
    """Whether a row or column is hidden by hand or by a filter."""
    return element.get(f"{{{TABLE}}}visibility", "visible") != "visible"

"""OpenDocument tables, on documents that odfpy wrote (OpenDocument 1.3 Part 3)."""

from __future__ import annotations

import zipfile
from pathlib import Path
from typing import Any

import pytest
from odf.number import DateStyle as NumberDateStyle
from odf.number import Day, Month, Year
from odf.office import Annotation
from odf.opendocument import OpenDocumentSpreadsheet
from odf.style import Style, TableCellProperties, TextProperties
from odf.table import CoveredTableCell, Table, TableCell, TableColumn, TableRow
from odf.text import LineBreak, P, S, Tab

from crosswalk.sheets import Kind, ReadOptions, open_sheets, sheet_names
from tests.sheets.make import codes, only_sheet, texts


def text_cell(text: str, **attributes: Any) -> Any:
    cell = TableCell(valuetype="string", **attributes)
    cell.addElement(P(text=text))
    return cell


def value_cell(kind: str, shown: str, **attributes: Any) -> Any:
    cell = TableCell(valuetype=kind, **attributes)
    cell.addElement(P(text=shown))
    return cell


def row(*cells: Any, **attributes: Any) -> Any:
    made = TableRow(**attributes)
    for cell in cells:
        made.addElement(cell)
    return made


def document(folder: Path, *rows: Any, columns: tuple[Any, ...] = (), styles: tuple[Any, ...] = ()) -> Path:
    made = OpenDocumentSpreadsheet()
    for style in styles:
        made.automaticstyles.addElement(style)
    table = Table(name="Radio")
    for part in (*columns, *rows):
        table.addElement(part)
    made.spreadsheet.addElement(table)
    made.save(folder / "radio.ods")
    return folder / "radio.ods"


def date_style(*parts: Any) -> tuple[Any, Any]:
    """A date format that shows these parts, and the cell style "shown" that uses it."""
    form = NumberDateStyle(name="N1")
    for part in parts:
        form.addElement(part)
    return form, Style(name="shown", family="table-cell", datastylename="N1")


def test_cells_of_each_kind(tmp_path: Path) -> None:
    cells: list[tuple[Any, str, Kind | None]] = [
        (text_cell("0117"), "0117", None),
        (value_cell("float", "423", value="423"), "423", Kind.NUMBER),
        (value_cell("float", "0423", value="423"), "0423", None),
        (value_cell("float", "T-0423", value="423"), "T-0423", None),
        (value_cell("float", "1,234", value="1234"), "1234", Kind.NUMBER),
        (value_cell("float", "1.50", value="1.5"), "1.5", Kind.NUMBER),
        (value_cell("percentage", "50%", value="0.5"), "50%", Kind.PERCENT),
        (value_cell("date", "03/04/87", datevalue="1987-04-03"), "1987-04-03", Kind.DATE),
        (value_cell("date", "03/04/87 20:15", datevalue="1987-04-03T20:15:00"), "1987-04-03T20:15:00", Kind.DATE),
        (value_cell("time", "58:30", timevalue="PT00H58M30S"), "00:58:30", Kind.TIME),
        (value_cell("time", "30:05", timevalue="PT30H05M00S"), "30:05:00", Kind.TIME),
        (value_cell("boolean", "TRUE", booleanvalue="true"), "TRUE", Kind.BOOLEAN),
        (TableCell(formula="of:=[.A1]+1"), "=[.A1]+1", Kind.EMPTY_FORMULA),
        (value_cell("float", "2", value="2", formula="of:=1+1"), "2", Kind.NUMBER),
    ]
    header = [text_cell(f"Column {letter}") for letter in "ABCDEFGHIJKLMN"]
    sheet = only_sheet(document(tmp_path, row(*header), row(*(cell for cell, _, _ in cells))))
    found = next(sheet.rows())
    assert found.texts == [text for _, text, _ in cells]
    assert found.kinds == {index: kind for index, (_, _, kind) in enumerate(cells) if kind is not None}
    assert codes(sheet) == ["SH14", "SH17", "SH17"]


DATES = {
    "year": ((Year(style="long"),), "1987-01-01", "1987", "SH18"),
    "month and year": ((Month(textual="true"), Year()), "1987-09-01", "1987-09", "SH18"),
    "day and month": ((Day(), Month(textual="true")), "2009-04-03", "--04-03", "SH20"),
    "a year under a date format": ((Day(), Month(), Year()), "1905-06-09", "1905-06-09", "SH19"),
    "full date": ((Day(), Month(), Year()), "1987-04-03", "1987-04-03", ""),
}


@pytest.mark.parametrize("case", DATES)
def test_dates_as_they_are_shown(case: str, tmp_path: Path) -> None:
    parts, stored, text, code = DATES[case]
    cell = value_cell("date", "shown", datevalue=stored, stylename="shown")
    rows = row(text_cell("Tape"), text_cell("Date")), row(text_cell("0117"), cell)
    sheet = only_sheet(document(tmp_path, *rows, styles=date_style(*parts)))
    assert texts(sheet) == [["0117", text]]
    assert codes(sheet) == ([code] if code else [])


def test_repeated_rows_and_cells_hidden_parts_and_numbers(tmp_path: Path) -> None:
    rows = (
        TableRow(numberrowsrepeated=2),
        row(text_cell("Tape"), text_cell("Title"), text_cell("Store"), TableCell(numbercolumnsrepeated=16_000)),
        row(text_cell("0117"), text_cell("Dusk", numbercolumnsrepeated=2)),
        row(text_cell("0118"), text_cell("Dawn"), visibility="collapse", numberrowsrepeated=2),
        TableRow(numberrowsrepeated=1_048_000),
        row(text_cell("end")),
    )
    columns = TableColumn(), TableColumn(numbercolumnsrepeated=2, visibility="filter")
    sheet = only_sheet(document(tmp_path, *rows, columns=columns))
    assert [(found.number, found.texts, found.hidden) for found in sheet.rows()] == [
        (4, ["0117", "Dusk", "Dusk"], False),
        (5, ["0118", "Dawn"], True),
        (6, ["0118", "Dawn"], True),
        (1_048_007, ["end"], False),
    ]
    assert [finding.value for finding in sheet.findings] == ["5-6", "B, C"]


def test_merged_header(tmp_path: Path) -> None:
    upper = row(
        text_cell("Tape", numberrowsspanned=2), text_cell("Programme", numbercolumnsspanned=2), CoveredTableCell()
    )
    lower = row(CoveredTableCell(), text_cell("Title"), text_cell("Date"))
    sheet = only_sheet(document(tmp_path, upper, lower, row(text_cell("0117"), text_cell("Dusk"), text_cell("1987"))))
    assert [heading.text for heading in sheet.headings] == ["Tape", "Programme Title", "Programme Date"]


def test_white_space_is_kept(tmp_path: Path) -> None:
    paragraph = P(text="a")
    for part in (S(c=3), Tab(), LineBreak()):
        paragraph.addElement(part)
    paragraph.addText("b")
    cell = TableCell(valuetype="string")
    cell.addElement(paragraph)
    cell.addElement(P(text="c"))
    sheet = only_sheet(document(tmp_path, row(text_cell("Tape"), text_cell("Notes")), row(text_cell("0117"), cell)))
    assert texts(sheet) == [["0117", "a   \t\nb\nc"]]


def test_marks_are_read_where_asked_and_notes_are_no_text(tmp_path: Path) -> None:
    style = Style(name="gone", family="table-cell")
    style.addElement(TableCellProperties(backgroundcolor="#ffff00"))
    style.addElement(TextProperties(textlinethroughstyle="solid"))
    cell = text_cell("0117", stylename="gone")
    note = Annotation()
    note.addElement(P(text="gone to the vault"))
    cell.addElement(note)
    path = document(tmp_path, row(text_cell("Tape"), text_cell("Title")), row(cell, text_cell("Dusk")), styles=(style,))
    plain, marked = (next(only_sheet(path, ReadOptions(marks=marks)).rows()) for marks in (False, True))
    assert plain.texts == marked.texts == ["0117", "Dusk"]
    assert plain.marks == {}
    unread = [(one.code, one.origin.cell, one.value) for one in only_sheet(path).findings]
    assert unread == [("SH24", "Radio!A2", "1"), ("SH26", "Radio!A2", "struck out")]
    asked = ReadOptions(marks=True, looks=frozenset({"FFFF00", "struck out"}))
    assert only_sheet(path, asked).findings == []
    mark = marked.marks[0]
    assert (mark.fill, mark.struck, mark.note) == ("FFFF00", True, "gone to the vault")


def test_rows_can_be_changed_without_changing_the_next_reading(tmp_path: Path) -> None:
    sheet = only_sheet(
        document(tmp_path, row(text_cell("Tape"), text_cell("Title")), row(text_cell("1"), text_cell("x")))
    )
    next(sheet.rows()).texts.clear()
    assert texts(sheet) == [["1", "x"]]


def test_names_of_tables(tmp_path: Path) -> None:
    path = document(tmp_path, row(text_cell("Tape"), text_cell("Title")))
    assert sheet_names(path) == ["Radio"]
    assert [sheet.name for sheet in open_sheets(path, ReadOptions(sheets=("RADIO",)))] == ["Radio"]


def raw_document(folder: Path, tables: str, styles: str = "") -> Path:
    """A document of hand-written XML, for what odfpy does not write."""
    spaces = " ".join(
        f'xmlns:{prefix}="urn:oasis:names:tc:opendocument:xmlns:{prefix}:1.0"'
        for prefix in ("office", "table", "text", "style")
    )
    calc = 'xmlns:calcext="urn:org:documentfoundation:names:experimental:calc:xmlns:calcext:1.0"'
    body = f"<office:body><office:spreadsheet>{tables}</office:spreadsheet></office:body>"
    path = folder / "raw.ods"
    with zipfile.ZipFile(path, "w") as package:
        package.writestr("mimetype", "application/vnd.oasis.opendocument.spreadsheet")
        package.writestr(
            "content.xml",
            f"<office:document-content {spaces} {calc}>"
            f"<office:automatic-styles>{styles}</office:automatic-styles>{body}</office:document-content>",
        )
    return path


def raw_table(cell: str, name: str = "Radio", attributes: str = "", inside: str = "") -> str:
    header = "".join(
        f'<table:table-cell office:value-type="string"><text:p>{text}</text:p></table:table-cell>'
        for text in ("Tape", "Value")
    )
    first = '<table:table-cell office:value-type="string"><text:p>0117</text:p></table:table-cell>'
    return (
        f'<table:table table:name="{name}" {attributes}>{inside}<table:table-row>{header}</table:table-row>'
        f"<table:table-row>{first}{cell}</table:table-row></table:table>"
    )


RAW_CELLS: dict[str, tuple[str, str, str, list[str]]] = {
    "error": ('value-type="string" office:string-value="" calcext:value-type="error"', "#REF!", "#REF!", ["SH13"]),
    "text kept in the attribute": ('value-type="string" office:string-value="0423"', "", "0423", []),
    "17 digits": ('value-type="float" office:value="12345678901234567"', "1.23E16", "12345678901234567", ["SH15"]),
    "beyond all numbers": ('value-type="float" office:value="1E999"', "", "1E999", ["SH15"]),
    "number that is none": ('value-type="float" office:value="NaN"', "", "nan", []),
    "a count under a date": ('value-type="date" office:date-value="1900-01-26"', "26/01", "1900-01-26", ["SH19"]),
    "a date before 1900": ('value-type="date" office:date-value="1893-05-02"', "1893", "1893-05-02", []),
    "negative length": ('value-type="time" office:time-value="-PT12H00M00S"', "", "-12:00:00", []),
}  # fmt: skip


@pytest.mark.parametrize("case", RAW_CELLS)
def test_cells_of_hand_written_documents(case: str, tmp_path: Path) -> None:
    attributes, shown, text, found = RAW_CELLS[case]
    paragraph = f"<text:p>{shown}</text:p>" if shown else ""
    sheet = only_sheet(
        raw_document(tmp_path, raw_table(f"<table:table-cell office:{attributes}>{paragraph}</table:table-cell>"))
    )
    assert texts(sheet) == [["0117", text]]
    assert codes(sheet) == found


def test_hidden_tables_are_read_and_copies_of_other_files_are_not(tmp_path: Path) -> None:
    styles = '<style:style style:name="ta1"><style:table-properties table:display="false"/></style:style>'
    foreign = '<table:table-source table:filter-name="calc8"/>'
    tables = raw_table("", "Old", 'table:style-name="ta1"') + raw_table("", "'file:///x.ods'#Radio", inside=foreign)
    path = raw_document(tmp_path, tables, styles)
    sheet = only_sheet(path)
    assert sheet.name == "Old"
    assert codes(sheet) == ["SH12"]
    assert sheet_names(path) == ["Old"]

"""XLSX: each pitfall of the readers, on workbooks that openpyxl or xlsxwriter wrote, or on XML that neither writes."""

from __future__ import annotations

import zipfile
from collections.abc import Callable
from datetime import date, datetime, time, timedelta
from pathlib import Path
from typing import Any

import openpyxl
import pytest
import xlsxwriter
from openpyxl.comments import Comment
from openpyxl.styles import Font, PatternFill
from openpyxl.styles.colors import Color
from openpyxl.utils.datetime import CALENDAR_MAC_1904

from crosswalk.errors import UnreadableInput
from crosswalk.sheets import Kind, ReadOptions, Row, open_sheets, sheet_names
from tests.sheets.make import codes, grid, only_sheet, raw_workbook, sheet_xml, with_part, workbook


def one_cell(folder: Path, value: object, number_format: str = "General", data_type: str = "") -> tuple[Row, list[str]]:
    """The row that holds the cell, below a header, and the codes of the findings."""

    def fill(sheet: Any) -> None:
        grid([["Tape", "Value"], ["0117"]])(sheet)
        cell = sheet["B2"]
        cell.value, cell.number_format = value, number_format
        if data_type:
            cell.data_type = data_type

    sheet = only_sheet(workbook(folder, fill))
    return next(sheet.rows()), codes(sheet)


CELLS: dict[str, tuple[object, str, str, Kind | None, list[str]]] = {
    "whole number": (423, "General", "423", Kind.NUMBER, []),
    "number of a code": (423.0, "0.0", "423", Kind.NUMBER, []),
    "code with a leading zero": (423, "0000", "0423", None, ["SH17"]),
    "17 digits": (12345678901234567, "0", "12345678901234570", Kind.NUMBER, ["SH15"]),
    "date": (date(1987, 4, 3), "dd/mm/yyyy", "1987-04-03", Kind.DATE, []),
    "moment": (datetime(1987, 4, 3, 20, 15), "dd/mm/yyyy hh:mm", "1987-04-03T20:15:00", Kind.DATE, []),
    "year": (date(1987, 1, 1), "yyyy", "1987", Kind.DATE, ["SH18"]),
    "month": (date(1987, 9, 1), "mmm-yy", "1987-09", Kind.DATE, ["SH18"]),
    "day without its year": (date(2009, 4, 3), "d-mmm", "--04-03", Kind.DATE, ["SH20"]),
    "negative date": (-5, "dd/mm/yyyy", "-5", Kind.NUMBER, ["SH19"]),
    "time": (time(0, 58, 30), "mm:ss", "00:58:30", Kind.TIME, []),
    "length over a day": (timedelta(hours=30, minutes=5), "[h]:mm:ss", "30:05:00", Kind.TIME, []),
    "hours over a day, shown without them": (timedelta(hours=58, minutes=30), "h:mm", "58:30:00", Kind.TIME, ["SH17"]),
    "percent": (0.5, "0%", "50%", Kind.PERCENT, []),
    "boolean": (True, "General", "TRUE", Kind.BOOLEAN, []),
    "forbidden character": ("a_x000B_b", "General", "a\x0bb", None, []),
    "largest text": ("x" * 32_767, "General", "x" * 32_767, None, []),
    "text of digits": ("0423", "General", "0423", None, []),
    "text in a number's format": ("4a", "0000", "4a", None, []),
    "formula without a value": ("=A2&B1", "General", "=A2&B1", Kind.EMPTY_FORMULA, ["SH14"]),
}


@pytest.mark.parametrize("case", CELLS)
def test_cells(case: str, tmp_path: Path) -> None:
    value, number_format, text, kind, found = CELLS[case]
    row, reported = one_cell(tmp_path, value, number_format)
    assert row.texts[1] == text
    assert row.kinds.get(1) is kind
    assert reported == found


@pytest.mark.parametrize("error", ["#REF!", "#N/A", "#DIV/0!", "#VALUE!", "#NAME?", "#NULL!", "#NUM!"])
def test_error_cells_are_errors_and_never_empty(error: str, tmp_path: Path) -> None:
    row, reported = one_cell(tmp_path, error, data_type="e")
    assert row.texts[1] == error
    assert row.kinds[1] is Kind.ERROR
    assert reported == ["SH13"]


def test_leading_blank_rows_and_columns_shift_nothing(tmp_path: Path) -> None:
    def fill(sheet: Any) -> None:
        sheet["C4"], sheet["D4"], sheet["C7"], sheet["D7"] = "Tape", "Title", "0117", "Dusk"

    sheet = only_sheet(workbook(tmp_path, fill))
    assert [(heading.index, heading.text) for heading in sheet.headings if heading.text] == [(2, "Tape"), (3, "Title")]
    assert [(row.number, row.texts) for row in sheet.rows()] == [(7, ["", "", "0117", "Dusk"])]
    assert sheet.address(7, 3) == "Tapes!D7"


@pytest.mark.parametrize("epoch_1904", [False, True])
def test_both_epochs(epoch_1904: bool, tmp_path: Path) -> None:
    book = openpyxl.Workbook()
    sheet = book.active
    assert sheet is not None
    if epoch_1904:
        book.epoch = CALENDAR_MAC_1904
    for column, number_format in enumerate(["dd/mm/yyyy", "yyyy", "mmm-yy"], 1):
        sheet.cell(1, column, f"Date {column}")
        sheet.cell(2, column, date(1987, 4, 3)).number_format = number_format
    book.save(tmp_path / "dates.xlsx")
    assert next(only_sheet(tmp_path / "dates.xlsx").rows()).texts == ["1987-04-03", "1987", "1987-04"]


def test_hidden_rows_columns_and_sheets_are_read_and_reported(tmp_path: Path) -> None:
    def fill(sheet: Any) -> None:
        grid([["Tape", "Phone"], ["0117", "x"], ["0118", "y"], ["0119", "z"]])(sheet)
        sheet.row_dimensions[3].hidden = True
        sheet.column_dimensions["B"].hidden = True
        other = sheet.parent.create_sheet("Old")
        grid([["Tape", "Title"], ["0001", "Dawn"]])(other)
        other.sheet_state = "hidden"

    tapes, old = open_sheets(workbook(tmp_path, fill))
    assert [row.hidden for row in tapes.rows()] == [False, True, False]
    assert [heading.hidden for heading in tapes.headings] == [False, True]
    assert [finding.value for finding in tapes.findings] == ["3", "B"]
    assert codes(old) == ["SH12"]
    assert [row.texts for row in old.rows()] == [["0001", "Dawn"]]


def test_an_error_beyond_all_other_cells_is_not_lost(tmp_path: Path) -> None:
    def fill(sheet: Any) -> None:
        grid([["Tape", "Title"], ["0117", "Dusk"]])(sheet)
        sheet["D2"], sheet["B9"] = "=A1", "=A2"

    sheet = only_sheet(workbook(tmp_path, fill))
    assert [(row.number, row.texts) for row in sheet.rows()] == [(2, ["0117", "Dusk", "", "=A1"]), (9, ["", "=A2"])]
    assert len(sheet.headings) == 4


def test_findings_on_formats_are_one_a_column(tmp_path: Path) -> None:
    def fill(sheet: Any) -> None:
        grid([["Tape", "Title"], *([number, "Dusk"] for number in range(1, 30))])(sheet)
        for number in range(2, 31):
            sheet.cell(number, 1).number_format = "0000"

    sheet = only_sheet(workbook(tmp_path, fill))
    assert [row.texts[0] for row in sheet.rows()][:2] == ["0001", "0002"]
    assert [finding.message for finding in sheet.findings] == [
        'column A: 29 cells read as shown by the format 0000, such as "0001"'
    ]


HEAD = (
    '<row r="1"><c r="A1" t="inlineStr"><is><t>Tape</t></is></c><c r="B1" t="inlineStr"><is><t>Value</t></is></c></row>'
)

RAW = {
    "cells and rows without references": sheet_xml(
        '<row><c t="inlineStr"><is><t>Tape</t></is></c><c t="inlineStr"><is><t>Value</t></is></c></row>'
        '<row><c t="inlineStr"><is><t>0117</t></is></c><c t="e"><v>#N/A</v></c></row>'
    ),
    "a name space prefix": sheet_xml(
        HEAD + '<row r="2"><c r="A2" t="inlineStr"><is><t>0117</t></is></c><c r="B2" t="e"><v>#N/A</v></c></row>'
    ).replace("</", "</x:").replace("<", "<x:").replace("<x:/x:", "</x:").replace("xmlns=", "xmlns:x="),
    "single quotes and comments": sheet_xml(
        HEAD.replace('"', "'") + "<!-- <c r='B2'><v>1</v></c> -->"
        "<row r='2'><c r='A2' t='inlineStr'><is><t>0117</t></is></c><c r='B2' t='e'><v>#N/A</v></c></row>"
    ),
    "attributes in another order": sheet_xml(
        '<row spans="1:2" r="1"><c t="inlineStr" r="A1"><is><t>Tape</t></is></c>'
        '<c t="inlineStr" r="B1"><is><t>Value</t></is></c></row>'
        '<row spans="1:2" r="2"><c t="inlineStr" r="A2"><is><t>0117</t></is></c><c t="e" r="B2"><v>#N/A</v></c></row>'
    ),
}  # fmt: skip


@pytest.mark.parametrize("case", RAW)
def test_xml_as_other_programs_write_it(case: str, tmp_path: Path) -> None:
    sheet = only_sheet(raw_workbook(tmp_path, RAW[case]))
    assert [heading.text for heading in sheet.headings] == ["Tape", "Value"]
    assert [(row.number, row.texts, row.kinds) for row in sheet.rows()] == [(2, ["0117", "#N/A"], {1: Kind.ERROR})]


FORMULAS = {
    "stored number": ('<c r="B2"><f>1+1</f><v>2</v></c>', "2", None),
    "stored empty text": ('<c r="B2" t="str"><f>IF(A2="","",A2)</f><v></v></c>', "", None),
    "shared formula, stored": ('<c r="B2"><f t="shared" si="0"/><v>2</v></c>', "2", None),
    "shared formula, not stored": ('<c r="B2"><f t="shared" si="0"/></c>', "=(shared formula)", Kind.EMPTY_FORMULA),
    "not stored, no element": ('<c r="B2"><f>A2&amp;"x"</f></c>', '=A2&"x"', Kind.EMPTY_FORMULA),
    "not stored, empty element": ("<c r='B2'><f>1+1</f><v/></c>".replace("'", '"'), "=1+1", Kind.EMPTY_FORMULA),
    "stored error": ('<c r="B2" t="e"><f>1/0</f><v>#DIV/0!</v></c>', "#DIV/0!", Kind.ERROR),
    "digits beyond a float": ('<c r="B2"><v>12345678901234567</v></c>', "12345678901234567", Kind.NUMBER),
}


@pytest.mark.parametrize("case", FORMULAS)
def test_formulas_and_stored_values(case: str, tmp_path: Path) -> None:
    xml, text, kind = FORMULAS[case]
    row = f'<row r="2"><c r="A2" t="inlineStr"><is><t>0117</t></is></c>{xml}</row>'
    found = next(only_sheet(raw_workbook(tmp_path, sheet_xml(HEAD + row))).rows())
    assert [*found.texts, ""][1] == text
    if kind is not None:
        assert found.kinds[1] is kind


def test_rows_across_the_blocks_of_the_look(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("crosswalk.sheets.container.BLOCK_BYTES", 997)

    def fill(sheet: Any) -> None:
        grid([["Tape", "Value"], *([str(number), number] for number in range(2, 400))])(sheet)
        for number in range(2, 400):
            sheet.cell(number, 2).number_format = "00000"
            if number % 7 == 0:
                sheet.row_dimensions[number].hidden = True

    sheet = only_sheet(workbook(tmp_path, fill))
    rows = list(sheet.rows())
    assert [row.texts[1] for row in rows] == [f"{number:05d}" for number in range(2, 400)]
    assert [row.number for row in rows if row.hidden] == list(range(7, 400, 7))


SHEETS = {
    "all": ((), ["Tapes", "Video 1960s", "Video 1970s"]),
    "by name": (("Tapes",), ["Tapes"]),
    "by pattern, whatever the case": (("video 19*",), ["Video 1960s", "Video 1970s"]),
}


@pytest.fixture
def three_sheets(tmp_path: Path) -> Path:
    def fill(sheet: Any) -> None:
        for name in ("Video 1960s", "Video 1970s"):
            grid([["Tape", "Title"], ["0117", "Dusk"]])(sheet.parent.create_sheet(name))

    return workbook(tmp_path, fill)


@pytest.mark.parametrize("case", SHEETS)
def test_sheets_asked_for(case: str, three_sheets: Path) -> None:
    asked, names = SHEETS[case]
    assert [sheet.name for sheet in open_sheets(three_sheets, ReadOptions(sheets=asked))] == names
    assert sheet_names(three_sheets) == SHEETS["all"][1]


def test_a_sheet_that_is_missing(three_sheets: Path) -> None:
    sheet = only_sheet(three_sheets, ReadOptions(sheets=("Tapes", "Radio")))
    assert [finding.code for finding in sheet.findings] == ["SH21", "SH08"]
    with pytest.raises(UnreadableInput, match='has no sheet "Radio"; it has: "Tapes", "Video 1960s", "Video 1970s"'):
        open_sheets(three_sheets, ReadOptions(sheets=("Radio",)))


def test_the_sheet_with_a_part_of_another_name(tmp_path: Path) -> None:
    plain = workbook(tmp_path, grid([["Tape", "Title"], ["0117", "Dusk"]]), "plain.xlsx")
    with zipfile.ZipFile(plain) as package:
        xml = package.read("xl/worksheets/sheet1.xml")
        relations = package.read("xl/_rels/workbook.xml.rels").replace(
            b"/xl/worksheets/sheet1.xml", b"worksheets/tapes.xml"
        )
    changes: dict[str, bytes | None] = {
        "xl/worksheets/sheet1.xml": None, "xl/worksheets/tapes.xml": xml, "xl/_rels/workbook.xml.rels": relations,
    }  # fmt: skip
    sheet = only_sheet(with_part(plain, tmp_path / "moved.xlsx", changes))
    assert [row.texts for row in sheet.rows()] == [["0117", "Dusk"]]


MARKS: dict[str, tuple[Callable[[Any], None], tuple[str, bool, str]]] = {}


def _marked(name: str, fill: str = "", struck: bool = False, note: str = "") -> Callable[[Callable[[Any], None]], None]:
    def register(change: Callable[[Any], None]) -> None:
        MARKS[name] = (change, (fill, struck, note))

    return register


@_marked("solid fill", fill="FFFF00")
def _(cell: Any) -> None:
    cell.fill = PatternFill("solid", fgColor="FFFFFF00")


@_marked("palette fill", fill="FF0000")
def _(cell: Any) -> None:
    cell.fill = PatternFill("solid", fgColor=Color(indexed=2))


@_marked("theme fill", fill="4F81BD")  # accent 1 of the theme that openpyxl writes
def _(cell: Any) -> None:
    colour = Color(theme=4)
    cell.fill = PatternFill("solid", fgColor=colour)


@_marked("strike-out", struck=True)
def _(cell: Any) -> None:
    cell.font = Font(strike=True)


@_marked("note", note="gone to the vault")
def _(cell: Any) -> None:
    cell.comment = Comment("gone to the vault", "R. Venn")


@_marked("hatching is no fill")
def _(cell: Any) -> None:
    cell.fill = PatternFill("lightGrid", fgColor="FFFFFF00")


@pytest.mark.parametrize("case", MARKS)
def test_marks(case: str, tmp_path: Path) -> None:
    change, expected = MARKS[case]

    def fill(sheet: Any) -> None:
        grid([["Tape", "Title"], ["0117", "Dusk"]])(sheet)
        change(sheet["B2"])

    path = workbook(tmp_path, fill)
    row = next(only_sheet(path, ReadOptions(marks=True)).rows())
    found = row.marks.get(1)
    assert ((found.fill, found.struck, found.note) if found else ("", False, "")) == expected
    assert next(only_sheet(path).rows()).marks == {}


def test_theme_colours_made_lighter(tmp_path: Path) -> None:
    """220, 230, 241 is what a spreadsheet program says of accent 1 made 80 % lighter (from memory)."""

    def fill(sheet: Any) -> None:
        grid([["Tape", "Title"], ["0117", "Dusk"]])(sheet)
        sheet["A2"].fill = PatternFill("solid", fgColor=Color(theme=4, tint=0.7999816888943144))

    row = next(only_sheet(workbook(tmp_path, fill), ReadOptions(marks=True)).rows())
    found = bytes.fromhex(row.marks[0].fill)
    assert all(abs(one - other) <= 1 for one, other in zip(found, (220, 230, 241), strict=True))


def test_notes_that_nothing_asks_for_are_counted(tmp_path: Path) -> None:
    def fill(sheet: Any) -> None:
        grid([["Tape", "Title"], ["0117", "Dusk"], ["0118", "Dawn"]])(sheet)
        for cell in ("B2", "A3"):
            sheet[cell].comment = Comment("lend to nobody", "R. Venn")

    found = [one for one in only_sheet(workbook(tmp_path, fill)).findings if one.code == "SH24"]
    assert [(one.origin.cell, one.value) for one in found] == [("Tapes!B2", "2")]
    assert codes(only_sheet(workbook(tmp_path, fill), ReadOptions(marks=True))) == []


def _dressed(sheet: Any) -> None:
    grid([["Tape", "Title"], *([f"{number:04d}", "x"] for number in range(1, 13))])(sheet)
    yellow, grey = PatternFill("solid", fgColor="FFFF00"), PatternFill("solid", fgColor=Color(theme=4))
    for row in range(1, 14):
        sheet.cell(row, 3).fill = yellow  # beside the table, in empty cells
        sheet.cell(row, 2).fill = grey  # decoration
    for row in (3, 7):
        sheet.cell(row, 1).fill = yellow
    for row in range(5, 14):
        sheet.cell(row, 2).font = Font(strike=True)


def test_colours_of_some_rows_and_all_strike_outs_are_told_where_no_mark_asks(tmp_path: Path) -> None:
    path = workbook(tmp_path, _dressed)
    told = [(one.code, one.origin.cell, one.value, one.message) for one in only_sheet(path).findings]
    rest = "; no mark asks for that"
    assert told == [
        ("SH27", "Tapes!A3", "FFFF00", f'sheet "Tapes": 2 rows with cells filled with FFFF00, from row 3 on{rest}'),
        ("SH26", "Tapes!A5", "struck out", f'sheet "Tapes": 9 rows with struck-out text, from row 5 on{rest}'),
    ]
    known = ReadOptions(marks=True, looks=frozenset({"FFFF00"}))
    assert [one.code for one in only_sheet(path, known).findings] == ["SH26"]


def test_texts_struck_out_in_part_are_refused_whole(tmp_path: Path) -> None:
    path = tmp_path / "tapes.xlsx"
    with xlsxwriter.Workbook(path) as book:  # writes shared strings, where openpyxl writes inline ones
        sheet, gone = book.add_worksheet("Tapes"), book.add_format({"font_strikeout": True})
        sheet.write_row("A1", ["Tape", "Title"])
        sheet.write_row("A2", ["0117", "Dawn"])
        sheet.write("A3", "0118")
        sheet.write_rich_string("B3", gone, "Dawn ", "Dusk of the ", gone, "Dredgers ", "Divers")
        sheet.insert_textbox("D2", "Do not lend 0117")
    made = only_sheet(path)
    rows = list(made.rows())
    assert [(row.texts[1], row.kinds) for row in rows] == [
        ("Dawn", {}),
        ("Dawn Dusk of the Dredgers Divers", {1: Kind.PART_STRUCK}),
    ]
    assert [(one.code, one.message) for one in made.findings] == [
        ("SH29", 'part of the text is struck out; what is left reads "Dusk of the Divers"'),
        ("SH30", 'sheet "Tapes": not read, since it is no cell: a text box "Do not lend 0117"'),
    ]

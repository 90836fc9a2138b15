"""Marked copies: the marks are there, everything else is as it was, and the original is never touched."""

from __future__ import annotations

from datetime import datetime
from pathlib import Path
from typing import Any

import openpyxl
import pytest
import xlsxwriter
from openpyxl.comments import Comment

from crosswalk.errors import CannotContinue, UnreadableInput
from crosswalk.sheets import Mark, ReadOptions
from crosswalk.sheets.mark_copy import CellMark, mark_copy
from tests.sheets.make import grid, only_sheet, text_file, texts, with_part, workbook

MARKS = [
    CellMark(sheet="Tapes", row=2, index=1, text="U-matic", fill="CCFFCC", note="was: umatic"),
    CellMark(sheet="Tapes", row=3, index=1, note="VHS or S-VHS?"),
    CellMark(sheet="Tapes", row=3, index=0, text="=0118"),
]


BARE = (
    b'<Relationships xmlns="http://schemas.openxmlformats.org/package/2006/relationships"><Relationship Id="rId1" '
    b'Type="http://schemas.openxmlformats.org/officeDocument/2006/relationships/officeDocument" '
    b'Target="xl/workbook.xml"/>'
    b"</Relationships>"
)


def legacy(folder: Path) -> Path:
    def fill(sheet: Any) -> None:
        grid([["Tape", "Format", "Length"], ["0117", "umatic", 58.5], ["0118", "vhs", 28]], "D1:E1")(sheet)
        sheet["B3"].comment = Comment("asked in 1999", "R. Venn")
        sheet["C2"].number_format = "0.00"
        sheet.column_dimensions["B"].width = 33
        sheet.row_dimensions[3].hidden = True

    return workbook(folder, fill, "legacy.xlsx")


def test_marks_are_in_place_and_the_rest_is_as_it_was(tmp_path: Path) -> None:
    source, target = legacy(tmp_path), tmp_path / "copy.xlsx"
    before = source.read_bytes()
    assert mark_copy(source, target, MARKS) == ()
    assert source.read_bytes() == before
    sheet = only_sheet(target, ReadOptions(marks=True))
    first, second = sheet.rows()
    assert first.texts == ["0117", "U-matic", "58.5"]
    assert first.marks == {1: Mark("CCFFCC", False, "was: umatic")}
    assert second.texts == ["=0118", "vhs", "28"]
    assert second.marks == {1: Mark(note="asked in 1999\nVHS or S-VHS?")}
    assert second.hidden
    copy = openpyxl.load_workbook(target)["Tapes"]
    assert copy["C2"].number_format == "0.00"
    assert copy.column_dimensions["B"].width == 33
    assert [str(span) for span in copy.merged_cells.ranges] == ["D1:E1"]


@pytest.mark.parametrize("properties", [True, False])
def test_the_same_marks_give_the_same_bytes(properties: bool, tmp_path: Path) -> None:
    source = legacy(tmp_path)
    if not properties:
        source = with_part(source, tmp_path / "bare.xlsx", {"docProps/core.xml": None, "_rels/.rels": BARE})
    for name in ("one.xlsx", "two.xlsx"):
        mark_copy(source, tmp_path / name, MARKS)
    assert (tmp_path / "one.xlsx").read_bytes() == (tmp_path / "two.xlsx").read_bytes()
    moment = openpyxl.load_workbook(tmp_path / "one.xlsx").properties.created
    assert moment == (openpyxl.load_workbook(source).properties.created if properties else datetime(2000, 1, 1))


def test_formulas_keep_their_stored_values(tmp_path: Path) -> None:
    source = tmp_path / "formulas.xlsx"
    stored: list[tuple[str, Any]] = [
        ("=1+1", 2),
        ("=A2&B2", "a & b"),
        ("=TRUE()", True),
        ("=1/0", "#DIV/0!"),
        ('=""', ""),
    ]
    with xlsxwriter.Workbook(source) as book:
        sheet = book.add_worksheet("Tapes")
        sheet.write_row(0, 0, ["Tape", "Number", "Text", "Truth", "Error", "Nothing"])
        sheet.write_string(1, 0, "0117")
        for column, (formula, value) in enumerate(stored, 1):
            sheet.write_formula(1, column, formula, None, value)
    mark_copy(source, tmp_path / "copy.xlsx", [CellMark(sheet="Tapes", row=2, index=0, note="checked")])
    assert texts(only_sheet(tmp_path / "copy.xlsx"))[0][:5] == texts(only_sheet(source))[0][:5]
    assert openpyxl.load_workbook(tmp_path / "copy.xlsx")["Tapes"]["C2"].value == "=A2&B2"


def test_parts_that_the_copy_lacks_are_named(tmp_path: Path) -> None:
    source = tmp_path / "box.xlsx"
    with xlsxwriter.Workbook(source) as book:
        sheet = book.add_worksheet("Tapes")
        sheet.write_row(0, 0, ["Tape", "Title"])
        sheet.insert_textbox("D2", "ask the vault")
    assert mark_copy(source, tmp_path / "copy.xlsx", []) == ("xl/drawings/drawing1.xml",)


def test_refusals(tmp_path: Path) -> None:
    source = legacy(tmp_path)
    with pytest.raises(CannotContinue, match="would overwrite"):
        mark_copy(source, source, [])
    with pytest.raises(CannotContinue, match='has no sheet "Radio"'):
        mark_copy(source, tmp_path / "copy.xlsx", [CellMark(sheet="Radio", row=1, index=0, text="x")])
    with pytest.raises(UnreadableInput, match="is not an XLSX workbook"):
        mark_copy(text_file(tmp_path, "Tape\n0117\n"), tmp_path / "copy.xlsx", [])
    assert not (tmp_path / "copy.xlsx").exists()

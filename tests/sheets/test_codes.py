"""Each code of sheets: a sheet that has the fault is told so, the same sheet without it is not."""

from __future__ import annotations

from collections.abc import Callable
from datetime import date
from pathlib import Path
from typing import Any

import pytest
from openpyxl.cell.rich_text import CellRichText, TextBlock
from openpyxl.cell.text import InlineFont
from openpyxl.comments import Comment
from openpyxl.styles import Font, PatternFill
from openpyxl.worksheet.cell_range import CellRange

from crosswalk.findings import codes
from crosswalk.sheets import ReadOptions, open_sheets
from tests.sheets.make import grid, text_file, workbook

Make = Callable[[Path], Path]
STRUCK_IN_PART = CellRichText(TextBlock(InlineFont(strike=True), "Dawn"), " Dusk")
HEADER = "Tape,Title,Format\n"
ROWS = "0117,Dusk,VHS\n0118,Dawn,U-matic\n"


def text(content: str | bytes) -> Make:
    return lambda folder: text_file(folder, content)


def cell(value: object, number_format: str = "General", data_type: str = "") -> Make:
    """A workbook whose cell B2 has this value."""

    def fill(sheet: Any) -> None:
        grid([["Tape", "Value"], ["0117", "x"]])(sheet)
        sheet["B2"].value, sheet["B2"].number_format = value, number_format
        if data_type:
            sheet["B2"].data_type = data_type

    return lambda folder: workbook(folder, fill)


def dressed(**style: Any) -> Make:
    """A workbook in which one row of four is dressed so, and the header in another way."""

    def fill(made: Any) -> None:
        grid([["Tape", "Value"], ["0117", "x"], ["0118", "y"], ["0119", "z"], ["0120", "z"]])(made)
        made["A1"].fill = PatternFill("solid", fgColor="00FF00")
        for name, value in style.items():
            setattr(made["A3"], name, value)

    return lambda folder: workbook(folder, fill)


def covered(span: str) -> Make:
    """A workbook whose cells B2 and B3 have texts, merged by a program that leaves what is hidden."""

    def fill(made: Any) -> None:
        grid([["Tape", "Value"], ["0117", "x"], ["0118", "y"]])(made)
        made.merged_cells.ranges.add(CellRange(span))

    return lambda folder: workbook(folder, fill)


def linked(target: str) -> Make:
    def fill(made: Any) -> None:
        grid(TABLE)(made)
        made["A2"].hyperlink = target or None

    return lambda folder: workbook(folder, fill)


def noted(said: str) -> Make:
    """A workbook whose cell B3 has a note, where something is said."""

    def fill(made: Any) -> None:
        grid([["Tape", "Value"], ["0117", "x"], ["0118", "y"]])(made)
        if said:
            made["B3"].comment = Comment(said, "R. Venn")

    return lambda folder: workbook(folder, fill)


def sheet(rows: list[list[object]], *merged: str, hidden: str = "") -> Make:
    def fill(made: Any) -> None:
        grid(rows, *merged)(made)
        if hidden:
            made.column_dimensions[hidden].hidden = True

    return lambda folder: workbook(folder, fill)


TABLE: list[list[object]] = [["Tape", "Series"], ["0117", "Tideline"], ["0118", None]]
QUOTED = "0119,Ferry\n" * 150
LATE = b"0117,Dusk,VHS\n" * 40_000

EXAMPLES: dict[str, tuple[Make, Make]] = {
    "SH01": (text(HEADER + ROWS), sheet(TABLE)),
    "SH02": (
        text(HEADER.encode() + LATE + b"0118,K\xfcste,VHS\n"),
        text(HEADER.encode() + LATE + "0118,ü,VHS\n".encode()),
    ),
    "SH03": (text(HEADER + "0117,Du\0sk,VHS\n"), text(HEADER + ROWS)),
    "SH04": (text(f'{HEADER}0117,"3/4 inch\n{QUOTED}0118,",\n'), text(f'{HEADER}0117,"3/4"" inch",\n{QUOTED}')),
    "SH05": (text(HEADER + "0117,Harbour, at dusk,VHS\n"), text(HEADER + '0117,"Harbour, at dusk",VHS\n')),
    "SH06": (text(HEADER + "0117,Dusk\n"), text(HEADER + "0117,Dusk,\n")),
    "SH25": (text(HEADER + ROWS + "0119,VHS\n"), text(HEADER + ROWS + "0119,,VHS\n")),
    "SH07": (text(HEADER + ROWS + "Total,,2\n"), text(HEADER + ROWS + "Total,Tideline,VHS\n")),
    "SH08": (text(""), text(HEADER + ROWS)),
    "SH09": (text(ROWS + "0119,Ferry,VHS\n0120,Dusk,VHS\n"), text(HEADER + ROWS)),
    "SH10": (text(HEADER), text(HEADER + ROWS)),
    "SH11": (text("Notes,Length,Notes\nworn,58:30,\n"), text("Notes,Length,Cataloguer's notes\nworn,58:30,\n")),
    "SH12": (sheet(TABLE, hidden="B"), sheet(TABLE)),
    "SH13": (cell("#REF!", data_type="e"), cell("REF")),
    "SH14": (cell("=A2&B1"), cell("A2&B1")),
    "SH15": (cell(40065123456789012), cell("40065123456789012")),
    "SH16": (sheet(TABLE, "B2:B3"), sheet(TABLE)),
    "SH17": (cell(423, "0000"), cell("0423")),
    "SH18": (cell(date(1987, 1, 1), "yyyy"), cell("1987")),
    "SH19": (cell(27, "yyyy-mm-dd"), cell(27)),
    "SH20": (cell(date(2009, 4, 3), "d-mmm"), cell(date(1987, 4, 3), "yyyy-mm-dd")),
    "SH21": (sheet(TABLE), cell("x")),
    "SH23": (
        text("Length," + HEADER + ROWS + "Length,Tape no.,Title,Format\n" + ROWS),
        text(HEADER + ROWS + HEADER + "0119,Title,VHS\n"),
    ),
    "SH24": (noted("lend to nobody"), noted("")),
    "SH26": (dressed(font=Font(strike=True)), dressed(font=Font(bold=True))),
    "SH27": (dressed(fill=PatternFill("solid", "FFFF00")), dressed(fill=PatternFill("solid", "FFFFFF"))),
    "SH28": (covered("B2:B3"), covered("D2:D3")),
    "SH29": (cell(STRUCK_IN_PART), cell(CellRichText("Dusk"))),
    "SH30": (linked("https://merrow.example/0117"), linked("")),
    "SH22": (text(HEADER + ROWS), sheet(TABLE)),
}
OPTIONS = {"SH22": ReadOptions(marks=True)}


def found(code: str, make: Make, folder: Path, options: ReadOptions) -> bool:
    opened = open_sheets(make(folder), options)
    for one in opened:
        for _ in one.rows():
            pass
    return any(finding.code == code for one in opened for finding in one.findings)


@pytest.mark.parametrize("code", EXAMPLES)
def test_the_fault_is_found_and_only_the_fault(code: str, tmp_path: Path) -> None:
    bad, good = EXAMPLES[code]
    wrong = ReadOptions(sheets=("Tapes", "Radio")) if code == "SH21" else OPTIONS.get(code, ReadOptions())
    assert found(code, bad, tmp_path, wrong)
    assert not found(code, good, tmp_path, OPTIONS.get(code, ReadOptions()))


def test_all_codes_of_sheets_have_an_example() -> None:
    assert set(EXAMPLES) == {code for code in codes() if code.startswith("SH")}

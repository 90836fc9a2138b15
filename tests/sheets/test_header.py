"""Where the table begins in a sheet, and what its columns are called. The shapes are those of real inventories; common
practice, no source."""

from __future__ import annotations

from pathlib import Path

import pytest

from crosswalk.sheets import ReadOptions, Role, fold_heading
from tests.sheets.make import codes, grid, only_sheet, text_file, texts, workbook

KNOWN = frozenset(map(fold_heading, ["Tape #", "Format", "Title", "Programme Title", "Tape No.", "Length"]))

# name: (text, options, headings, first data row)
FOUND: dict[str, tuple[str, ReadOptions, list[str], int]] = {
    "header in the first row": (
        "Tape,Title,Length\n0117,Dusk,58:30\n0118,Dawn,28:00\n", ReadOptions(), ["Tape", "Title", "Length"], 2,
    ),
    "title block of one cell a row": (
        "Tape library,,\nas of 2009,,\n,,\nTape,Title,Length\n0117,Dusk,58:30\n", ReadOptions(),
        ["Tape", "Title", "Length"], 5,
    ),
    "title block of two cells": (
        "Tape library,,,in May,\nTape,Title,Format,Length,Notes\n0117,Dusk,VHS,58:30,\n0118,Dawn,VHS,28:00,worn\n",
        ReadOptions(), ["Tape", "Title", "Format", "Length", "Notes"], 3,
    ),
    "all texts, no figures": (
        "Title,Format\nDusk,VHS\nDawn,U-matic\nFerry,VHS\n", ReadOptions(), ["Title", "Format"], 2,
    ),
    "headings with figures": (
        "Tape,Contributor 1,Role 1,Contributor 2\n0117,Orla Venn,Host,\n", ReadOptions(),
        ["Tape", "Contributor 1", "Role 1", "Contributor 2"], 2,
    ),
    "line break in a heading": (
        'Tape,"Shelf\ncheck",Title\n0117,ok,Dusk\n', ReadOptions(), ["Tape", "Shelf\ncheck", "Title"], 3,
    ),
    "empty heading inside": (
        "Tape,,Title,Format\n0117,x,Dusk,VHS\n", ReadOptions(), ["Tape", "", "Title", "Format"], 2,
    ),
    "one column": ("Title\nDusk\nDawn\n", ReadOptions(), ["Title"], 2),
    "named by the mapping, below a row that is like a header": (
        "Vault,Shelf,Bay\nnorth,lower,second\nTape #,Format,Notes\n0117,VHS,\n", ReadOptions(known_headings=KNOWN),
        ["Tape #", "Format", "Notes"], 4,
    ),
    "named by the mapping, in two rows": (
        "Tape,,Programme,\nNo.,Format,Title,Date\n0117,VHS,Dusk,1987\n", ReadOptions(known_headings=KNOWN),
        ["Tape No.", "Tape Format", "Programme Title", "Programme Date"], 3,
    ),
    "stated row": (
        "Tape,Title\n0117,Dusk\nNumber,Name\n0118,Dawn\n", ReadOptions(header_row=3), ["Number", "Name"], 4,
    ),
    "stated row and two rows": (
        "x,y,z\nTape,,Notes\nNo.,Format,\n0117,VHS,worn\n", ReadOptions(header_row=2, header_rows=2),
        ["Tape No.", "Tape Format", "Notes"], 4,
    ),
    "two rows stated, found by the known headings": (
        "Tape,,Programme\nNo.,Format,Title\n0117,VHS,Dusk\n", ReadOptions(header_rows=2, known_headings=KNOWN),
        ["Tape No.", "Tape Format", "Programme Title"], 3,
    ),
}  # fmt: skip


@pytest.mark.parametrize("case", FOUND)
def test_header_is_found(case: str, tmp_path: Path) -> None:
    text, options, headings, first = FOUND[case]
    sheet = only_sheet(text_file(tmp_path, text), options)
    assert [heading.text for heading in sheet.headings] == headings
    assert sheet.first_data_row == first
    assert next(sheet.rows()).number == first


NOT_FOUND = {
    "data from the first row": "0117,VHS,1987\n0118,VHS,1988\n0119,U-matic,1987\n",
    "texts that recur below": "Dusk,VHS\nDawn,VHS\nDusk,VHS\n",
    "stated row that is blank": "Tape,Title\n\n0117,Dusk\n",
}


@pytest.mark.parametrize("case", NOT_FOUND)
def test_no_header_is_an_error_and_nothing_vanishes(case: str, tmp_path: Path) -> None:
    options = ReadOptions(header_row=2) if case.startswith("stated") else ReadOptions()
    sheet = only_sheet(text_file(tmp_path, NOT_FOUND[case]), options)
    assert codes(sheet) == ["SH09"]
    assert {heading.text for heading in sheet.headings} == {""}
    assert sheet.outside == []
    assert sum(len(row) for row in texts(sheet)) == NOT_FOUND[case].replace("\n", ",").replace(",,", ",").count(",")


def test_all_cells_above_the_data_are_outside(tmp_path: Path) -> None:
    sheet = only_sheet(text_file(tmp_path, "Tape library,\n,\nTape,Title\n0117,Dusk\n"))
    assert [(row.number, row.role, row.texts) for row in sheet.outside] == [
        (1, Role.TITLE, ["Tape library", ""]),
        (3, Role.HEADER, ["Tape", "Title"]),
    ]


def test_the_same_heading_twice(tmp_path: Path) -> None:
    sheet = only_sheet(text_file(tmp_path, "Notes,Tape,notes \n,0117,worn\n"))
    assert [(heading.text, heading.occurrence) for heading in sheet.headings] == [
        ("Notes", 1),
        ("Tape", 1),
        ("notes", 2),
    ]
    assert [(finding.code, finding.origin.cell) for finding in sheet.findings[1:]] == [("SH11", "tapes.csv:1:3")]


MERGED: dict[str, tuple[list[list[object]], list[str], list[str], int]] = {
    "groups above, single columns merged downwards": (
        [["Tape", "Programme", None, None, "Length"], [None, "Title", "Date", "Episode"],
         ["0117", "Dusk", "1987", "0423", "58:30"]],
        ["A1:A2", "B1:D1", "E1:E2"],
        ["Tape", "Programme Title", "Programme Date", "Programme Episode", "Length"], 3,
    ),
    "a title merged over the whole width is no group": (
        [["Tape library"], ["Tape", "Title", "Length"], ["0117", "Dusk", "58:30"]], ["A1:C1"],
        ["Tape", "Title", "Length"], 3,
    ),
    "one merged heading over two columns": (
        [["Tape", "Contributors", None, "Length"], ["0117", "Orla Venn", "Tam Reed", "58:30"],
         ["0118", "Orla Venn", None, "28:00"]],
        ["B1:C1"], ["Tape", "Contributors", "Contributors", "Length"], 2,
    ),
}  # fmt: skip


@pytest.mark.parametrize("case", MERGED)
def test_merged_header_cells(case: str, tmp_path: Path) -> None:
    rows, merged, headings, first = MERGED[case]
    sheet = only_sheet(workbook(tmp_path, grid(rows, *merged)))
    assert [heading.text for heading in sheet.headings] == headings
    assert sheet.first_data_row == first
    assert codes(sheet) == []


def test_merged_data_cells_are_reported(tmp_path: Path) -> None:
    rows: list[list[object]] = [["Tape", "Series"], ["0117", "Tideline"], ["0118", None], ["0119", None]]
    sheet = only_sheet(workbook(tmp_path, grid(rows, "B2:B4")))
    assert [(finding.code, finding.origin.cell) for finding in sheet.findings] == [("SH16", "Tapes!B2")]
    assert texts(sheet)[1] == ["0118", ""]


BLANK = {"no byte": "", "line ends": "\n\n\r\n", "delimiters": ",,,\n,,,\n", "header only": "Tape,Title\n"}


@pytest.mark.parametrize("case", BLANK)
def test_sheets_without_rows(case: str, tmp_path: Path) -> None:
    sheet = only_sheet(text_file(tmp_path, BLANK[case]))
    assert codes(sheet) == (["SH10"] if case == "header only" else ["SH08"])
    assert texts(sheet) == []


def test_empty_worksheet(tmp_path: Path) -> None:
    sheet = only_sheet(workbook(tmp_path, grid([])))
    assert codes(sheet) == ["SH08"]
    assert (sheet.headings, sheet.outside, texts(sheet)) == ([], [], [])

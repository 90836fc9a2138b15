"""Totals rows and repeated headers; common practice, no source."""

from __future__ import annotations

from pathlib import Path

import pytest

from crosswalk.sheets import ReadOptions, Role
from tests.sheets.make import codes, grid, only_sheet, text_file, workbook

HEADER = "Tape,Title,Format,Length\n"
ROWS = "0117,Dusk,VHS,58:30\n0118,Dawn,VHS,28:00\n"

TOTALS = {
    "total and a figure": "Total,,,2\n",
    "totals with a colon": "Totals:,,,86:30\n",
    "figure in the same cell": "Total tapes: 412,,,\n",
    "what is counted": "Total number of tapes:,412,,\n",
    "german": "Summe,,,412\n",
    "german, all": "Gesamt:,412 ,,\n",
    "count, capitals": "COUNT,2,2,2\n",
    "word in the second column": ",Total,,2\n",
    "two totals in a row": "Total tapes:,412,Total hours:,120\n",
    "an error in the totals": "Total,,,#REF!\n",
    "figure alone": ",,,412\n",
    "two figures alone": ",,412,86:30:00\n",
    "two rows of figures": ",,412,\n,,,86.5 hrs\n",
}
DATA = {
    "a title that begins so": "Total Eclipse,,VHS,58:30\n",
    "a title with a figure": "Total eclipse of 1999,Dusk,VHS,58:30\n",
    "a title that is the word": "Total,Tideline,VHS,58:30\n",
    "the word in a title column": "0119,Count,VHS,58:30\n",
    "figure and a word": ",,VHS,412\n",
    "one cell of words": "see the other list,,,\n",
    "figure in the first column": "0119,,,\n",
}


@pytest.mark.parametrize("case", TOTALS)
def test_totals_rows_are_set_aside_and_reported(case: str, tmp_path: Path) -> None:
    sheet = only_sheet(text_file(tmp_path, HEADER + ROWS + TOTALS[case]))
    roles = [row.role for row in sheet.rows()]
    count = TOTALS[case].count("\n")
    assert roles == [Role.DATA, Role.DATA] + [Role.TOTALS] * count
    assert codes(sheet) == ["SH07"] * count


@pytest.mark.parametrize("case", DATA)
def test_data_rows_that_are_like_totals(case: str, tmp_path: Path) -> None:
    sheet = only_sheet(text_file(tmp_path, HEADER + ROWS + DATA[case]))
    assert [row.role for row in sheet.rows()] == [Role.DATA] * 3
    assert codes(sheet) == []


def test_figures_before_further_data_are_data_and_keep_their_place(tmp_path: Path) -> None:
    sheet = only_sheet(text_file(tmp_path, HEADER + ROWS + ",,,12\n,,,13\n0119,Ferry,VHS,12:00\n"))
    assert [(row.number, row.role) for row in sheet.rows()] == [(number, Role.DATA) for number in range(2, 7)]


def test_subtotals_among_the_data(tmp_path: Path) -> None:
    sheet = only_sheet(text_file(tmp_path, HEADER + ROWS + "Subtotal,,,2\n" + ROWS))
    assert [row.role.value for row in sheet.rows()] == ["data", "data", "totals row", "data", "data"]


def test_words_of_the_house_for_totals(tmp_path: Path) -> None:
    path = text_file(tmp_path, HEADER + ROWS + "Alles zusammen,,,2\n")
    assert [row.role for row in only_sheet(path).rows()][-1] is Role.DATA
    assert [row.role for row in only_sheet(path, ReadOptions(totals=("alles zusammen",))).rows()][-1] is Role.TOTALS


def test_a_header_repeated_on_each_page(tmp_path: Path) -> None:
    sheet = only_sheet(text_file(tmp_path, HEADER + ROWS + HEADER + ROWS + "Tape,Dusk,VHS,1:00\n"))
    assert [row.role.value for row in sheet.rows()] == ["data", "data", "header", "data", "data", "data"]


def test_rows_of_white_space_are_blank(tmp_path: Path) -> None:
    sheet = only_sheet(text_file(tmp_path, HEADER + " ,\t,,\n,,,\n" + ROWS))
    assert [(row.number, row.role.value) for row in sheet.rows()] == [(2, "only white space"), (4, "data"), (5, "data")]


UNCALCULATED: dict[str, tuple[list[object], Role, list[str]]] = {
    "word and sum": (["Total", None, None, "=SUM(D2:D3)"], Role.TOTALS, ["SH07"]),
    "word, sum and figure": (["Totals:", 2, None, "=SUM(D2:D3)"], Role.TOTALS, ["SH07"]),
    "sum alone": ([None, None, None, "=SUM(D2:D3)"], Role.TOTALS, ["SH07"]),
    "a sum in a row of data": (["0119", "Ferry", "VHS", "=D2+D3"], Role.DATA, ["SH14"]),
    "a title that is the word": (["Total", "Ferry", "VHS", "=D2+D3"], Role.DATA, ["SH14"]),
}


@pytest.mark.parametrize("case", UNCALCULATED)
def test_a_sum_that_was_never_calculated_is_a_sum(case: str, tmp_path: Path) -> None:
    last, role, told = UNCALCULATED[case]
    rows: list[list[object]] = [["Tape", "Title", "Format", "Minutes"]]
    rows += [["0117", "Dusk", "VHS", 58], ["0118", "Dawn", "VHS", 28], last]
    sheet = only_sheet(workbook(tmp_path, grid(rows)))
    assert [row.role for row in sheet.rows()] == [Role.DATA, Role.DATA, role]
    assert codes(sheet) == told


def test_totals_in_a_narrow_table_of_figures_are_not_guessed(tmp_path: Path) -> None:
    sheet = only_sheet(text_file(tmp_path, "Title,Count\nDusk,2\nDawn,3\n,5\n"))
    assert [row.role for row in sheet.rows()] == [Role.DATA] * 3


AGAIN = {
    "the first heading is another": "Reel no.,Title,Format,Length\n",
    "in other letters, one missing": "TAPE,title,,Length\n",
    "headings that the mapping knows": "Reel,Title,Type,Length\n",
    "in other places": "Format,Title,Tape,Length\n",
}


@pytest.mark.parametrize("case", AGAIN)
def test_a_header_that_differs_is_a_header_all_the_same(case: str, tmp_path: Path) -> None:
    known = frozenset({"reel", "type", "tape", "title", "format", "length"})
    path = text_file(tmp_path, HEADER + ROWS + AGAIN[case] + "0119,Ferry,VHS,12:00\n")
    sheet = only_sheet(path, ReadOptions(known_headings=known))
    rows = list(sheet.rows())
    assert [row.role for row in rows] == [Role.DATA, Role.DATA, Role.HEADER, Role.DATA]
    assert codes(sheet) == ([] if case == "in other letters, one missing" else ["SH23"])
    assert rows[3].moved == ("SH23" if case == "in other places" else "")


def test_a_row_that_names_one_or_two_headings_is_data(tmp_path: Path) -> None:
    path = text_file(tmp_path, HEADER + ROWS + "0119,Title,Format,58:30\n,Title,Format,\n")
    sheet = only_sheet(path, ReadOptions(known_headings=frozenset({"tape", "title", "format"})))
    assert [row.role for row in sheet.rows()] == [Role.DATA] * 4

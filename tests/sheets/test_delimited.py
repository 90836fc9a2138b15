"""Delimited text, after RFC 4180; `rows` are held against the csv module, which reads the same file."""

from __future__ import annotations

import csv
import io
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from crosswalk.errors import UnreadableInput
from crosswalk.sheets import ReadOptions, open_sheets
from crosswalk.sheets.delimited import MAX_FIELD_CHARS, detect_delimiter
from crosswalk.sheets.notes import SHOWN_PER_CODE
from tests.sheets.make import codes, only_sheet, text_file, texts

DELIMITERS = {
    "comma": ("Tape,Title,Length\n0117,Dusk,58:30\n", ","),
    "semicolon, decimal commas": ("Tape;Title;Minutes\n0117;Dusk, slowly;58,5\n0118;Dawn;27,25\n", ";"),
    "tab, commas in the texts": ("Tape\tTitle\n0117\tDusk, dawn\n0118\tFerry, hour\n", "\t"),
    "semicolons in quotes": ('Tape,Subjects\n0117,"marsh; waders"\n0118,"harbour; boats"\n', ","),
    "title block above": ("Tape list;;\n;;\nTape;Title;Length\n0117;Dusk;58:30\n", ";"),
    "a list in one column, rows of every width": (
        "Tape,Series,Subjects,\n,,,,\n,,,salt marsh; waders\n,,salt marsh; waders,,\nsalt marsh; waders\n", ","
    ),
    "a blank after every semicolon": ("Tape; Minutes\n0117; 58,5\n0118; 27,25\n", ";"),
    "one column": ("Tape\n0117\n0118\n", ","),
    "stated in the first line": ("sep=|\nTape|Title\n0117|Dusk\n", "|"),
}


@pytest.mark.parametrize("case", DELIMITERS)
def test_delimiter(case: str) -> None:
    text, expected = DELIMITERS[case]
    assert detect_delimiter(text) == expected


@pytest.mark.parametrize(("known", "expected"), [(set(), ";"), ({"tape", "series"}, ","), ({"another"}, ";")])
def test_headings_that_are_known_decide_where_shape_misleads(known: set[str], expected: str) -> None:
    text = 'Tape,Series\n,salt marsh;waders,"two\nlines",salt marsh;waders\n'
    assert detect_delimiter(text, frozenset(known)) == expected


def test_rows_carry_the_line_they_start_on(tmp_path: Path) -> None:
    sheet = only_sheet(text_file(tmp_path, 'Tape,Title\n\n0117,"Dusk\nand\ndawn"\n\n,\n0118,Ferry\n'))
    assert [(row.number, row.texts) for row in sheet.rows()] == [
        (3, ["0117", "Dusk\nand\ndawn"]),
        (8, ["0118", "Ferry"]),
    ]
    assert sheet.address(8, 1) == "tapes.csv:8:2"
    assert sheet.first_data_row == 3


def test_rows_can_be_read_again_and_findings_are_made_once(tmp_path: Path) -> None:
    sheet = only_sheet(text_file(tmp_path, "Tape,Title\n0117,Dusk,too,many\n0118\nTotal,2\n"))
    assert texts(sheet) == texts(sheet)
    assert codes(sheet) == ["SH05", "SH25", "SH07"]


def test_surplus_cells_come_along_and_are_errors(tmp_path: Path) -> None:
    sheet = only_sheet(text_file(tmp_path, "Tape,Title\n0117,Harbour, at dusk\n0118,Dawn,,\n"))
    assert texts(sheet) == [["0117", "Harbour", " at dusk"], ["0118", "Dawn", "", ""]]
    surplus = [finding for finding in sheet.findings if finding.code == "SH05"]
    assert [(finding.origin.cell, finding.value) for finding in surplus] == [
        ("tapes.csv:2:3", " at dusk"),
        ("tapes.csv:3:4", ""),
    ]
    assert [row.moved for row in sheet.rows()] == ["SH05", "SH05"]


def test_trailing_empty_columns_are_no_columns_unless_something_stands_there(tmp_path: Path) -> None:
    sheet = only_sheet(text_file(tmp_path, "Tape,Title,,\n0117,Dusk,,\n0118,Dawn,,astray\n"))
    assert [heading.text for heading in sheet.headings] == ["Tape", "Title"]
    assert codes(sheet) == ["SH05"]


def test_many_findings_of_one_kind_are_counted(tmp_path: Path) -> None:
    rows = "0117,Dusk,surplus\n" * (SHOWN_PER_CODE + 30)
    sheet = only_sheet(text_file(tmp_path, "Tape,Title\n" + rows))
    assert len(codes(sheet)) == SHOWN_PER_CODE + 1
    assert sheet.findings[-1].message.startswith("and 30 more")


def test_a_quotation_mark_that_swallows_rows_is_reported(tmp_path: Path) -> None:
    rows = "".join(f"{number},Dusk\n" for number in range(200))
    sheet = only_sheet(text_file(tmp_path, f'Tape,Title\nA1,"3/4 inch\n{rows}A2,"ditto\n'))
    found = [finding for finding in sheet.findings if finding.code == "SH04"] if codes(sheet) else []
    assert [finding.origin.cell for finding in found] == ["tapes.csv:2"]


def test_a_cell_without_end_stops_the_run_with_its_line(tmp_path: Path) -> None:
    path = text_file(tmp_path, 'Tape,Title\n0117,Dusk\n0118,"' + "never closed\n" * (MAX_FIELD_CHARS // 12))
    with pytest.raises(UnreadableInput, match=r"tapes\.csv:3: .*never closed"):
        for row in open_sheets(path)[0].rows():
            assert row.number == 2


def test_ditto_marks_where_nothing_is_quoted_are_text(tmp_path: Path) -> None:
    sheet = only_sheet(text_file(tmp_path, 'Tape;Format;Series\n0117;VHS;Tideline\n0118;";"\n0119;U-matic;"\n'))
    assert texts(sheet) == [["0117", "VHS", "Tideline"], ["0118", '"', '"'], ["0119", "U-matic", '"']]
    assert "ditto" in sheet.findings[0].message


def test_ditto_marks_beside_quoted_cells_swallow_rows_and_are_reported(tmp_path: Path) -> None:
    rows = '0117,"Dusk, dawn",VHS\n0118,",VHS\n0119,",U-matic\n'
    sheet = only_sheet(text_file(tmp_path, "Tape,Title,Format\n" + rows))
    assert codes(sheet) == ["SH04"]
    assert [finding.origin.cell for finding in sheet.findings if finding.code == "SH04"] == ["tapes.csv:3"]


def test_quoted_ditto_marks(tmp_path: Path) -> None:
    sheet = only_sheet(text_file(tmp_path, 'Tape,Format\n0117,VHS\n0118,""""\n'))
    assert texts(sheet) == [["0117", "VHS"], ["0118", '"']]


def test_inches_inside_a_text_are_no_quotation_marks(tmp_path: Path) -> None:
    sheet = only_sheet(text_file(tmp_path, 'Tape,Format\n0117,3/4" Umatic\n0118,1" C\n'))
    assert texts(sheet) == [["0117", '3/4" Umatic'], ["0118", '1" C']]


def test_a_cell_of_the_largest_size_of_a_workbook(tmp_path: Path) -> None:
    large = "x" * 32_767
    assert texts(only_sheet(text_file(tmp_path, f"Tape,Notes\n0117,{large}\n"))) == [["0117", large]]


CELL = st.text(
    st.characters(codec="utf-8", exclude_categories=["Cc"], include_characters="\n\t\x0b\x0c\x1d\x85\u2028"),
    max_size=12,
)


@given(
    st.lists(st.lists(CELL, min_size=3, max_size=3).filter(lambda row: any(cell.strip() for cell in row)), max_size=8)
)
def test_whatever_csv_writes_is_read_back(tmp_path_factory: pytest.TempPathFactory, rows: list[list[str]]) -> None:
    stream = io.StringIO()
    csv.writer(stream).writerows([["Tape", "Title", "Notes"], *rows])
    path = text_file(tmp_path_factory.mktemp("random"), stream.getvalue())
    options = ReadOptions(header_row=1, encoding="utf-8", delimiter=",", quotes=True)
    assert texts(only_sheet(path, options)) == rows

"""Writing: what is written is read back equal, twice the same bytes, and whole or not at all."""

from __future__ import annotations

import csv
from pathlib import Path

import openpyxl
import pytest
from hypothesis import given
from hypothesis import strategies as st

from crosswalk.errors import UnwritableOutput
from crosswalk.sheets import Kind, Mark, ReadOptions
from crosswalk.sheets.write import CellValue, Table, sheet_name, write_csv, write_workbook
from crosswalk.writing import written_whole
from tests.search import examples
from tests.sheets.make import only_sheet, texts

ODD = [
    "=SUM(A1)",
    "+44 1",
    "-",
    "@x",
    "'x",
    "0423",
    "1e5",
    "TRUE",
    "#REF!",
    "http://example.org/",
    " x ",
    '"',
    "a\nb",
    "ü\u2028",
]
FIRST = ReadOptions(header_row=1, header_rows=1, encoding="utf-8", delimiter=",", quotes=True)
PLAIN = st.text(st.characters(codec="utf-8", exclude_categories=["Cc"], include_characters="\n\t"), max_size=15)
TEXT = PLAIN | st.sampled_from(ODD)
ROWS = st.lists(
    st.lists(TEXT, min_size=3, max_size=3).filter(lambda row: bool(row[0].strip())), min_size=1, max_size=8
)  # fmt: skip


def table(rows: list[list[CellValue]]) -> Table:
    return Table(name="Tapes", header=["Tape", "Title", "Notes"], rows=rows)


def padded(rows: list[list[str]]) -> list[list[str]]:
    """Rows to the width of the header: a workbook does not keep empty cells at the end."""
    return [[*row, *[""] * (3 - len(row))] for row in rows]


@examples(60)
@given(ROWS)
def test_workbooks_are_read_back_equal(tmp_path_factory: pytest.TempPathFactory, rows: list[list[str]]) -> None:
    path = tmp_path_factory.mktemp("write") / "out.xlsx"
    write_workbook(path, [Table(name="Tapes", header=["Tape", "Title", "Notes"], rows=rows)])
    sheet = only_sheet(path, FIRST)
    assert padded(texts(sheet)) == rows
    assert all(row.kinds == {} for row in sheet.rows())


@given(ROWS)
def test_csv_is_read_back_equal(tmp_path_factory: pytest.TempPathFactory, rows: list[list[str]]) -> None:
    path = tmp_path_factory.mktemp("write") / "out.csv"
    write_csv(path, ["Tape", "Title", "Notes"], rows)
    assert texts(only_sheet(path, FIRST)) == rows


def test_openpyxl_reads_the_same_texts(tmp_path: Path) -> None:
    write_workbook(tmp_path / "out.xlsx", [table([[text, "x", None] for text in ODD])])
    sheet = openpyxl.load_workbook(tmp_path / "out.xlsx")["Tapes"]
    cells = [sheet.cell(number, 1) for number in range(2, len(ODD) + 2)]
    assert [cell.value for cell in cells] == ODD
    assert {cell.data_type for cell in cells} == {"s"}


def test_numbers_stay_numbers(tmp_path: Path) -> None:
    write_workbook(tmp_path / "out.xlsx", [table([["0117", 423, 58.5]])])
    row = next(only_sheet(tmp_path / "out.xlsx").rows())
    assert row.texts == ["0117", "423", "58.5"]
    assert row.kinds == {1: Kind.NUMBER, 2: Kind.NUMBER}


def test_marks_are_read_back(tmp_path: Path) -> None:
    marks = {(0, 1): Mark("FFFF00", True, "gone"), (1, 0): Mark(note="see the box")}
    made = Table(name="Tapes", header=["Tape", "Title"], rows=[["0117", "Dusk"], ["0118", "Dawn"]], marks=marks)
    write_workbook(tmp_path / "out.xlsx", [made])
    rows = list(only_sheet(tmp_path / "out.xlsx", ReadOptions(marks=True)).rows())
    assert [row.marks for row in rows] == [{1: marks[0, 1]}, {0: marks[1, 0]}]


def test_header_is_frozen_and_has_a_filter(tmp_path: Path) -> None:
    write_workbook(tmp_path / "out.xlsx", [table([["0117", "x" * 200, ""]])])
    sheet = openpyxl.load_workbook(tmp_path / "out.xlsx")["Tapes"]
    assert sheet.freeze_panes == "A2"
    assert sheet.auto_filter.ref == "A1:C2"
    assert sheet.column_dimensions["B"].width <= 61


def test_the_same_tables_give_the_same_bytes(tmp_path: Path) -> None:
    contents = []
    for name in ("one.xlsx", "two.xlsx"):
        marks = {(0, 0): Mark("00FF00", False, "note")}
        write_workbook(tmp_path / name, [Table(name="Tapes", header=["Tape"], rows=[["0117"]], marks=marks)])
        contents.append((tmp_path / name).read_bytes())
    assert contents[0] == contents[1]
    assert b"2000-01-01" in openpyxl.load_workbook(tmp_path / "one.xlsx").properties.created.isoformat().encode()


NAMES = {
    "forbidden signs": ("Video: 1960s/70s [old]?", [], "Video_ 1960s_70s _old__"),
    "taken, whatever the case": ("Radio", ["radio"], "Radio (2)"),
    "taken twice": ("Radio", ["radio", "Radio (2)"], "Radio (3)"),
    "long": ("A very long name of a sheet indeed", [], "A very long name of a sheet ind"),
    "long and taken": ("x" * 40, ["x" * 31], "x" * 27 + " (2)"),
    "empty": ("", [], "Sheet"),
    "apostrophes at the ends": ("'Radio'", [], "Radio"),
}


@pytest.mark.parametrize("case", NAMES)
def test_names_of_sheets(case: str) -> None:
    wanted, taken, name = NAMES[case]
    assert sheet_name(wanted, taken) == name


def test_guarded_formulas(tmp_path: Path) -> None:
    write_csv(tmp_path / "out.csv", ["Tape", "Title"], [["0117", "=1+1"], ["-", "x"]], guard_formulas=True)
    assert (tmp_path / "out.csv").read_bytes() == b"Tape,Title\r\n0117,'=1+1\r\n'-,x\r\n"


def test_a_text_too_long_for_a_cell_is_refused_and_the_old_file_stays(tmp_path: Path) -> None:
    path = tmp_path / "out.xlsx"
    write_workbook(path, [table([["0117", "x" * 32_767, None]])])
    before = path.read_bytes()
    with pytest.raises(UnwritableOutput, match="row 2, column 2 has 32,768 characters"):
        write_workbook(path, [table([["0117", "x" * 32_768, None]])])
    assert path.read_bytes() == before


def test_a_failure_half_way_leaves_the_old_file(tmp_path: Path) -> None:
    path = tmp_path / "out.csv"
    path.write_text("old")
    with pytest.raises(RuntimeError), written_whole(path) as stream:
        stream.write("new")
        raise RuntimeError
    assert path.read_text() == "old"
    assert [one.name for one in tmp_path.iterdir()] == ["out.csv"]


def test_a_place_that_cannot_be_written(tmp_path: Path) -> None:
    (tmp_path / "file").write_text("")
    with pytest.raises(UnwritableOutput, match="cannot be written"):
        write_csv(tmp_path / "file" / "out.csv", ["Tape"], [])


def test_csv_is_what_the_csv_module_reads(tmp_path: Path) -> None:
    rows = [[text, "x"] for text in ODD]
    write_csv(tmp_path / "out.csv", ["Tape", "Title"], rows)
    with (tmp_path / "out.csv").open(newline="", encoding="utf-8") as stream:
        assert list(csv.reader(stream))[1:] == rows

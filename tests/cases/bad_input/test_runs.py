"""Bad input through the command line: a clear message, exit status 3 or a finding, nothing written half."""

from __future__ import annotations

import csv
import json
import struct
import subprocess
import sys
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest
from click.testing import CliRunner, Result

from crosswalk.cli import main
from tests.cases.bad_input.test_sheets import BOMB_BYTES, REFUSED, _places, bomb
from tests.sheets.make import grid, text_file, workbook

MAPPING = """
[[column]]
heading = "Tape"
to = "instantiation.identifier"
source = "Shelf"
[[column]]
heading = "Title"
to = "asset.title"
[[constant]]
to = "asset.identifier"
value = "S-{Tape}"
source = "Shelf"
[[constant]]
to = "asset.description"
value = "None yet"
[[constant]]
to = "instantiation.location"
value = "The store"
"""
GOOD = "Tape,Title\n0117,Dusk\n0118,Dawn\n"
HUGE = 3_000_000_000
UNLIMITED = {"unpacks to too much", "few cells far apart"}  # judged by a limit that tests of the sheets lower


def convert(folder: Path, source: Path, *more: str, mapping: str = MAPPING) -> Result:
    (folder / "mapping.toml").write_text(mapping, encoding="utf-8")
    words = ["convert", str(source), "--mapping", str(folder / "mapping.toml"), "--out", str(folder / "out"), *more]
    return CliRunner().invoke(main, words)


def assert_refused(result: Result, folder: Path, *problems: str) -> None:
    """Exit status 3, one message that is no traceback, and no trace of an output."""
    assert result.exit_code == 3, result.output
    assert result.stderr.startswith("crosswalk: ")
    assert len(result.stderr.strip().splitlines()) == 1
    assert "Traceback" not in result.output
    for problem in problems:
        assert problem in result.stderr
    assert not (folder / "out").exists()
    assert not list(folder.glob(".out.*"))


def outcome(result: Result) -> dict[str, Any]:
    read: dict[str, Any] = json.loads(result.stdout)
    return read


def ledger(folder: Path) -> list[dict[str, str]]:
    with (folder / "out" / "account" / "ledger.csv").open(encoding="utf-8", newline="") as file:
        return list(csv.DictReader(file))


def codes(folder: Path) -> list[str]:
    with (folder / "out" / "account" / "findings.csv").open(encoding="utf-8", newline="") as file:
        return [row["code"] for row in csv.DictReader(file)]


def test_good_input_is_converted(tmp_path: Path) -> None:
    result = convert(tmp_path, text_file(tmp_path, GOOD))
    assert result.exit_code == 0, result.output
    assert (tmp_path / "out" / "records-0001.xml").is_file()


@pytest.mark.parametrize("case", sorted(set(REFUSED) - UNLIMITED))
def test_what_cannot_be_read_stops_the_run(tmp_path: Path, case: str) -> None:
    make, problem, _ = REFUSED[case]
    assert_refused(convert(tmp_path, make(tmp_path)), tmp_path, problem)


def test_a_workbook_that_unpacks_to_gigabytes_stops_the_run(tmp_path: Path) -> None:
    """The sizes in the directory of the ZIP file are looked at before anything is unpacked."""
    content = bytearray(bomb(tmp_path).read_bytes())
    size = next(n for n in range(BOMB_BYTES, BOMB_BYTES + 1000) if _places(bytes(content), struct.pack("<I", n)))
    for place in _places(bytes(content), struct.pack("<I", size)):
        content[place : place + 4] = struct.pack("<I", HUGE)
    path = text_file(tmp_path, bytes(content), "huge.xlsx")
    assert_refused(convert(tmp_path, path), tmp_path, "unpacks to more than 2,000,000,000 bytes")


def test_xml_with_an_external_entity_stops_the_run_and_is_not_followed(tmp_path: Path) -> None:
    (tmp_path / "secret.txt").write_text("555-0142", encoding="utf-8")
    entity = f'<!DOCTYPE pbcoreCollection [<!ENTITY x SYSTEM "file://{tmp_path}/secret.txt">]>'
    body = '<pbcoreCollection xmlns="http://www.pbcore.org/PBCore/PBCoreNamespace.html">&x;</pbcoreCollection>'
    path = text_file(tmp_path, entity + body, "in.xml")
    result = CliRunner().invoke(main, ["convert", str(path), "--out", str(tmp_path / "out")])
    assert_refused(result, tmp_path, "document type")
    checked = CliRunner().invoke(main, ["validate", str(path)])
    assert checked.exit_code in (1, 3)
    assert "555-0142" not in result.output + checked.output


NOTHING: dict[str, Callable[[Path], Path]] = {
    "an empty file": lambda folder: text_file(folder, ""),
    "blank lines": lambda folder: text_file(folder, "\n\n"),
    "white space": lambda folder: text_file(folder, " , \n"),
    "an empty sheet": lambda folder: workbook(folder, grid([])),
    "a header without rows": lambda folder: text_file(folder, "Tape,Title\n"),
    "a header and white space": lambda folder: text_file(folder, "Tape,Title\n , \n"),
}


@pytest.mark.parametrize("case", NOTHING)
def test_a_run_without_a_row_stops_and_leaves_the_last_good_output(case: str, tmp_path: Path) -> None:
    path = NOTHING[case](tmp_path)
    assert_refused(convert(tmp_path, path), tmp_path, path.name, "has no row to read")
    good = convert(tmp_path, text_file(tmp_path, GOOD, "good.csv"))
    assert good.exit_code == 0, good.output
    before = sorted((tmp_path / "out").rglob("*.xml"))
    assert convert(tmp_path, path).exit_code == 3
    assert sorted((tmp_path / "out").rglob("*.xml")) == before != []
    checked = CliRunner().invoke(main, ["validate", str(path), "--mapping", str(tmp_path / "mapping.toml")])
    assert checked.exit_code == 1
    assert "has no row to read" in checked.output


@pytest.mark.parametrize(("rows", "code"), [([], "SH08"), ([["Tape", "Title"]], "SH10")], ids=["empty", "header alone"])
def test_an_empty_sheet_beside_others_is_a_finding(rows: list[list[object]], code: str, tmp_path: Path) -> None:
    def fill(sheet: Any) -> None:
        grid([["Tape", "Title"], ["0117", "Dusk"]])(sheet)
        grid(rows)(sheet.parent.create_sheet("Tapes 2"))

    result = convert(tmp_path, workbook(tmp_path, fill))
    assert result.exit_code == 0, result.output
    assert code in codes(tmp_path)


def test_a_missing_sheet_stops_the_run(tmp_path: Path) -> None:
    result = convert(
        tmp_path, workbook(tmp_path, grid([["Tape", "Title"]])), mapping='sheets = ["Video *"]\n' + MAPPING
    )
    assert_refused(result, tmp_path, "which names Video *", "its sheets are: Tapes")


def test_a_missing_column_is_a_finding_and_its_records_are_held(tmp_path: Path) -> None:
    result = convert(tmp_path, text_file(tmp_path, "Tape,Name\n0117,Dusk\n"), "--json")
    assert result.exit_code == 1
    assert {"MP01", "MP02", "RC01"} <= set(codes(tmp_path))
    assert len(outcome(result)["held"]) == 1


def test_two_columns_with_one_heading_are_both_read_and_told(tmp_path: Path) -> None:
    result = convert(tmp_path, text_file(tmp_path, "Tape,Title,Title\n0117,Dusk,Evening\n"))
    assert result.exit_code == 0, result.output
    text = (tmp_path / "out" / "records-0001.xml").read_text(encoding="utf-8")
    assert "Dusk" in text and "Evening" in text
    assert "SH11" in codes(tmp_path)


@pytest.mark.parametrize("form", ["csv", "xlsx"])
def test_a_cell_as_long_as_a_workbook_allows_is_carried_whole(tmp_path: Path, form: str) -> None:
    text = "tide " * 6553 + "ab"
    assert len(text) == 32_767
    rows = [["Tape", "Title"], ["0117", text]]
    path = workbook(tmp_path, grid(rows)) if form == "xlsx" else text_file(tmp_path, f"Tape,Title\n0117,{text}\n")
    result = convert(tmp_path, path)
    assert result.exit_code == 0, result.output
    assert text in (tmp_path / "out" / "records-0001.xml").read_text(encoding="utf-8")


def test_forbidden_characters_are_reported_removed_and_in_the_ledger(tmp_path: Path) -> None:
    result = convert(tmp_path, text_file(tmp_path, "Tape,Title\n0117,Du\x01sk\n0118,\x02\n"))
    assert result.exit_code == 1  # one record is left without its title
    assert codes(tmp_path).count("TX02") == 2
    assert "Dusk" in (tmp_path / "out" / "records-0001.xml").read_text(encoding="utf-8")
    assert {row["cell"] for row in ledger(tmp_path)} >= {"tapes.csv:2:2", "tapes.csv:3:2"}


def test_nul_bytes_are_a_finding(tmp_path: Path) -> None:
    result = convert(tmp_path, text_file(tmp_path, b"Tape,Title\n0117,Du\x00sk\n0118,Dawn\n"))
    assert result.exit_code in (0, 1), result.output
    assert "SH03" in codes(tmp_path)
    assert "Dawn" in (tmp_path / "out" / "records-0001.xml").read_text(encoding="utf-8")


def test_rows_of_uneven_length_are_findings_and_every_cell_is_accounted_for(tmp_path: Path) -> None:
    result = convert(tmp_path, text_file(tmp_path, "Tape,Title\n0117\n0118,Dawn,stray,\n0119,Noon\n"), "--json")
    assert result.exit_code == 1
    assert {"SH05", "SH25"} <= set(codes(tmp_path))
    answer = outcome(result)
    assert sum(answer["sums"].values()) == answer["cells_read"] == len(ledger(tmp_path)) == 8


@pytest.mark.parametrize(
    ("extra", "problem"),
    [
        (
            '[[column]]\nheading = "Date"\nto = "asset.date"\nread = "datum"\n',
            'mapping.toml:22: there is no parser "datum"',
        ),
        ('[[column]]\nheading = "Date"\nto = "asset.dat"\n', 'mapping.toml:21: "asset.dat" is no place in a record'),
        ('[[colum]]\nheading = "Date"\n', "unknown key `colum`; did you mean column"),
    ],
    ids=["parser", "place", "key"],
)
def test_a_mapping_that_names_what_does_not_exist_stops_the_run(tmp_path: Path, extra: str, problem: str) -> None:
    assert_refused(convert(tmp_path, text_file(tmp_path, GOOD), mapping=MAPPING + extra), tmp_path, problem)


def test_a_mapping_that_is_not_there_stops_the_run(tmp_path: Path) -> None:
    words = ["convert", str(text_file(tmp_path, GOOD)), "--mapping", "nothing", "--out", str(tmp_path / "out")]
    assert_refused(CliRunner().invoke(main, words), tmp_path, "there is no such mapping", "merrow-video")


def test_an_output_that_cannot_be_written_stops_the_run(tmp_path: Path) -> None:
    (tmp_path / "file").write_text("x")
    path = text_file(tmp_path, GOOD)
    (tmp_path / "mapping.toml").write_text(MAPPING)
    words = ["convert", str(path), "--mapping", str(tmp_path / "mapping.toml"), "--out", str(tmp_path / "file" / "out")]
    assert_refused(CliRunner().invoke(main, words), tmp_path, "cannot be written")


def test_an_output_full_of_an_earlier_run_is_replaced(tmp_path: Path) -> None:
    convert(tmp_path, text_file(tmp_path, GOOD), "--one-each")
    before = {path.name for path in (tmp_path / "out").iterdir()}
    result = convert(tmp_path, text_file(tmp_path, "Tape,Title\n0200,Night\n"), "--one-each")
    after = {path.name for path in (tmp_path / "out").iterdir()}
    assert result.exit_code == 0, result.output
    assert before - after == {"S-0117.xml", "S-0118.xml"}
    assert after - before == {"S-0200.xml"}


def test_an_output_with_files_of_another_is_left_alone(tmp_path: Path) -> None:
    (tmp_path / "out").mkdir()
    (tmp_path / "out" / "letter.odt").write_text("mine")
    result = convert(tmp_path, text_file(tmp_path, GOOD))
    assert result.exit_code == 3
    assert "letter.odt" in result.stderr
    assert [path.name for path in (tmp_path / "out").iterdir()] == ["letter.odt"]


def test_a_bad_row_stops_one_row(tmp_path: Path) -> None:
    mapping = MAPPING + '[[column]]\nheading = "Date"\nto = "asset.date"\nread = "date"\nday-first = true\n'
    rows = "Tape,Title,Date\n0117,Dusk,31.4.87\n0118,Dawn,3.4.87\n0119,Noon,whenever\n"
    result = convert(tmp_path, text_file(tmp_path, rows), "--json", mapping=mapping)
    assert result.exit_code == 1
    assert outcome(result)["delivered"] == 3
    text = (tmp_path / "out" / "records-0001.xml").read_text(encoding="utf-8")
    assert "1987-04-03" in text and "whenever" not in text


SUBPROCESS: dict[str, tuple[Callable[[Path], Path], int, str]] = {
    "good": (lambda folder: text_file(folder, GOOD), 0, ""),
    "not a workbook": (lambda folder: text_file(folder, b"Tape", "tapes.xlsx"), 3, "is not a workbook"),
    "no file": (lambda folder: folder / "gone.csv", 3, "gone.csv"),
}


@pytest.mark.parametrize("case", SUBPROCESS)
def test_the_program_itself_answers_so(tmp_path: Path, case: str) -> None:
    make, status, message = SUBPROCESS[case]
    (tmp_path / "mapping.toml").write_text(MAPPING)
    words = [
        "convert",
        str(make(tmp_path)),
        "--mapping",
        str(tmp_path / "mapping.toml"),
        "--out",
        str(tmp_path / "out"),
    ]
    ended = subprocess.run([sys.executable, "-m", "crosswalk", *words], capture_output=True, text=True, check=False)
    assert ended.returncode == status, ended.stderr
    assert message in ended.stderr
    assert "Traceback" not in ended.stderr
    assert (tmp_path / "out").exists() is (status == 0)

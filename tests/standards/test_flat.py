"""JSON Lines and flat tables: what is written reads back equal, and what cannot be read is said."""

from __future__ import annotations

import csv
import io
from pathlib import Path
from typing import Any

import openpyxl
import pytest
from hypothesis import example, given

from crosswalk.errors import UnreadableInput
from crosswalk.findings import Finding, Severity
from crosswalk.pipeline.converting import read_documents
from crosswalk.records import Asset, Description, Evidence, Identifier, Instantiation, Record, Title
from crosswalk.standards import flat, jsonl
from crosswalk.standards.base import ReadOptions, Standard, WriteOptions, standards
from crosswalk.standards.flat_cells import read_cell, write_cell
from crosswalk.standards.flat_layout import SHEETS
from tests.contracts.maximal import maximal
from tests.contracts.strategies import TEXTS, records
from tests.search import examples

COMMON = examples(40)
NAMES = ["jsonl", "flat", "flat_csv"]


def put(folder: Path, standard: Standard, written: list[Record], **options: Any) -> Path:
    """Writes records, and gives the first file."""
    assert standard.write is not None
    documents = list(standard.write(written, WriteOptions(**options)))
    for document in documents:
        path = folder / document.name
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_bytes(document.content)
    return folder / documents[0].name


def get(standard: Standard, path: Path) -> list[Record | Finding]:
    assert standard.read is not None
    return list(standard.read(path, ReadOptions()))


@pytest.fixture(scope="module")
def folder(tmp_path_factory: pytest.TempPathFactory) -> Path:
    return tmp_path_factory.mktemp("flat")


LONG = Asset(identifiers=(Identifier("1", source="s"),), descriptions=(Description("é𝄞 " * 20_000), Description("x")))


SAME = [Asset(identifiers=(Identifier("0117", source="s"),), titles=(Title(str(n)),)) for n in range(3)]


@pytest.mark.parametrize("name", NAMES)
@COMMON
@given(record=records())
@example(record=LONG)
@example(record=Asset(titles=(Title("_x000D_"), Title("=1"), Title("-2"), Title("0117"), Title(""), Title("\\e"))))
def test_any_record_reads_back_equal(folder: Path, name: str, record: Record) -> None:
    standard = standards()[name]
    path = put(folder, standard, [record])
    assert get(standard, path) == [record]
    assert standard.recognise(path.read_bytes()[:4096], path.name)


@given(TEXTS)
@examples(50)
def test_a_cell_reads_back_equal(text: str) -> None:
    for values in ([text], [text, None, ""], [None, text], ["", text, "|"]):
        assert read_cell(write_cell(values)) == values


@pytest.mark.parametrize("name", NAMES)
def test_records_of_one_identifier_stay_apart(tmp_path: Path, name: str) -> None:
    path = put(tmp_path, standards()[name], list(SAME))
    assert get(standards()[name], path) == SAME


def test_one_file_stands_for_its_folder(tmp_path: Path) -> None:
    path = put(tmp_path, flat.STANDARDS[1], list(SAME))
    read = [(each.name, len(get(flat.STANDARDS[1], each))) for each in sorted(path.parent.iterdir())]
    assert [(name, count) for name, count in read if count] == [("assets.csv", 3)]
    assert len(read) == len(SHEETS) and get(flat.STANDARDS[1], path.parent) == SAME


def test_every_cell_of_a_workbook_is_text(tmp_path: Path) -> None:
    """Outside check: openpyxl reads what xlsxwriter wrote."""
    asset = Asset(identifiers=(Identifier("0117", source="=HYPERLINK(1)"),), titles=(Title("1e5"), Title("3/4")))
    book = openpyxl.load_workbook(put(tmp_path, flat.STANDARDS[0], [asset]))
    cells = [cell for row in book["assets"].iter_rows() for cell in row if cell.value is not None]
    assert {cell.data_type for cell in cells} == {"s"} and {cell.number_format for cell in cells} == {"@"}
    assert [cell.value for cell in cells][6:] == ["0117", "0117", r"\=HYPERLINK(1)", "1e5 | 3/4"]


def test_no_csv_cell_begins_a_formula(tmp_path: Path) -> None:
    asset = Asset(identifiers=(Identifier("@a", source="+b"),), titles=(Title("=1+1"), Title("-2")))
    text = put(tmp_path, flat.STANDARDS[1], [asset]).read_text()
    cells = [cell for row in csv.reader(io.StringIO(text)) for cell in row]
    assert r"\@a" in cells and not [cell for cell in cells if cell.startswith(("=", "+", "-", "@"))]


BROKEN = {
    "unknown column": ("assets.csv", "key,of,as,titel\na,,,x\n", "FT02", 2),
    "a column twice": ("assets.csv", "key,of,as,title,title\na,,,x,y\n", "FT02", 2),
    "beyond the heading": ("assets.csv", "key,of,as,title\na,,,x,y\n", "FT02", 2),
    "of nothing": ("instantiations.csv", "key,of,as,identifier\ni,zz,instantiation,1\n", "FT03", 2),
    "as nothing": ("instantiations.csv", "key,of,as,identifier\ni,a,copy,1\n", "FT03", 2),
    "in a circle": ("assets.csv", "key,of,as,title\na,,,x\nb,c,part,y\nc,b,part,z\n", "FT03", 3),
    "uneven": ("assets.csv", "key,of,as,title,title@titleType\na,,,x,b | c\n", "FT04", 2),
    "two where one may be": ("instantiations.csv", "key,of,as,location\ni,,,x | y\n", "FT04", 2),
    "a key twice": ("assets.csv", "key,of,as,title\na,,,x\na,,,y\n", "FT05", 3),
}


@pytest.mark.parametrize(("file", "text", "code", "line"), BROKEN.values(), ids=BROKEN.keys())
def test_what_does_not_join_is_said(tmp_path: Path, file: str, text: str, code: str, line: int) -> None:
    (tmp_path / "assets.csv").write_text("key,of,as,title\na,,,x\n")
    (tmp_path / file).write_text(text)
    found = [item for item in get(flat.STANDARDS[1], tmp_path) if isinstance(item, Finding)]
    assert (found[0].code, found[0].origin.line) == (code, line)


STRANGE = {"rights (checked)": "rights", "Agents 2": "agents", "Instantiation": "instantiations", "asets": "assets"}


@pytest.mark.parametrize(("name", "meant"), STRANGE.items())
def test_rows_on_a_sheet_that_the_layout_does_not_have_are_told(tmp_path: Path, name: str, meant: str) -> None:
    path = put(tmp_path, flat.STANDARDS[0], [maximal(Asset)])
    book = openpyxl.load_workbook(path)
    book[meant].title = name
    book.save(path)
    found = {item.code: item for item in get(flat.STANDARDS[0], path) if isinstance(item, Finding)}
    assert (found["FT06"].severity, found["FT06"].value) == (Severity.ERROR, name)
    assert found["FT06"].suggestions == (meant,) and found["FT06"].origin.cell == name
    assert found["FT07"].value == meant


def test_an_empty_sheet_of_the_house_is_only_noted(tmp_path: Path) -> None:
    path = put(tmp_path, flat.STANDARDS[0], list(SAME))
    book = openpyxl.load_workbook(path)
    book.create_sheet("Sheet1")
    book.save(path)
    *read, found = get(flat.STANDARDS[0], path)
    assert read == SAME and isinstance(found, Finding)
    assert (found.code, found.severity, found.suggestions) == ("FT06", Severity.NOTE, ())


@pytest.mark.parametrize("name", ["rights-checked.csv", "Rights.csv", "RIGHTS 2.CSV"])
def test_rows_in_a_file_that_the_layout_does_not_have_are_told(tmp_path: Path, name: str) -> None:
    path = put(tmp_path, flat.STANDARDS[1], [maximal(Asset)])
    (path.parent / "rights.csv").rename(path.parent / name)
    (path.parent / "notes.csv").write_text("Tape,Note\n0117,creased\n")
    for place in (path, path.parent):
        found = [item for item in get(flat.STANDARDS[1], place) if isinstance(item, Finding)]
        told = [(each.code, each.suggestions) for each in found]
        assert ("FT06", ("rights.csv",)) in told and told[-1] == ("FT07", ()) and len(told) == 2
        assert Path(found[0].origin.file).name == name
    assert flat.STANDARDS[1].recognise(b"key,of,as,rights-link", name)
    assert get(flat.STANDARDS[1], path.parent / name) == []


def test_a_renamed_file_alone_is_told(tmp_path: Path) -> None:
    (tmp_path / "tapes.csv").write_text("key,of,as,title\na,,,x\n")
    found = get(flat.STANDARDS[1], tmp_path / "tapes.csv")
    assert [each.code for each in found if isinstance(each, Finding)] == ["FT06", "FT07"]


LINES = {
    "unknown field": b'{"asset":{"titels":[]}}',
    "wrong type": b'{"asset":{"titles":"x"}}',
    "no JSON": b"{",
    "neither": b"{}",
    "both": b'{"asset":{},"instantiation":{}}',
    "too deep": b'{"asset":' + b'{"parts":[' * 50_000,
    "a control character": b'{"asset":{"titles":[{"text":"\\u0001"}]}}',
    "damaged foreign XML": b'{"asset":{"extensions":[{"embedded":[{"xml":"<a>"}]}]}}',
    "a name twice": b'{"asset":{"titles":[{"text":"a"}],"titles":[{"text":"b"}]}}',
    "a name twice, deep": b'{"asset":{"titles":[{"text":"a","text":"b"}]}}',
    "a name twice, written otherwise": b'{"asset":{"titles":[{"text":"a","t\\u0065xt":"b"}]}}',
    "asset twice": b'{"asset":{"version":"1"},"asset":{"version":"2"}}',
    "no UTF-8": b'{"asset":{"version":"\xff"}}',
}


@pytest.mark.parametrize("line", LINES.values(), ids=LINES.keys())
def test_a_bad_line_stops_one_line(tmp_path: Path, line: bytes) -> None:
    good = jsonl.encode(SAME[0])
    (tmp_path / "a.jsonl").write_bytes(good + line + b"\n" + good)
    first, found, last = get(jsonl.STANDARD, tmp_path / "a.jsonl")
    assert first == last == SAME[0]
    assert isinstance(found, Finding) and (found.code, found.origin.line) == ("FT01", 2)


def test_the_order_of_names_and_white_space_are_free(tmp_path: Path) -> None:
    (tmp_path / "a.jsonl").write_bytes(b' { "asset" : {"titles":[{"titleType":"Series","text":"\\u0061"}] } } \r\n')
    assert get(jsonl.STANDARD, tmp_path / "a.jsonl") == [Asset(titles=(Title("a", title_type="Series"),))]


STARTS = {
    "a mark": (b"\xef\xbb\xbf", "a.jsonl", []),
    "a mark, another name": (b"\xef\xbb\xbf", "a.json", []),
    "a bad line": (b"garbage\n", "a.jsonl", [1]),
    "a bad line, another name": (b"garbage\n", "a.txt", [1]),
    "a long bad line": (b"x" * 5000 + b"\n", "a.jsonl", [1]),
    "empty lines": (b"\n \n", "a.jsonl", []),
}


@pytest.mark.parametrize(("start", "name", "bad"), STARTS.values(), ids=STARTS.keys())
def test_the_start_of_a_file_says_nothing_of_the_rest(tmp_path: Path, start: bytes, name: str, bad: list[int]) -> None:
    (tmp_path / name).write_bytes(start + jsonl.encode(SAME[0]))
    *found, record = read_documents(tmp_path / name, ReadOptions())
    assert record == SAME[0]
    assert [(each.code, each.origin.line) for each in found if isinstance(each, Finding)] == [("FT01", n) for n in bad]


def test_evidence_goes_out_only_when_asked_for() -> None:
    title = Title("Tideline", evidence=Evidence("tideline, phone Ruth 01632 960017"))
    asset = Asset(instantiations=(Instantiation(),), titles=(title,))
    assert b"phone" not in jsonl.encode(asset)
    assert b"phone" in jsonl.encode(asset, evidence=True)


@pytest.mark.parametrize("content", [b"", b"PK\x03\x04 no workbook", b"key,of,as"], ids=["empty", "damaged", "text"])
def test_what_is_no_workbook_is_refused(tmp_path: Path, content: bytes) -> None:
    path = tmp_path / "a.flat.xlsx"
    path.write_bytes(content)
    with pytest.raises(UnreadableInput, match="is not a workbook"):
        get(flat.STANDARDS[0], path)

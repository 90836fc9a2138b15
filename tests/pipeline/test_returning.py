"""Records back into the sheet of a mapping: files, sheets, looks, and the sample there and back."""

from __future__ import annotations

import csv
from collections import Counter
from contextlib import ExitStack
from pathlib import Path

import openpyxl
import pytest

from crosswalk.errors import CannotContinue
from crosswalk.ledger import Ledger
from crosswalk.mapping.store import RowStore
from crosswalk.pipeline.converting import convert, from_rows
from crosswalk.pipeline.gather import gather
from crosswalk.pipeline.returning import NOT_RETURNED, Form, return_to_sheet
from crosswalk.pipeline.run import FindingLog, Options, Run
from crosswalk.records import Asset
from crosswalk.resources import mappings_dir
from crosswalk.sheets import open_sheets
from crosswalk.standards.base import WriteOptions, standards
from tests.pipeline.merrow import HOME

DECISIONS = str(HOME / "decisions.csv")
LIBRARY, RADIO = HOME / "tape-library.xlsx", HOME / "radio-ferry-hour.csv"
KEY = '''[[constant]]                          # the identifier of the column, taken apart again on the way back
to = "asset.identifier"
value = "{Series}[-{Prog No}][-{Story}]"
source = "Merrow programme log"
'''
SMALL = """
sheets = ["Tapes"]
row = "carrier"
asset-key = ["Tape"]
[[column]]
heading = ["Tape No.", "Tape"]
to = "instantiation.identifier"
source = "Shelf"
[[column]]
heading = "Title"
to = "asset.title"
[[column]]
heading = "Format"
to = "instantiation.physical"
read = "carrier"
[[constant]]
to = "asset.identifier"
value = "X-{Tape}"
source = "Log"
[[constant]]
to = "asset.description"
value = "None yet"
[[constant]]
to = "instantiation.location"
value = "The store"
[[mark]]
fill = "FFFF00"
to = "instantiation.annotation"
value = "digitised"
[[mark]]
struck = true
to = "instantiation.annotation"
value = "gone"
[[mark]]
note = true
to = "instantiation.annotation"
type = "Note"
"""
TAPES = [["Tape", "Title", "Format"], ["0117", "=1+1", "Umatic"], ["0118", "@ the quay", "Betacam"]]


def records(source: Path, mapping: Path) -> list[Asset]:
    """All that the sheets say, whether or not it would make a valid document."""
    with ExitStack() as stack:
        store = RowStore()
        stack.callback(store.close)
        run = Run(Options(out=Path("nowhere"), decisions=DECISIONS), Ledger(), FindingLog())
        sources = gather([(source, [mapping])], store, run)
        return [one.asset for one in from_rows(sources, store.groups())]


def lines(assets: list[Asset], path: Path, evidence: bool = False) -> Path:
    write = standards()["jsonl"].write
    assert write is not None
    path.write_bytes(b"".join(one.content for one in write(assets, WriteOptions(evidence=evidence))))
    return path


def rows(path: Path) -> list[list[str]]:
    return [row.texts for sheet in open_sheets(path) for row in sheet.rows()]


def left(out: Path) -> list[dict[str, str]]:
    with (out / NOT_RETURNED).open(encoding="utf-8", newline="") as file:
        return list(csv.DictReader(file))


def small(folder: Path) -> tuple[Path, Path]:
    """A workbook with looks, as PBCore, and its mapping."""
    from openpyxl.comments import Comment
    from openpyxl.styles import Font, PatternFill

    book = openpyxl.Workbook()
    sheet = book.worksheets[0]
    sheet.title = "Tapes"
    for number, row in enumerate(TAPES, 1):
        for index, text in enumerate(row, 1):
            sheet.cell(number, index, text).data_type = "s"
    sheet["A2"].fill = PatternFill("solid", fgColor="FFFFFF00")
    sheet["A3"].font = Font(strike=True)
    sheet["B3"].comment = Comment("see the box", "A")
    book.save(folder / "tapes.xlsx")
    mapping = folder / "tapes.toml"
    mapping.write_text(SMALL, encoding="utf-8")
    outcome = convert([folder / "tapes.xlsx"], Options(out=folder / "pbcore", mappings=(str(mapping),)))
    return folder / "pbcore" / outcome.documents[0], mapping


def test_sheet_to_pbcore_to_workbook_keeps_cells_and_looks(tmp_path: Path) -> None:
    document, mapping = small(tmp_path)
    outcome = return_to_sheet([document], mapping, Options(out=tmp_path / "back"))
    assert (outcome.documents, outcome.records, outcome.delivered) == (["tapes.xlsx"], 2, 2)
    assert left(tmp_path / "back") == []
    sheet = openpyxl.load_workbook(tmp_path / "back" / "tapes.xlsx")["Tapes"]
    found = [[cell.value for cell in row] for row in sheet.iter_rows()]
    assert found == [["Tape No.", "Title", "Format"], ["0117", "=1+1", "U-matic"], ["0118", "@ the quay", "Betacam"]]
    assert {cell.data_type for row in sheet.iter_rows() for cell in row} == {"s"}
    assert sheet["A2"].fill.fgColor.rgb == "FFFFFF00"
    assert sheet["A3"].font.strike
    assert sheet["A3"].comment is not None and sheet["A3"].comment.text == "see the box"
    assert records(tmp_path / "back" / "tapes.xlsx", mapping) == records(tmp_path / "tapes.xlsx", mapping)


def test_a_delimited_file_has_no_looks_and_says_so(tmp_path: Path) -> None:
    document, mapping = small(tmp_path)
    return_to_sheet([document], mapping, Options(out=tmp_path / "back"), Form(suffix=".csv"))
    text = (tmp_path / "back" / "tapes.csv").read_bytes()
    assert text == b"Tape No.,Title,Format\r\n0117,=1+1,U-matic\r\n0118,@ the quay,Betacam\r\n"
    assert [one["value"] for one in left(tmp_path / "back")] == ["fill FFFF00", "struck out", "see the box"]


def test_the_same_records_give_the_same_bytes(tmp_path: Path) -> None:
    document, mapping = small(tmp_path)
    for name in ("one", "two"):
        return_to_sheet([document], mapping, Options(out=tmp_path / name))
    assert (tmp_path / "one" / "tapes.xlsx").read_bytes() == (tmp_path / "two" / "tapes.xlsx").read_bytes()


def test_nothing_is_put_in_place_where_an_input_cannot_be_read(tmp_path: Path) -> None:
    document, mapping = small(tmp_path)
    broken = tmp_path / "broken.xml"
    broken.write_bytes(document.read_bytes()[:400])
    with pytest.raises(CannotContinue):
        return_to_sheet([broken], mapping, Options(out=tmp_path / "back"))
    assert not (tmp_path / "back").exists()


@pytest.mark.parametrize("header", ["header-row = 3\n", "header-row = 2\nheader-rows = 2\n"], ids=["third", "two rows"])
@pytest.mark.parametrize("suffix", [".xlsx", ".csv"])
def test_the_header_stands_where_the_mapping_looks_for_it(tmp_path: Path, header: str, suffix: str) -> None:
    document, mapping = small(tmp_path)
    first = records(tmp_path / "tapes.xlsx", mapping)
    mapping.write_text(header + SMALL.split("[[mark]]")[0], encoding="utf-8")
    return_to_sheet([document], mapping, Options(out=tmp_path / "back"), Form(suffix=suffix))
    again = records(tmp_path / "back" / f"tapes{suffix}", mapping)
    assert [one.titles for one in again] == [one.titles for one in first]
    assert [one.identifiers for one in again] == [one.identifiers for one in first]


# What the sample loses, by field: a month of 1901 to 2012 in EDTF also reads as a span of years, so that the date is
# not written where the column would doubt it; the log has dates that say two things. The list only shrinks.
LOST = {
    # C60 and C90 of cassettes; "viewing copy" and the like beside the published Copy
    "merrow-radio": (RADIO, {"instantiation.date": 2, "instantiation.annotation": 25}),
    "merrow-video": (LIBRARY, {"instantiation.date": 3, "instantiation.annotation": 26}),
    "merrow-programmes": (LIBRARY, {"asset.date": 4}),
}
NOT_BACK = {  # columns whose cells stay behind, and why
    "merrow-radio": set[str](),
    "merrow-video": {"Box label", "Shelf check 2009"},  # set aside by the mapping
    "merrow-programmes": set[str](),
}


@pytest.mark.parametrize("name", LOST)
def test_the_sample_comes_back(tmp_path: Path, name: str) -> None:
    source, expected = LOST[name]
    mapping = tmp_path / f"{name}.toml"
    shipped = (mappings_dir() / "house" / mapping.name).read_text(encoding="utf-8")
    mapping.write_text(shipped, encoding="utf-8")
    for file in (mappings_dir() / "house").glob("*-terms.toml"):
        (tmp_path / file.name).write_bytes(file.read_bytes())
    first = records(source, mapping)
    options = Options(out=tmp_path / "one", decisions=DECISIONS)
    outcome = return_to_sheet([lines(first, tmp_path / "one.jsonl")], mapping, options)
    assert Counter(one["field"] for one in left(tmp_path / "one")) == expected
    assert outcome.delivered == len(first)
    back = tmp_path / "one" / f"{name}.xlsx"
    headings = [heading.text for heading in open_sheets(back)[0].headings]
    filled = {index for row in rows(back) for index, text in enumerate(row) if text}
    empty = {text for index, text in enumerate(headings) if index not in filled}
    assert empty == NOT_BACK[name]
    again = records(back, mapping)
    told = {one["record"] for one in left(tmp_path / "one")}
    differing = {a.identifiers[0].text for a, b in zip(first, again, strict=True) if a != b}
    assert differing == told
    return_to_sheet([lines(again, tmp_path / "two.jsonl")], mapping, Options(out=tmp_path / "two", decisions=DECISIONS))
    assert rows(tmp_path / "two" / f"{name}.xlsx") == rows(back)


def test_a_mapping_whose_key_is_carried_nowhere_says_so(tmp_path: Path) -> None:
    shipped = (mappings_dir() / "house" / "merrow-programmes.toml").read_text(encoding="utf-8")
    assert KEY in shipped
    mapping = tmp_path / "keyless.toml"
    mapping.write_text(shipped.replace(KEY, "").replace('vocabularies = ["merrow-terms.toml"]', ""), encoding="utf-8")
    first = records(LIBRARY, mapping)
    document = lines(first, tmp_path / "one.jsonl")
    return_to_sheet([document], str(mapping), Options(out=tmp_path / "one", decisions=DECISIONS))
    keyless = [one for one in left(tmp_path / "one") if one["field"] == "asset"]
    assert len(keyless) == len(first)
    assert "Series, Prog No, Story" in keyless[0]["reason"]


def test_original_wordings_come_back_to_their_sheets(tmp_path: Path) -> None:
    mapping = mappings_dir() / "house" / "merrow-video.toml"
    first = records(LIBRARY, mapping)
    document = lines(first, tmp_path / "one.jsonl", evidence=True)
    options = Options(out=tmp_path / "one", decisions=DECISIONS)
    return_to_sheet([document], "merrow-video", options, Form(original=True))
    assert left(tmp_path / "one") == []
    back = tmp_path / "one" / "merrow-video.xlsx"
    assert sorted(openpyxl.load_workbook(back).sheetnames) == [f"Video {year}s" for year in range(1960, 2001, 10)]
    again = {one.identifiers[0].text: one for one in records(back, mapping)}
    for asset in first:
        copies = again[asset.identifiers[0].text].instantiations
        assert set(map(repr_of, copies)) == set(map(repr_of, asset.instantiations))


def repr_of(node: object) -> str:
    """A carrier without its evidence."""
    from crosswalk.standards.jsonl import encode

    return encode(node).decode()  # type: ignore[arg-type]

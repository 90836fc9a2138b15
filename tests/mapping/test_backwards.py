"""A mapping run backwards: a record goes back into the very cells, and what cannot is listed."""

from __future__ import annotations

import tempfile
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from crosswalk.mapping.backwards import Backwards, Returned, returned
from crosswalk.mapping.backwards_templates import solutions
from crosswalk.mapping.loading import load_mapping
from crosswalk.mapping.templates import Template
from crosswalk.records import Asset, Instantiation, Text, Title
from tests.mapping.make import Mapped, column, mapped, sheet, toml
from tests.search import examples

TAPE = column("Tape", 'to = "instantiation.identifier"\nsource = "Shelf"')
KEYED = """
asset-key = ["Series", "No"]
row = "carrier"
blank = ["n/a"]
ditto = ["ditto"]
[[constant]]
to = "asset.identifier"
value = "{Series}[-{No}]"
source = "Log"
[[constant]]
to = "instantiation.location"
value = "The store"
"""
PAIRS = '\n[[column]]\nheading = "Name *"\nto = "asset.contributor"\nrole-from = "Role *"\n'
LOSSLESS = (
    KEYED + TAPE + PAIRS
    + column("Format", 'to = "instantiation.physical"\nread = "carrier"')
    + column("Length", 'to = "instantiation.duration"\nread = "duration"')
    + column("Subjects", 'to = "asset.subject"\nsplit = ";"')
    + column("Note", 'to = "instantiation.annotation"\ntype = "Note"')
    + column("Check", 'aside = "superseded"')
)  # fmt: skip
HEADER = ["Tape", "Series", "No", "Format", "Length", "Subjects", "Note", "Name 1", "Role 1", "Name 2", "Role 2"]


def back(folder: Path, mapping: str, rows: list[list[str]], original: bool = False) -> list[Returned]:
    found = mapped(folder, mapping, rows)
    way = Backwards(load_mapping(folder / "mapping.toml"), original=original)
    return [way.returned(asset) for asset in found.assets]


def cells(found: list[Returned]) -> list[dict[str, str]]:
    return [{name: text for name, text in row.cells.items() if text} for one in found for row in one.rows]


CASES = {
    "plain values, key columns, constants": (
        ["Tape", "Series", "No"], ["0117", "TDLN", "0423"], {"Tape": "0117", "Series": "TDLN", "No": "0423"},
    ),
    "a bracket that fell away": (["Tape", "Series", "No"], ["0117", "TDLN", ""], {"Tape": "0117", "Series": "TDLN"}),
    "the normalised form": (
        ["Series", "Format", "Length"], ["TDLN", "Umatic", "58 min 30 s"],
        {"Series": "TDLN", "Format": "U-matic", "Length": "00:58:30"},
    ),
    "split values are joined": (
        ["Series", "Subjects"], ["TDLN", "salt marsh;waders"], {"Series": "TDLN", "Subjects": "salt marsh; waders"},
    ),
    "pairs are spread": (
        ["Series", "Name 1", "Role 1", "Name 2", "Role 2"], ["TDLN", "Quill, Perpetua", "Host", "Ama Thorne", ""],
        {"Series": "TDLN", "Name 1": "Quill, Perpetua", "Role 1": "Host", "Name 2": "Ama Thorne"},
    ),
    "what is set aside stays empty": (
        ["Series", "Tape", "Check"], ["TDLN", "7", "ok"], {"Series": "TDLN", "Tape": "7"},
    ),
    "a text like a formula": (["Series", "Note"], ["TDLN", "=1+1"], {"Series": "TDLN", "Note": "=1+1"}),
}  # fmt: skip


@pytest.mark.parametrize(("header", "row", "expected"), CASES.values(), ids=CASES)
def test_a_row_comes_back(tmp_path: Path, header: list[str], row: list[str], expected: dict[str, str]) -> None:
    found = back(tmp_path, LOSSLESS, [header, row])
    assert cells(found) == [expected]
    assert [one.left for one in found] == [[]]


def test_the_original_wording_comes_back_where_the_record_knows_it(tmp_path: Path) -> None:
    rows = [["Series", "Format", "Length", "Tape"], ["TDLN", "3/4 inch Umatic", "58 min 30 s", "7"]]
    (row,) = cells(back(tmp_path, LOSSLESS, rows, original=True))
    assert row["Format"] == "3/4 inch Umatic"
    assert row["Length"] == "58 min 30 s"


def test_rows_of_one_asset_repeat_what_is_said_of_it(tmp_path: Path) -> None:
    rows = [["Tape", "Series", "No", "Subjects"], ["1", "TDLN", "0423", "crabs"], ["2", "TDLN", "0423", ""]]
    assert cells(back(tmp_path, LOSSLESS, rows)) == [
        {"Tape": tape, "Series": "TDLN", "No": "0423", "Subjects": "crabs"} for tape in ("1", "2")
    ]


LEFT = {
    "no column": (Asset(titles=(Title("Crabs"),)), "", ("asset.title", "Crabs", "no column of the mapping carries it")),
    "an attribute that no column has": (
        Asset(subjects=(Title("crabs", ref="https://example.org/c"),)),  # type: ignore[arg-type]
        column("Subjects", 'to = "asset.subject"'),
        ("asset.subject@ref", "https://example.org/c", '"Subjects" takes the value alone'),
    ),
    "a type that no column states": (
        Asset(titles=(Title("Crabs", title_type="Working"),)), column("Title", 'to = "asset.title"'),
        ("asset.title", "Crabs", 'no column takes it as it is (titleType "Working")'),
    ),
    "one value too many": (
        Asset(titles=(Title("Crabs"), Title("More crabs"))), column("Title", 'to = "asset.title"'),
        ("asset.title", "More crabs", 'column "Title" holds another value'),
    ),
    "the separator in a value": (
        Asset(titles=(Title("Crabs; a study"),)), column("Title", 'to = "asset.title"\nsplit = ";"'),
        ("asset.title", "Crabs; a study", 'column "Title" would read it as "Crabs; a study"'),
    ),
    "a term that the reader does not know": (
        Asset(instantiations=(Instantiation(physical=Text("Zither")),)),
        column("Format", 'to = "instantiation.physical"\nread = "carrier"'),
        ("instantiation.physical", "Zither", 'column "Format" would not carry it: could not be read'),
    ),
    "a constant says otherwise": (
        Asset(instantiations=(Instantiation(location=Text("Attic"), annotations=()),)),
        TAPE + '\n[[constant]]\nto = "instantiation.location"\nvalue = "The store"\n',
        ("asset.instantiation", "Attic", 'the mapping states instantiation.location "The store" of every row'),
    ),
}  # fmt: skip


@pytest.mark.parametrize(("record", "columns", "expected"), LEFT.values(), ids=LEFT)
def test_what_cannot_go_back_is_listed(
    tmp_path: Path, record: Asset, columns: str, expected: tuple[str, str, str]
) -> None:
    path = toml(tmp_path, 'row = "carrier"\n' + TAPE + columns.replace(TAPE, ""))
    field, value, why = expected
    left = [one for one in returned(record, load_mapping(path)).left if one.field == field]
    assert [one.value for one in left] == [value]
    assert left[0].why.startswith(why)


def test_blank_and_ditto_texts_are_never_written(tmp_path: Path) -> None:
    path = toml(tmp_path, KEYED + column("Title", 'to = "asset.title"'))
    for text in ("n/a", "Ditto"):
        found = returned(Asset(titles=(Title(text),)), load_mapping(path))
        assert not found.rows
        assert found.left[0].value == text


def test_a_column_beside_may_carry_something_of_the_asset(tmp_path: Path) -> None:
    columns = column("Kind", 'to = "asset.type"') + column("Date", 'to = "instantiation.date"\ntype-from = "Kind"')
    found = back(tmp_path, KEYED + columns, [["Series", "Kind", "Date"], ["TDLN", "created", "1987"]])
    assert cells(found) == [{"Series": "TDLN", "Kind": "created", "Date": "1987"}]
    assert found[0].left == []


@pytest.mark.parametrize(
    ("template", "text", "expected"),
    [
        ("{A}[-{B}][-{C}]", "x-1-2", {"A": "x", "B": "1", "C": "2"}),
        ("{A}[-{B}]", "x", {"A": "x", "B": ""}),
        ("No {A} of {B}", "No 1 of 2", {"A": "1", "B": "2"}),
        ("{A}", "", None),
        ("{A}-{A}", "x-y", None),
    ],
    ids=["both brackets", "no bracket", "words between", "nothing", "one column twice"],
)
def test_templates_are_taken_apart(template: str, text: str, expected: dict[str, str] | None) -> None:
    assert next(solutions(Template.parse(template), text), None) == expected


WORDS = st.sampled_from(("", "salt marsh", "Café", "=1+1", "@x", 'say "so"', "<b>", "a,b", "00123", "two\nlines"))
NAMES = st.sampled_from(("", "Quill, Perpetua", "Ama Thorne", "Ivo Marsh"))
ROWS = st.lists(
    st.tuples(
        st.sampled_from(("Umatic", "U-matic", "Betacam", "", "D3")), st.sampled_from(("", "58:30", "1 hr", "28 min.")),
        st.lists(st.sampled_from(("crabs", "tides", "reeds")), unique=True, max_size=3), WORDS, NAMES,
        st.sampled_from(("", "Host", "Guest")), st.sampled_from(("TDLN", "HNDW", "=X")),
    ),
    min_size=1, max_size=6,
)  # fmt: skip


@examples(60)
@given(ROWS)
def test_a_mapping_without_loss_gives_equal_cells_and_a_second_trip_changes_nothing(
    rows: list[tuple[str, ...]],
) -> None:
    written = [
        [
            f"T{number}",
            series,
            f"{number:04}",
            form,
            length,
            "; ".join(subjects),
            note,
            name,
            role if name else "",
            "",
            "",
        ]
        for number, (form, length, subjects, note, name, role, series) in enumerate(rows, 1)
    ]
    with tempfile.TemporaryDirectory() as place:
        folder = Path(place)
        mapping = toml(folder, "header-row = 1\nheader-rows = 1\nminutes-first = true\n" + LOSSLESS)
        way = Backwards(load_mapping(mapping))
        first = _trip(sheet(folder, [HEADER, *written], "first.csv"), mapping, way)
        second = _trip(sheet(folder, [HEADER, *first], "second.csv"), mapping, way)
    assert second == first
    plain = {"Umatic": "U-matic", "58:30": "00:58:30", "1 hr": "01:00:00", "28 min.": "00:28:00"}
    assert first == [[plain.get(text, text) for text in row] for row in written]


def _trip(source: Path, mapping: Path, way: Backwards) -> list[list[str]]:
    found = [way.returned(asset) for asset in Mapped([source], [mapping]).assets]
    assert [one.left for one in found] == [[] for _ in found]
    return [[row.cells.get(heading, "") for heading in HEADER] for one in found for row in one.rows]


def test_the_header_is_in_the_order_of_the_mapping(tmp_path: Path) -> None:
    layout = Backwards(load_mapping(toml(tmp_path, PAIRS + TAPE))).layout
    assert layout.header({"Name *": 2}) == ["Name 1", "Role 1", "Name 2", "Role 2", "Tape"]

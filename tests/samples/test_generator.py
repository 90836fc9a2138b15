"""The demo scenario: made the same each time, as messy as promised, and true to what it says about itself."""

from __future__ import annotations

import ast
import csv
import datetime as dt
import json
import re
import subprocess
import sys
import zipfile
from collections import Counter
from collections.abc import Callable, Iterator
from functools import cache
from pathlib import Path
from typing import Any

import pytest
from edtf_validate.valid_edtf import is_valid
from openpyxl import load_workbook
from openpyxl.utils.datetime import from_excel
from timecode.timecode import Timecode

ROOT = Path(__file__).parents[2]
MERROW = ROOT / "samples" / "merrow"
VOCABULARIES = ROOT.parent / "shared" / "standards" / "pbcore-vocabularies.csv"
FILES = ["expected.json", "kestrel-manifest.csv", "radio-ferry-hour.csv", "rights-review.xlsx", "tape-library.xlsx"]
DECADES = [f"Video {decade}s" for decade in (1960, 1970, 1980, 1990, 2000)]
LIBRARY = MERROW / "tape-library.xlsx"
DATES = ("Rec'd", "Date", "Recorded", "Date recorded")
LENGTHS = ("Length", "Dur.", "Running time", "TRT")
FORMATS = ("Format", "Carrier type")


def run_generator(out: Path) -> None:
    subprocess.run([sys.executable, "-B", str(ROOT / "samples" / "make_merrow.py"), "--out", str(out)], check=True)


@pytest.fixture(scope="module")
def made(tmp_path_factory: pytest.TempPathFactory) -> Path:
    out = tmp_path_factory.mktemp("merrow")
    run_generator(out)
    return out


@cache
def expected() -> dict[str, Any]:
    result: dict[str, Any] = json.loads((MERROW / "expected.json").read_text(encoding="utf-8"))
    return result


@cache
def readme() -> str:
    return (ROOT / "samples" / "README.md").read_text(encoding="utf-8")


@cache
def book(name: str = "tape-library.xlsx", values: bool = True) -> Any:
    return load_workbook(MERROW / name, data_only=values)


@cache
def radio_rows() -> list[list[str]]:
    text = (MERROW / "radio-ferry-hour.csv").read_bytes().decode("cp1252")
    return list(csv.reader(text.splitlines(keepends=True), delimiter=";"))


@cache
def manifest_rows() -> list[list[str]]:
    with (MERROW / "kestrel-manifest.csv").open(encoding="utf-8", newline="") as file:
        return list(csv.reader(file))


def column_of(sheet: str, *headings: str) -> int:
    known: list[str] = expected()["sheets"][sheet]["headings"]
    return next(known.index(heading) + 1 for heading in headings if heading in known)


def carrier_cell(carrier: dict[str, Any], *headings: str) -> Any:
    sheet = carrier["sheet"]
    return book()[sheet].cell(carrier["row"], column_of(sheet, *headings))


def video_carriers() -> list[dict[str, Any]]:
    return [c for c in expected()["carriers"] if c["sheet"] in DECADES]


def texts(*headings: str) -> set[Any]:
    return {carrier_cell(c, *headings).value for c in video_carriers()}


def all_texts() -> Iterator[str]:
    for name in ("tape-library.xlsx", "rights-review.xlsx"):
        for sheet in book(name):
            for row in sheet.iter_rows():
                yield from (cell.value for cell in row if isinstance(cell.value, str))
                yield from (cell.comment.text for cell in row if cell.comment)
    yield from (value for row in [*radio_rows(), *manifest_rows()] for value in row)


# the same on each run


def parts(path: Path) -> dict[str, bytes]:
    """A workbook's parts unpacked: another build of zlib packs the same parts into other bytes."""
    with zipfile.ZipFile(path) as archive:
        return {name: archive.read(name) for name in archive.namelist()}


@pytest.mark.parametrize("name", FILES)
def test_generator_makes_what_is_committed(made: Path, name: str) -> None:
    assert sorted(path.name for path in made.iterdir()) == FILES
    if name.endswith(".xlsx"):
        assert parts(made / name) == parts(MERROW / name)
    else:
        assert (made / name).read_bytes() == (MERROW / name).read_bytes()


def test_two_runs_make_the_same_bytes(made: Path, tmp_path: Path) -> None:
    run_generator(tmp_path)
    assert [(tmp_path / n).read_bytes() for n in FILES] == [(made / n).read_bytes() for n in FILES]


def test_generator_does_not_import_the_package() -> None:
    sources = [ROOT / "samples" / "make_merrow.py", *(ROOT / "samples" / "generator").glob("*.py")]
    assert len(sources) > 10
    for source in sources:
        for node in ast.walk(ast.parse(source.read_text(encoding="utf-8"))):
            names = [alias.name for alias in node.names] if isinstance(node, ast.Import) else []
            names += [node.module or ""] if isinstance(node, ast.ImportFrom) else []
            assert not [name for name in names if name.split(".")[0] == "crosswalk"], source.name


@pytest.mark.parametrize("name", FILES)
def test_files_stay_small(name: str) -> None:
    assert (MERROW / name).stat().st_size < 400_000


# counts and identities


def test_enough_of_everything() -> None:
    assets, carriers = expected()["assets"], expected()["carriers"]
    assert len(carriers) >= 420
    assert len(assets) >= 160
    assert {a["level"] for a in assets.values()} == {"series", "episode", "story", "field recording"}
    years = [int(c["date"][:4]) for c in carriers if c["date"]]
    assert (min(years), max(years)) == (1961, 2012)
    shares = Counter(a["gate"] for a in assets.values())
    assert 0.45 < shares["open"] / len(assets) < 0.6


def test_no_two_assets_share_an_id() -> None:
    sheet = book()["Programmes"]
    ids = [row[0] for row in sheet.iter_rows(min_row=3, values_only=True)]
    programmes = [i for i in ids if i != "Entries"]
    assert len(programmes) == len(set(programmes)) == len(expected()["assets"])


def test_relations_point_somewhere_but_for_the_one_that_is_meant_not_to() -> None:
    assets = expected()["assets"]
    dangling = [k for k, a in assets.items() if a["part_of"] and a["part_of"] not in assets]
    assert dangling == [k for k, a in assets.items() if a["part_of"] and not a["part_of_exists"]] == ["HNDW-2302-9"]
    assert [k for k, a in assets.items() if a["level"] == "series"] == [
        k for k, a in assets.items() if not a["part_of"]
    ]


def test_titles_and_descriptions_are_not_repeated() -> None:
    rows = list(book()["Programmes"].iter_rows(min_row=3, values_only=True))[: len(expected()["assets"])]
    assert len({row[5] for row in rows}) == len(rows)
    assert len({row[6] for row in rows}) == len(rows)


def test_cells_are_counted_as_another_reader_counts_them() -> None:
    counted = {}
    for name in ("tape-library.xlsx", "rights-review.xlsx"):
        for sheet in book(name):
            counted[sheet.title] = sum(c.value is not None for row in sheet.iter_rows() for c in row)
    counted["radio-ferry-hour.csv"] = sum(value != "" for row in radio_rows() for value in row)
    counted["kestrel-manifest.csv"] = sum(value != "" for row in manifest_rows() for value in row)
    assert counted == {name: sum(sheet["cells"].values()) for name, sheet in expected()["sheets"].items()}


@pytest.mark.parametrize("sheet", sorted(expected()["sheets"]))
def test_readme_names_the_columns_in_their_order(sheet: str) -> None:
    grouped = sheet == "Video 1970s"  # its last two headings stand in the upper row
    headings = expected()["sheets"][sheet]["headings"][: -2 if grouped else None]
    row = next(line for line in readme().splitlines() if line.startswith("|") and sheet in line.split("|")[1])
    assert " · ".join(headings) in row.replace(" (hidden)", "")


# what the truth says, against what others publish or compute


def test_truth_dates_are_edtf() -> None:
    """Source: the EDTF specification (ISO 8601-2), as edtf-validate reads it."""
    dates = [c["date"] for c in expected()["carriers"]] + [a["date"] for a in expected()["assets"].values()]
    assert not [date for date in dates if date and not is_valid(date)]


def test_serials_are_the_days_that_openpyxl_makes_of_them() -> None:
    found = 0
    for carrier in video_carriers():
        value = carrier_cell(carrier, *DATES).value
        if isinstance(value, int) and value > 3000:
            found += 1
            day = from_excel(value)
            assert isinstance(day, dt.datetime)
            assert day.date().isoformat() == carrier["date"]
    assert found > 5


def test_drop_frame_lengths_are_those_of_the_timecode_library() -> None:
    found = 0
    for carrier in video_carriers():
        value = carrier_cell(carrier, *LENGTHS).value
        if isinstance(value, str) and ";" in value:
            found += 1
            frames = Timecode("29.97", value).frames - 1  # the library counts the first frame as 1
            assert carrier["duration_ms"] == round(frames * 1001 / 30), value
    assert found > 3


@pytest.mark.live
@pytest.mark.skipif(not VOCABULARIES.exists(), reason="the published vocabularies are not beside the checkout")
@pytest.mark.parametrize(
    ("vocabulary", "terms"),
    [
        ("instantiationphysical", lambda e: {(c["physical"] or "VHS").split(": ")[0] for c in e["carriers"]}),
        ("instantiationgenerations", lambda e: {c["generation"] for c in e["carriers"]}),
        ("pbcoreassettype", lambda e: {a["asset_type"] for a in e["assets"].values()}),
        ("creatorrole", lambda e: {p["role"] for a in e["assets"].values() for p in a["contributors"]}),
        ("datetype", lambda e: {a["date_type"] for a in e["assets"].values() if a["date_type"]}),
    ],
    ids=["physical formats", "generations", "asset types", "roles", "date types"],
)
def test_truth_uses_published_terms(vocabulary: str, terms: Callable[[dict[str, Any]], set[str]]) -> None:
    """Source: the PBCore vocabularies as published."""
    with VOCABULARIES.open(encoding="utf-8", newline="") as file:
        published = {row["term"] for row in csv.DictReader(file) if row["vocabulary"].startswith(vocabulary)}
    assert terms(expected())
    assert terms(expected()) <= published


# every kind of mess


@pytest.mark.parametrize("text", ["9/87", "c. 1969", "Spring 1990", "3.4.87", "[1962?]", "31.4.87"])
def test_dates_as_people_write_them(text: str) -> None:
    assert text in texts(*DATES)


@pytest.mark.parametrize("text", ["58:30", "1 hr", "2x60", "00:58:30;12", "1:75"])
def test_lengths_as_people_write_them(text: str) -> None:
    assert text in texts(*LENGTHS)


@pytest.mark.parametrize(
    "text",
    [
        '3/4"',
        "Umatic SP",
        "BetaSP",
        "digibeta",
        '1" C',
        '2" quad',
        "D3",
        "HDCAM",
        "XDCAM",
        "VHS",
        "DVD",
        "MiniDV",
        "16mm",
        "Beta",
    ],
)
def test_video_formats_as_people_write_them(text: str) -> None:
    assert text in texts(*FORMATS)


@pytest.mark.parametrize("text", ["1/4 reel", "DAT", "CD", "audio cassette", "wire recording"])
def test_radio_formats_as_people_write_them(text: str) -> None:
    assert text in {row[5] for row in radio_rows()}


def test_title_blocks_stand_above_the_header() -> None:
    for sheet in [*DECADES, "Programmes"]:
        truth = expected()["sheets"][sheet]
        assert truth["header_rows"][0] > 1
        assert book()[sheet]["A1"].value
        assert truth["cells"]["title block"] > 0


def test_header_in_two_rows_with_merged_cells() -> None:
    sheet = book()["Video 1970s"]
    assert expected()["sheets"]["Video 1970s"]["header_rows"] == [4, 5]
    merged = {str(cells) for cells in sheet.merged_cells.ranges}
    assert {"A4:C4", "D4:G4", "H4:I4", "J4:J5", "K4:K5"} < merged
    assert [t["where"] for t in expected()["troubles"] if t["kind"] == "merged cells"] == ["Video 1970s!J18"]
    assert "J18:J20" in merged


def test_columns_drift_from_sheet_to_sheet() -> None:
    headings = [tuple(expected()["sheets"][sheet]["headings"]) for sheet in DECADES]
    assert len(set(headings)) == len(DECADES)
    for sheet, row in zip(DECADES, headings, strict=True):
        written = [
            book()[sheet].cell(r, c).value for r in expected()["sheets"][sheet]["header_rows"] for c in range(1, 16)
        ]
        assert set(row) <= set(written)


@pytest.mark.parametrize(("sheet", "ditto"), [("Video 1960s", '"'), ("Video 1970s", "ditto"), ("Video 1990s", "ditto")])
def test_ditto_marks(sheet: str, ditto: str) -> None:
    assert ditto in {carrier_cell(c, "Series").value for c in video_carriers() if c["sheet"] == sheet}


def test_yellow_means_digitised_and_strike_out_means_gone() -> None:
    styled = book(values=False)
    for carrier in video_carriers():
        cell = styled[carrier["sheet"]].cell(carrier["row"], 1)
        assert (cell.fill.fgColor.rgb == "FFFFFF00") == carrier["digitised"]
        assert bool(cell.font.strike) == carrier["gone"]
    assert Counter(c["digitised"] for c in video_carriers())[True] > 60
    assert Counter(c["gone"] for c in video_carriers())[True] > 5


def test_notes_hidden_rows_and_a_hidden_column() -> None:
    library = book(values=False)
    notes = [t for t in expected()["troubles"] if t["kind"] == "cell note"]
    assert len(notes) > 5
    for note in notes:
        sheet, cell = note["where"].split("!")
        assert library[sheet][cell].comment.text == note["find"]
    assert library["Video 1960s"].row_dimensions[11].hidden
    assert library["Video 1980s"].column_dimensions["B"].hidden


def test_totals_row_formulas_and_error_cell() -> None:
    stored, formulas = book(), book(values=False)
    for sheet in DECADES:
        last = stored[sheet].max_row
        assert str(stored[sheet].cell(last, 1).value).lower().startswith(("total", "tapes in all"))
        assert formulas[sheet].cell(last, 2).value.startswith("=COUNTA(")
        assert stored[sheet].cell(last, 2).value == sum(c["sheet"] == sheet for c in video_carriers())
    unstored = [place for sheet in expected()["sheets"].values() for place in sheet["formulas_without_value"]]
    assert len(unstored) == 1
    sheet, cell = unstored[0].split("!")
    assert formulas[sheet][cell].value.startswith("=")
    assert stored[sheet][cell].value is None
    assert "#REF!" in texts("Location")


def test_a_leading_zero_was_eaten() -> None:
    eaten = [c for c in video_carriers() if carrier_cell(c, "Prog No", "Programme no.", "Prog").value == 423]
    assert {c["asset"][:9] for c in eaten} == {"TDLN-0423"}


def test_names_stand_both_ways_round() -> None:
    column = column_of("Programmes", "Contributor 1")
    names = [row[column - 1] for row in book()["Programmes"].iter_rows(min_row=3, values_only=True)]
    assert {"Quill, Perpetua", "Perpetua Quill"} <= set(names)


def test_radio_is_windows_1252() -> None:
    data = (MERROW / "radio-ferry-hour.csv").read_bytes()
    with pytest.raises(UnicodeDecodeError):
        data.decode("utf-8")
    assert {"é", "’", "“", "–"} <= set(data.decode("cp1252"))


def test_two_tapes_share_a_number() -> None:
    numbers = Counter(c["number"] for c in expected()["carriers"])
    assert [n for n, times in numbers.items() if times > 1] == ["2037"]
    assert len({c["asset"] for c in expected()["carriers"] if c["number"] == "2037"}) == 2


def test_a_dat_of_1969_and_an_analogue_tape_that_claims_to_be_digital() -> None:
    assert [row[0] for row in radio_rows() if row[5] == "DAT" and row[7] == "1969"] == ["R0019"]
    claims = [c for c in video_carriers() if c["sheet"] == "Video 1990s" and carrier_cell(c, "Digital?").value]
    assert [c["physical"] for c in claims if c["physical"] in ("Betacam", "U-matic", "VHS")] == ["Betacam"]


def test_private_particulars_are_invented_and_listed() -> None:
    places = [t["where"] for t in expected()["troubles"] if t["kind"] in ("telephone number", "home address")]
    assert len(places) == 5
    for place in places:
        _, row, column = place.split(":")
        assert re.search(r"555-01\d\d|Ropewalk Lane", radio_rows()[int(row) - 1][int(column) - 1])


def test_no_telephone_number_could_be_real() -> None:
    seen = [number for text in all_texts() for number in re.findall(r"(?<![\w-])\d{3}[-. ]\d{4}(?![\w-])", text)]
    assert len(seen) == 4
    assert all(number.startswith("555-01") for number in seen)


def test_several_stories_on_one_episode_each_from_its_own_field_tapes() -> None:
    assets = expected()["assets"]
    stories = [k for k, a in assets.items() if a["part_of"] == "TDLN-0423" and a["level"] == "story"]
    assert len(stories) == 3
    for story in stories:
        fields = [a for a in assets.values() if a["part_of"] == story and a["level"] == "field recording"]
        assert all(len(field["carriers"]) >= 2 for field in fields)
        assert len(fields) == 1


def test_rows_of_one_asset_need_not_be_adjacent() -> None:
    sheets = {k: {c["sheet"] for c in expected()["carriers"] if c["asset"] == k} for k in expected()["assets"]}
    assert sum(len(on) > 1 for on in sheets.values()) > 20


def find(kind: str) -> list[str]:
    row, column = next(t["where"] for t in expected()["troubles"] if t["kind"] == kind).split(":")[1:]
    return [*manifest_rows()[int(row) - 1], manifest_rows()[int(row) - 1][int(column) - 1]]


def test_the_manifest_has_its_slips() -> None:
    rows = manifest_rows()
    known = {c["number"] for c in expected()["carriers"]}
    assert {row[0] for row in rows[1:]} - known == {"4711"}
    assert [name for name, times in Counter(row[1] for row in rows).items() if times > 1] == [
        find("file listed twice")[1]
    ]
    assert len(find("checksum of the wrong length")[-1]) == 63
    roles = Counter(row[0] for row in rows[1:] if row[2] == "access")
    assert [n for n in {row[0] for row in rows[1:]} if not roles[n]] == [find("missing access file")[0]]
    lengths = {"SHA-256": 64, "MD5": 32}
    assert sum(len(row[5]) != lengths[row[4]] for row in rows[1:]) == 1

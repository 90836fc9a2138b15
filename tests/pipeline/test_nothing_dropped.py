"""What a wording says beside its value, what a mapping gets wrong, and what a program stored: said, never dropped."""

from __future__ import annotations

from datetime import timedelta
from pathlib import Path

import openpyxl
import pytest

from crosswalk.pipeline.converting import convert
from crosswalk.pipeline.run import Options, Outcome
from crosswalk.pipeline.validating import validate

BASE = """
[[column]]
heading = "ID"
to = "instantiation.identifier"
source = "Merrow shelf number"
[[column]]
heading = "Title"
to = "asset.title"
[[constant]]
to = "asset.identifier"
value = "M-{ID}"
source = "Merrow"
[[constant]]
to = "asset.description"
value = "made for a test"
[[constant]]
to = "instantiation.location"
value = "Vault A"
"""


def column(heading: str, to: str, read: str, more: str = "") -> str:
    return f'[[column]]\nheading = "{heading}"\nto = "{to}"\nread = "{read}"\n{more}\n'


def run(folder: Path, rows: list[str], mapping: str, **options: object) -> tuple[Outcome, str]:
    (folder / "rows.csv").write_text("\n".join(rows) + "\n", encoding="utf-8")
    (folder / "map.toml").write_text(BASE + mapping, encoding="utf-8")
    mappings = (str(folder / "map.toml"),)
    outcome = convert([folder / "rows.csv"], Options(out=folder / "out", mappings=mappings, **options))  # type: ignore[arg-type]
    written = "".join((folder / "out" / name).read_text(encoding="utf-8") for name in outcome.documents)
    return outcome, written


@pytest.mark.parametrize(
    ("wording", "written"),
    [
        ("Quill, Perpetua (Producer)", "<contributorRole>Producer</contributorRole>"),
        ("Dr. Idris Fennimoor", '<contributor annotation="title: Dr.">Fennimoor, Idris</contributor>'),
        ("Idris Fennimoor u. a.", '<contributor annotation="others: u. a.">Fennimoor, Idris</contributor>'),
    ],
)
def test_what_stands_beside_a_name_is_kept(tmp_path: Path, wording: str, written: str) -> None:
    mapping = column("Who", "asset.contributor", "name")
    assert written in run(tmp_path, ["ID,Title,Who", f'1,Low Water,"{wording}"'], mapping)[1]


@pytest.mark.parametrize(
    ("wording", "kind", "value"),
    [
        ('Lacquer disc 16"', "size", "16 in"), ("DAT 48k", "sampling", "48 kHz"),
        ("Compact cassette C90", "stock", "C90"), ("Tonband 38 cm/s", "speed", "38 cm/s"),
    ],
)  # fmt: skip
def test_what_stands_beside_a_carrier_is_kept(tmp_path: Path, wording: str, kind: str, value: str) -> None:
    doubled = wording.replace('"', '""')
    mapping = column("Format", "instantiation.physical", "carrier")
    written = run(tmp_path, ["ID,Title,Format", f'1,Low Water,"{doubled}"'], mapping)[1]
    assert f'<instantiationAnnotation annotationType="{kind}">{value}</instantiationAnnotation>' in written


def test_a_length_stored_as_more_than_a_day_is_said(tmp_path: Path) -> None:
    workbook = openpyxl.Workbook()
    sheet = workbook.active
    assert sheet is not None
    for row in (["ID", "Title", "Length"], ["1", "Low Water", timedelta(hours=25, minutes=3)], ["2", "Fog", "25:03"]):
        sheet.append(row)
    sheet["C2"].number_format = "[h]:mm:ss"
    workbook.save(tmp_path / "rows.xlsx")
    length = column("Length", "instantiation.duration", "duration", "minutes-first = true")
    (tmp_path / "map.toml").write_text(BASE + length)
    mappings = (str(tmp_path / "map.toml"),)
    outcome = convert([tmp_path / "rows.xlsx"], Options(out=tmp_path / "out", mappings=mappings))
    assert [f.origin.cell for f in outcome.findings if f.code == "MP15"] == ["Sheet!C2"]


def test_a_heading_that_nearly_matches_is_a_warning_with_the_heading_meant(tmp_path: Path) -> None:
    mapping = column("Formt", "instantiation.physical", "carrier") + column("Colour", "instantiation.colors", "text")
    outcome, _ = run(tmp_path, ["ID,Title,Format", "1,Low Water,DAT"], mapping)
    told = {f.value: (f.severity.word, f.suggestions) for f in outcome.findings if f.code == "MP02"}
    assert told == {"Formt": ("warning", ("Format",)), "Colour": ("note", ())}


def test_an_example_that_does_not_hold_is_an_error(tmp_path: Path) -> None:
    example = '[[example]]\nrow = { ID = "1", Title = "Low Water" }\nexpect = { "asset.title" = "High Water" }\n'
    outcome, _ = run(tmp_path, ["ID,Title", "1,Low Water"], example)
    assert [f.name for f in outcome.findings if f.severity.word == "error"] == ["mapping.example-differs"]


@pytest.mark.parametrize(("public", "is_there"), [(False, True), (True, False)])
def test_convert_leaves_out_what_stays_in_the_house_where_asked(tmp_path: Path, public: bool, is_there: bool) -> None:
    mapping = column("Note", "instantiation.annotation", "text", "public = false")
    outcome, written = run(tmp_path, ["ID,Title,Note", "1,Low Water,ask the harbour master"], mapping, public=public)
    assert ("harbour master" in written) is is_there
    assert outcome.sums["kept back"] == int(not is_there)


def test_dublin_core_is_not_asked_for_what_it_cannot_say(tmp_path: Path) -> None:
    run(tmp_path, ["ID,Title", "1,Low Water"], "")
    convert([tmp_path / "out" / "records-0001.xml"], Options(out=tmp_path / "dc", to="oai_dc"))
    report = validate([tmp_path / "dc"])
    assert report.records == 1
    assert not [f for f in report.findings if f.severity.word != "note"]

"""Validating files and folders: what is recognised, what is walked, what counts, in one process and in several."""

from __future__ import annotations

import gzip
import os
from pathlib import Path

import pytest

from crosswalk.errors import MappingError, UnreadableInput
from crosswalk.pipeline.converting import convert
from crosswalk.pipeline.run import Options
from crosswalk.pipeline.validating import Counts, ValidateOptions, iter_findings, validate
from crosswalk.standards.base import standards

PB = "http://www.pbcore.org/PBCore/PBCoreNamespace.html"
GOOD = (
    f'<pbcoreDescriptionDocument xmlns="{PB}"><pbcoreIdentifier source="Merrow">%s</pbcoreIdentifier>'
    "<pbcoreTitle>Low Water</pbcoreTitle>%s<pbcoreRightsSummary><rightsSummary>house</rightsSummary>"
    "</pbcoreRightsSummary></pbcoreDescriptionDocument>"
)
DESCRIPTION = "<pbcoreDescription>The flats at the lowest tide.</pbcoreDescription>"


def good(name: str) -> str:
    """A valid record."""
    return GOOD % (name, DESCRIPTION)


def bad(name: str) -> str:
    """A record without a description."""
    return GOOD % (name, "")


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    """A folder with good and bad records, packed and plain, and what is no record at all."""
    (tmp_path / "b").mkdir()
    (tmp_path / "a.xml").write_text(good("A"))
    (tmp_path / "b" / "c.xml").write_text(bad("C"))
    (tmp_path / "b" / "d.xml.gz").write_bytes(gzip.compress(bad("D").encode()))
    (tmp_path / "b" / "letter.txt").write_text("Dear colleague")
    (tmp_path / ".hidden.xml").write_text("<not-looked-at/>")
    return tmp_path


def test_a_folder_is_gone_through_in_the_order_of_names(folder: Path) -> None:
    report = validate([folder])
    assert [Path(name).name for name in report.files] == ["a.xml", "c.xml", "d.xml.gz", "letter.txt"]
    assert report.records == 3


def test_each_fault_is_found_with_its_file(folder: Path) -> None:
    report = validate([folder], ValidateOptions(layers=("schema",)))
    found = {(Path(f.origin.file).name, f.code) for f in report.findings}
    assert ("c.xml", "SC03") in found
    assert ("d.xml.gz", "SC03") in found
    assert ("letter.txt", "SC13") in found
    assert not [name for name, _ in found if name == "a.xml"]


def test_two_workers_find_what_one_finds(folder: Path) -> None:
    one, two = (sorted(map(str, iter_findings([folder], ValidateOptions(workers=n)))) for n in (1, 2))
    assert one == two
    assert one


def test_identifiers_are_compared_across_files_and_workers(tmp_path: Path) -> None:
    for name in ("a", "b"):
        (tmp_path / f"{name}.xml").write_text(good("TDLN-0423"))
    for workers in (1, 2):
        assert [f.code for f in iter_findings([tmp_path], ValidateOptions(workers=workers))] == ["RC10"]


def test_links_that_loop_end(folder: Path) -> None:
    (folder / "b" / "again").symlink_to(folder, target_is_directory=True)
    (folder / "b" / "nowhere.xml").symlink_to(folder / "gone.xml")
    report = validate([folder])
    assert sum(Path(name).name == "a.xml" for name in report.files) == 1
    assert any("nowhere.xml" in f.origin.file for f in report.findings)


def test_many_files_in_a_folder(tmp_path: Path) -> None:
    for number in range(2_000):
        (tmp_path / f"{number:05d}.xml").write_text(good(f"M-{number}"))
    counts = Counts()
    assert list(iter_findings([tmp_path], ValidateOptions(), counts)) == []
    assert counts.records == 2_000


def test_names_that_are_no_utf8(tmp_path: Path) -> None:
    path = os.fsencode(tmp_path) + b"/caf\xe9.xml"
    Path(os.fsdecode(path)).write_text(bad("X"))
    assert [f.code for f in iter_findings([tmp_path], ValidateOptions(layers=("schema",)))] == ["SC03"]


def test_what_is_not_there_stops_the_run(tmp_path: Path) -> None:
    with pytest.raises(UnreadableInput, match="no such file"):
        validate([tmp_path / "gone.xml"])


@pytest.mark.parametrize(
    "options",
    [
        pytest.param(ValidateOptions(profile="no-such-profile"), id="unknown profile"),
        pytest.param(ValidateOptions(select=("QQ99",)), id="unknown code"),
        pytest.param(ValidateOptions(known="gone.json"), id="known findings that are not there"),
    ],
)
def test_options_that_make_no_sense_stop_the_run(folder: Path, options: ValidateOptions) -> None:
    with pytest.raises(MappingError):
        validate([folder], options)


@pytest.mark.parametrize("standard", sorted(name for name, one in standards().items() if one.read and one.write))
def test_what_is_written_is_recognised_and_valid(tmp_path: Path, standard: str) -> None:
    (tmp_path / "a.xml").write_text(good("TDLN-0423"))
    out = tmp_path / standard
    outcome = convert([tmp_path / "a.xml"], Options(out=out, to=standard))
    assert outcome.delivered == 1
    written = [out / name for name in outcome.documents]
    report = validate(written[:1], ValidateOptions(layers=("well-formed", "schema")))
    assert report.records == 1
    assert [f for f in report.findings if f.severity.word == "error"] == []


def test_a_sheet_is_validated_through_its_mapping(tmp_path: Path) -> None:
    sheet = tmp_path / "reels.csv"
    sheet.write_text("Reel no.,Series,Prog No,Medium,Date,Length\nR0001,FRYH,0101,DAT,1969,59:00\n")
    report = validate([sheet], ValidateOptions(mappings=("merrow-radio",)))
    before = next(f for f in report.findings if f.code == "RC30")
    assert before.origin.cell == "reels.csv:2:5"


def test_no_network_is_touched(tmp_path: Path) -> None:
    location = 'xmlns:i="http://www.w3.org/2001/XMLSchema-instance" i:schemaLocation="urn:x http://127.0.0.1:1/x.xsd"'
    (tmp_path / "a.xml").write_text(good("A").replace("Document xmlns", f"Document {location} xmlns"))
    found = list(iter_findings([tmp_path], ValidateOptions(layers=("schema",))))
    assert not [f for f in found if f.severity.word == "error"]
    assert [f.code for f in found] == ["SC11"]


def test_what_a_job_writes_in_several_standards_is_one_set_of_records(folder: Path, tmp_path: Path) -> None:
    out = tmp_path / "out"
    for name in ("pbcore", "flat", "load_set"):
        convert([folder / "a.xml"], Options(out=out / name, to=name))
    for workers in (1, 2):
        found = validate([out], ValidateOptions(workers=workers)).by_code()
        assert not {"RC10", "SC13"} & set(found)
    (out / "pbcore" / "again.xml").write_text(good("A"))
    assert validate([out]).by_code()["RC10"]


def test_a_flat_workbook_has_the_same_bytes_at_any_time(folder: Path, tmp_path: Path) -> None:
    for name, stamp in (("x", "2001-02-03T04:05:06Z"), ("y", "2026-01-01T00:00:00Z")):
        convert([folder / "a.xml"], Options(out=tmp_path / name, to="flat", stamp=stamp))
    first, second = (next((tmp_path / name).glob("*.flat.xlsx")).read_bytes() for name in "xy")
    assert first == second

"""Small jobs: what the gate lets out, what a cut-off run leaves, and further outputs."""

from __future__ import annotations

import csv
import os
import signal
import subprocess
import sys
from pathlib import Path
from typing import Any

import pytest
from openpyxl.comments import Comment

from crosswalk.errors import CannotContinue, MappingError
from crosswalk.pipeline.delivering import deliver
from crosswalk.pipeline.run import Options, Outcome
from tests.mapping.make import Rows, sheet, toml, workbook

MAPPING = """
asset-key = ["ID"]
[[column]]
heading = "ID"
to = "asset.identifier"
source = "Log"
[[column]]
heading = "Title"
to = "asset.title"
[[column]]
heading = "Text"
to = "asset.description"
[[column]]
heading = "Part of"
to = "asset.relation"
type = "Is Part Of"
[[column]]
heading = "Note"
to = "asset.annotation"
public = false
"""
HEADINGS = ["ID", "Title", "Text", "Part of", "Note"]
JOB = """
title = "Shelf"
holder = "Merrow Coast Public Media"
[[sheets]]
file = "log.csv"
mapping = ["mapping.toml"]
[review]
file = "review.csv"
asset = "ID"
decision = "Decision"
reason = "Why"
[[output]]
standard = "pbcore"
folder = "public/pbcore"
batch = 2
[[output]]
standard = "oai_dc"
folder = "public/dc"
[[output]]
standard = "pbcore"
audience = "house"
folder = "house"
"""
LOG: Rows = [
    HEADINGS,
    ["A", "Alder", "A tree", "", "ring Quill"],
    ["B", "Birch", "A tree", "A", ""],
    ["C", "Cedar", "A tree", "B", "ring Vale"],
    ["D", "Dogwood", "A shrub", "Z", ""],
]
REVIEW: Rows = [
    ["ID", "Decision", "Why"],
    ["A", "open", ""],
    ["B", "hold", "music"],
    ["C", "Open", ""],
    ["D", "open", ""],
]


def run(folder: Path, log: Rows = LOG, review: Rows = REVIEW, job: str = JOB) -> Outcome:
    return deliver(prepared(folder, log, review, job), Options(out=folder / "out"))


def prepared(folder: Path, log: Rows = LOG, review: Rows = REVIEW, job: str = JOB) -> Path:
    sheet(folder, log, "log.csv")
    sheet(folder, review, "review.csv")
    toml(folder, MAPPING)
    return toml(folder, job, "job.toml")


def public(folder: Path) -> str:
    files = sorted(path for path in (folder / "out" / "public").rglob("*") if path.is_file())
    return "\n".join(path.read_text(encoding="utf-8") for path in files)


def accounts(folder: Path) -> dict[str, tuple[str, str]]:
    with (folder / "out" / "account" / "ledger.csv").open(encoding="utf-8", newline="") as file:
        return {row["cell"]: (row["account"], row["field or reason"]) for row in csv.DictReader(file)}


def held(folder: Path) -> dict[str, tuple[str, str, str]]:
    with (folder / "out" / "account" / "held.csv").open(encoding="utf-8", newline="") as file:
        return {row["record"]: (row["held because"], row["reason"], row["decided in"]) for row in csv.DictReader(file)}


def test_only_what_is_open_goes_out_and_nothing_tells_of_the_rest(tmp_path: Path) -> None:
    outcome = run(tmp_path)
    text = public(tmp_path)
    assert all(word in text for word in ("Alder", "Cedar", "Dogwood"))
    assert not any(word in text for word in ("Birch", "Quill", "Vale", ">B<", ">Z<"))
    assert held(tmp_path) == {"B": ("hold", "music", "review.csv:3:2")}
    assert (outcome.records, outcome.delivered, len(outcome.held)) == (4, 3, 1)
    house = (tmp_path / "out/house/records-0001.xml").read_text(encoding="utf-8")
    assert all(word in house for word in ("Birch", "ring Quill", "ring Vale", ">Z<"))


def test_what_is_taken_out_of_an_open_record_is_kept_back_in_the_ledger(tmp_path: Path) -> None:
    run(tmp_path)
    told = accounts(tmp_path)
    assert told["log.csv:2:5"] == ("kept back", "the mapping keeps this column in the house")
    assert told["log.csv:4:4"] == ("kept back", "relates to a record that does not go out")
    assert told["log.csv:5:4"] == ("kept back", "relates to a record that does not go out")
    assert told["log.csv:3:4"][0] == "kept back"
    assert told["log.csv:2:2"] == ("delivered", "asset.title")


@pytest.mark.parametrize("heading", ["Note", "Shelf"], ids=["private column", "column set aside"])
def test_a_note_is_no_more_public_than_its_column(tmp_path: Path, heading: str) -> None:
    log = [["ID", "Title", "Text", "Note", "Shelf"], ["A", "Alder", "A tree", "ring", "4"]]

    def annotate(book: Any) -> None:
        book["Log"]["B2"].comment = Comment("the oldest", "R. Venn")
        book["Log"].cell(2, log[0].index(heading) + 1).comment = Comment("Vale knows", "R. Venn")

    workbook(tmp_path, {"Log": log}, annotate)
    sheet(tmp_path, REVIEW, "review.csv")
    mark = '[[column]]\nheading = "Shelf"\naside = "old"\n[[mark]]\nnote = true\nto = "asset.annotation"\n'
    toml(tmp_path, MAPPING + mark)
    deliver(toml(tmp_path, JOB.replace("log.csv", "tapes.xlsx"), "job.toml"), Options(out=tmp_path / "out"))
    assert "the oldest" in public(tmp_path) and "Vale knows" not in public(tmp_path)
    house = (tmp_path / "out" / "house" / "records-0001.xml").read_text(encoding="utf-8")
    assert "the oldest" in house and "Vale knows" in house


def test_a_private_text_that_two_rows_say_is_kept_back_twice(tmp_path: Path) -> None:
    run(tmp_path, [HEADINGS, ["A", "Alder", "A tree", "B", "ring Quill"], ["A", "", "", "B", "ring Quill"]])
    told = accounts(tmp_path)
    assert {told[f"log.csv:{row}:{column}"][0] for row in (2, 3) for column in (4, 5)} == {"kept back"}


@pytest.mark.parametrize(
    ("decision", "why", "code"),
    [
        ("", "not reviewed", ""),
        ("maybe", "hold", "RT01"),
        ("in-house only", "in-house only", ""),
        (None, "not reviewed", ""),
    ],
    ids=["blank", "unknown word", "in-house", "not listed"],
)
def test_what_is_not_cleared_is_held(tmp_path: Path, decision: str | None, why: str, code: str) -> None:
    rows = [] if decision is None else [["A", decision, ""]]
    outcome = run(tmp_path, LOG[:2], [REVIEW[0], ["Q", "open", ""], *rows])
    assert held(tmp_path)["A"][0] == why
    assert "Alder" not in public(tmp_path)
    assert outcome.counts.get("RT01", 0) == (1 if code else 0)
    assert outcome.counts["RT03"] == 1


def test_of_two_rulings_the_stricter_holds(tmp_path: Path) -> None:
    outcome = run(tmp_path, LOG[:2], [REVIEW[0], ["A", "hold", "first"], ["a ", "open", "second"]])
    assert held(tmp_path)["A"][:2] == ("hold", "first")
    assert outcome.counts["RT02"] == 1


def test_a_ruling_opens_the_one_of_two_records_that_it_spells(tmp_path: Path) -> None:
    log = [*LOG[:2], ["a", "Aspen", "A tree", "", "ring Vale"], ["C", "Cedar", "A tree", "a", ""]]
    outcome = run(tmp_path, [*log, ["D", "Dogwood", "A shrub", "A", ""]])
    text = public(tmp_path)
    why = '"a": the review names another spelling, and two records share it'
    assert held(tmp_path) == {"a": ("not reviewed", why, "review.csv:2:2")}
    assert "Alder" in text and "Aspen" not in text and ">A<" in text and ">a<" not in text
    assert outcome.delivered == 3
    assert "Aspen" in (tmp_path / "out/house/records-0001.xml").read_text(encoding="utf-8")
    told = accounts(tmp_path)
    assert told["log.csv:3:2"][0] == "kept back"
    assert told["log.csv:4:4"] == ("kept back", "relates to a record that does not go out")


def test_a_ruling_in_a_third_spelling_opens_neither_of_two_records(tmp_path: Path) -> None:
    log = [HEADINGS, ["Ash", "Ash", "A tree", "", ""], ["ash", "Aspen", "A tree", "", ""]]
    run(tmp_path, [*log, ["B", "Birch", "A tree", "", ""]], [REVIEW[0], ["ASH", "open", ""], ["b", "open", ""]])
    assert sorted(held(tmp_path)) == ["Ash", "ash"]
    assert "Birch" in public(tmp_path)


def test_two_records_go_out_where_the_review_spells_both(tmp_path: Path) -> None:
    log = [HEADINGS, ["A", "Alder", "A tree", "", ""], ["a", "Aspen", "A tree", "", ""]]
    assert run(tmp_path, log, [REVIEW[0], ["A", "open", ""], ["a", "open", ""]]).delivered == 2


def test_a_record_that_lacks_what_it_needs_is_held_and_the_others_go_out(tmp_path: Path) -> None:
    run(tmp_path, [*LOG[:2], ["C", "", "A tree", "", ""]])
    assert held(tmp_path)["C"][0] == "incomplete"
    assert "Alder" in public(tmp_path)
    assert "A tree" in public(tmp_path)


def test_batches_have_the_size_that_the_job_states(tmp_path: Path) -> None:
    run(tmp_path)
    names = sorted(path.name for path in (tmp_path / "out/public/pbcore").iterdir())
    assert names == ["records-0001.xml", "records-0002.xml"]


def test_a_job_without_an_output_for_the_public_holds_all_of_it(tmp_path: Path) -> None:
    house = JOB[: JOB.index("[[output]]")] + '[[output]]\nstandard = "pbcore"\naudience = "house"\nfolder = "house"\n'
    outcome = run(tmp_path, job=house)
    assert outcome.delivered == 0
    assert not (tmp_path / "out" / "public").exists()
    assert "Birch" in (tmp_path / "out/house/records-0001.xml").read_text(encoding="utf-8")


@pytest.mark.parametrize(
    ("change", "message"),
    [
        (("log.csv", "gone.csv"), 'the file "gone.csv" is not there'),
        (("review.csv", "gone.csv"), "gone.csv"),
        (("mapping.toml", "gone.toml"), "there is no such mapping"),
        (
            ('decision = "Decision"', 'decision = "Verdict"'),
            'job.toml:10: review.csv has no column "Verdict"; headings found: ID, Decision, Why',
        ),
        (('standard = "oai_dc"', 'standard = "dublin"'), "is no standard that can be written"),
    ],
    ids=["sheet", "review", "mapping", "column of the review", "standard"],
)
def test_what_a_job_misses_is_said_and_nothing_is_written(
    tmp_path: Path, change: tuple[str, str], message: str
) -> None:
    with pytest.raises(CannotContinue) as raised:
        run(tmp_path, job=JOB.replace(*change))
    assert message in str(raised.value)
    assert not (tmp_path / "out").exists()
    assert [path.name for path in tmp_path.iterdir() if path.name.startswith(".")] == []


def test_a_sheet_that_the_review_lacks_is_said_with_the_line_of_the_job(tmp_path: Path) -> None:
    job = prepared(tmp_path)
    workbook(tmp_path, {"Rights": REVIEW}).rename(tmp_path / "review.xlsx")
    toml(tmp_path, JOB.replace('file = "review.csv"', 'file = "review.xlsx"\nsheet = "Review"'), "job.toml")
    with pytest.raises(CannotContinue) as raised:
        deliver(job, Options(out=tmp_path / "out"))
    assert 'job.toml:9: review.xlsx has no sheet "Review"; its sheets are: Rights' in str(raised.value)


def test_all_that_a_job_misses_is_said_at_once_with_its_line(tmp_path: Path) -> None:
    job = JOB.replace("log.csv", "gone.csv").replace('"oai_dc"', '"dublin"').replace('"pbcore"\naud', '"pbcor"\naud')
    job = job.replace("mapping.toml", "gone.toml").replace('file = "review.csv"', 'file = "views.csv"')
    job = job.replace('holder =', 'profile = "nation-index"\ndecisions = "none.csv"\nholder =')
    with pytest.raises(MappingError) as raised:
        run(tmp_path, job=job)
    told = [line.rpartition("job.toml:")[2].partition(";")[0] for line in str(raised.value).splitlines()]
    assert told == [
        '3: `profile`: "nation-index" is not there',
        '4: the file "none.csv" is not there',
        '7: the file "gone.csv" is not there',
        '8: "gone.toml": there is no such mapping',
        '10: the file "views.csv" is not there',
        '19: "dublin" is no standard that can be written',
        '22: "pbcor" is no standard that can be written',
    ]
    assert "national-index" in str(raised.value)
    assert "pbcore, " in str(raised.value)


def test_a_column_that_the_mapping_never_finds_is_a_note(tmp_path: Path) -> None:
    outcome = run(tmp_path, [row[:4] for row in LOG])
    assert outcome.counts["MP02"] == 1


def test_a_key_that_is_not_there_stops_the_run(tmp_path: Path) -> None:
    with pytest.raises(MappingError, match=r"no column of the asset key \(ID\); headings found: Title, Text"):
        run(tmp_path, [row[1:] for row in LOG])


KILLED = """
import os, signal, sys
from pathlib import Path
from crosswalk.delivery.folder import OutputFolder
from crosswalk.pipeline.delivering import deliver
from crosswalk.pipeline.run import Options

write, written = OutputFolder.write, []

def write_and_die(self, name, content):
    write(self, name, content)
    written.append(name)
    if len(written) == 2:
        os.kill(os.getpid(), signal.SIGKILL)

OutputFolder.write = write_and_die
deliver(sys.argv[1], Options(out=Path(sys.argv[2])))
"""


@pytest.mark.skipif(not hasattr(signal, "SIGKILL"), reason="this system cannot kill a process outright")
def test_a_run_killed_between_two_batches_leaves_the_last_good_output(tmp_path: Path) -> None:
    run(tmp_path)
    before = files(tmp_path / "out")
    job = prepared(tmp_path, [[text.replace("Alder", "Ash") for text in row] for row in LOG])
    ended = subprocess.run([sys.executable, "-c", KILLED, str(job), str(tmp_path / "out")], env=os.environ, check=False)
    assert ended.returncode == -signal.SIGKILL
    assert (tmp_path / ".out.unfinished" / "public/pbcore/records-0002.xml").exists()
    assert files(tmp_path / "out") == before
    deliver(job, Options(out=tmp_path / "out"))
    assert "Ash" in public(tmp_path)
    assert not (tmp_path / ".out.unfinished").exists()


def files(out: Path) -> dict[str, bytes]:
    return {path.relative_to(out).as_posix(): path.read_bytes() for path in out.rglob("*") if path.is_file()}


def test_a_defect_in_the_middle_leaves_the_last_good_output(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    run(tmp_path)
    before = files(tmp_path / "out")
    monkeypatch.setattr("crosswalk.pipeline.delivering.held_list", lambda run: 1 / 0)
    with pytest.raises(ZeroDivisionError):
        run(tmp_path)
    assert files(tmp_path / "out") == before


def test_a_ledger_that_does_not_add_up_fails_the_run(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("crosswalk.ledger.Ledger.read", lambda self, cells: None)
    with pytest.raises(CannotContinue, match="are accounted for"):
        run(tmp_path)
    assert not (tmp_path / "out").exists()


JSON_LINES = '[[output]]\nstandard = "jsonl"\naudience = "house"\nfolder = "house-lines"\n'
LENT = """
[[column]]
heading = "Copy"
to = "instantiation.identifier"
source = "Log"
[[column]]
heading = "Tongue"
to = "instantiation.language"
[[constant]]
to = "instantiation.location"
value = "Shelf"
"""


@pytest.mark.parametrize(
    ("bad", "why"),
    [
        (["E", "Elder", "A tree", "", "", "E1", "sea shanty!"], "the schema does not accept it"),
        (["E", "", "A tree", "", "", "", ""], "incomplete"),
    ],
    ids=["refused by the schema", "incomplete"],
)
def test_what_the_public_schema_refuses_stays_in_the_house(tmp_path: Path, bad: list[str], why: str) -> None:
    job = prepared(tmp_path, [[*HEADINGS, "Copy", "Tongue"], *LOG[1:], bad], [*REVIEW, ["E", "open", ""]])
    toml(tmp_path, MAPPING + LENT)
    toml(tmp_path, JOB + JSON_LINES, "job.toml")
    outcome = deliver(job, Options(out=tmp_path / "out"))
    assert held(tmp_path)["E"][0] == why
    assert "Elder" not in public(tmp_path)
    assert ">E<" not in public(tmp_path)
    assert '"E"' in (tmp_path / "out/house-lines/records-0001.jsonl").read_text(encoding="utf-8")
    xml = (tmp_path / "out/house/records-0001.xml").read_text(encoding="utf-8")
    assert ">Dogwood<" in xml
    assert ">E<" not in xml, "the house's PBCore has the same schema"
    assert [one.origin.record for one in outcome.findings if one.origin.file == "house"] == ["E"]

"""What is written never takes the place of what is read, and what cannot be replaced is written into."""

from __future__ import annotations

import os
import threading
from pathlib import Path

import pytest

from crosswalk import (
    CannotContinue,
    Options,
    ValidateOptions,
    convert,
    deliver,
    iter_findings,
    read_wordings,
    validate,
)
from crosswalk.values.reading import Context
from crosswalk.writing import write_whole, written_whole
from tests.checks.documents import record, single
from tests.cli.test_commands import invoke
from tests.pipeline.test_small_jobs import prepared


@pytest.fixture
def records(tmp_path: Path) -> Path:
    folder = tmp_path / "in"
    folder.mkdir()
    for number in (1, 2):
        (folder / f"{number}.xml").write_bytes(single(record(number)))
    return folder


@pytest.mark.parametrize("option", ["--report json=", "--write-known "])
@pytest.mark.parametrize("target", ["in/1.xml", "in/note.txt", "link.xml"])
def test_an_input_is_not_overwritten(option: str, target: str, records: Path, tmp_path: Path) -> None:
    (records / "note.txt").write_text("mine")
    os.link(records / "1.xml", tmp_path / "link.xml")
    before = (tmp_path / target).read_bytes()
    result = invoke("validate", records, *f"{option}{tmp_path / target}".split(" "))
    assert (result.exit_code, (tmp_path / target).read_bytes()) == (3, before)
    assert "would be overwritten" in result.stderr


def test_a_new_file_may_stand_among_the_inputs_and_a_list_of_findings_is_renewed(records: Path) -> None:
    for _ in range(2):
        assert invoke("validate", records / "1.xml", "--write-known", records / "known.json").exit_code == 0
    assert invoke("validate", records, "--write-known", records / "known.json", "--fail-on", "never").exit_code == 0


def test_a_profile_is_not_overwritten(records: Path, tmp_path: Path) -> None:
    profile = tmp_path / "profile.toml"
    profile.write_text('title = "x"\n')
    assert invoke("validate", records, "--profile", profile, "--report", f"json={profile}").exit_code == 3
    assert profile.read_text() == 'title = "x"\n'


def test_the_list_of_losses_overwrites_no_input(records: Path, tmp_path: Path) -> None:
    before = (records / "1.xml").read_bytes()
    with pytest.raises(CannotContinue, match="would be overwritten"):
        convert(records, Options(out=tmp_path / "out", to="dcterms", losses=str(records / "1.xml")))
    with pytest.raises(CannotContinue, match="is replaced whole"):
        convert(records, Options(out=tmp_path / "out", to="dcterms", losses=str(tmp_path / "out" / "losses.csv")))
    assert (records / "1.xml").read_bytes() == before


def test_the_losses_of_a_job_overwrite_nothing_that_it_names(tmp_path: Path) -> None:
    job = Path(prepared(tmp_path))
    for file in [path for path in job.parent.iterdir() if path.is_file()]:
        before = file.read_bytes()
        with pytest.raises(CannotContinue, match="would be overwritten"):
            deliver(job, Options(out=tmp_path / "out", losses=str(file)))
        assert file.read_bytes() == before


def test_a_comparison_overwrites_neither_side(records: Path) -> None:
    before = (records / "1.xml").read_bytes()
    result = invoke("compare", records / "1.xml", records / "2.xml", "--report", f"json={records / '1.xml'}")
    assert (result.exit_code, (records / "1.xml").read_bytes()) == (3, before)


@pytest.mark.parametrize("out", ["in/out", "in", "."])
def test_an_output_folder_holds_no_input_and_is_held_by_none(out: str, records: Path, tmp_path: Path) -> None:
    with pytest.raises(CannotContinue):
        convert(records, Options(out=tmp_path / out))
    assert sorted(path.name for path in records.iterdir()) == ["1.xml", "2.xml"]


def test_a_former_output_is_not_replaced_by_what_is_made_of_it(records: Path, tmp_path: Path) -> None:
    convert(records, Options(out=tmp_path / "out"))
    with pytest.raises(CannotContinue, match="holds the input"):
        convert(tmp_path / "out" / "records-0001.xml", Options(out=tmp_path / "out", to="oai_dc"))


def test_a_pipe_is_written_into_and_a_link_stays_one(tmp_path: Path) -> None:
    os.mkfifo(tmp_path / "pipe")
    (tmp_path / "old").write_text("old")
    (tmp_path / "link").symlink_to(tmp_path / "old")
    (tmp_path / "to pipe").symlink_to(tmp_path / "pipe")
    read: list[bytes] = []
    for name in ("pipe", "to pipe"):
        reader = threading.Thread(target=lambda: read.append((tmp_path / "pipe").read_bytes()))
        reader.start()
        write_whole(tmp_path / name, b"new")
        reader.join()
    with written_whole(tmp_path / "link") as stream:
        stream.write("new")
    assert (read, (tmp_path / "pipe").is_fifo()) == ([b"new", b"new"], True)
    assert ((tmp_path / "old").read_text(), (tmp_path / "link").is_symlink()) == ("new", True)


def test_what_makes_no_sense_is_refused(records: Path, tmp_path: Path) -> None:
    (tmp_path / "empty").mkdir()
    with pytest.raises(CannotContinue, match="layers are: well-formed, schema"):
        validate(records, ValidateOptions(layers=("shema",)))
    with pytest.raises(CannotContinue, match="nothing to check"):
        validate([])
    with pytest.raises(CannotContinue, match="nothing to check"):
        validate(tmp_path / "empty")
    with pytest.raises(CannotContinue, match="less than one"):
        Options(out="x", batch=-1)
    with pytest.raises(CannotContinue, match="yesterday"):
        Options(out="x", stamp="yesterday")
    with pytest.raises(CannotContinue, match="kinds are: "):
        read_wordings(["x"], "nokind", Context())


def test_one_path_is_as_good_as_a_list(records: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.chdir(tmp_path)
    assert validate("./in") == validate(Path("./in")) == validate(["./in"])
    assert list(iter_findings("in/1.xml")) == list(iter_findings(["in/1.xml"]))
    assert convert("in", Options(out="out")).records == 2


def test_a_value_with_a_doubt_is_a_proposal() -> None:
    (doubtful,) = read_wordings(["3/4/87"], "date", Context())
    (clear,) = read_wordings(["1987-04-03"], "date", Context())
    assert (doubtful["value"], doubtful["settled"], doubtful["doubts"]) == ("1987-03-04", False, ["DT03"])
    assert (clear["value"], clear["settled"]) == ("1987-04-03", True)

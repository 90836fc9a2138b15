"""Names that are no text, closed streams, settings elsewhere: a line that says so, never a traceback."""

from __future__ import annotations

import json
import os
import subprocess
import sys
from pathlib import Path

import pytest

from tests.checks.documents import record, single
from tests.cli.test_commands import invoke

BAD = '<pbcoreDescriptionDocument xmlns="http://www.pbcore.org/PBCore/PBCoreNamespace.html"/>'
KINDS = ("text", "lines", "json", "junit", "sarif", "html", "csv", "svrl")


def run(*words: str | Path, **more: object) -> subprocess.CompletedProcess[bytes]:
    command = [sys.executable, "-m", "crosswalk", *map(str, words)]
    return subprocess.run(command, check=False, stderr=subprocess.PIPE, **more)  # type: ignore[call-overload,no-any-return]


def only_line(ended: subprocess.CompletedProcess[bytes]) -> str:
    (line,) = ended.stderr.decode().splitlines()
    return line


def test_a_file_name_in_another_encoding_is_shown(tmp_path: Path) -> None:
    folder = tmp_path / "in"
    folder.mkdir()
    (folder / os.fsdecode(b"lat\xe9in.xml")).write_text(BAD)
    (folder / os.fsdecode(b"good\xe9.xml")).write_bytes(single(record()))
    (folder / os.fsdecode(b"again\xe9.xml")).write_bytes(single(record()))
    reports = [word for kind in KINDS for word in ("--report", f"{kind}={tmp_path / kind}")]
    for show in ([], ["--lines"], ["--json"]):
        ended = run("validate", folder, *show, *reports, "--write-known", tmp_path / "k", stdout=subprocess.PIPE)
        assert (ended.returncode, ended.stderr) == (1, b"")
        assert "lat\N{REPLACEMENT CHARACTER}in.xml" in ended.stdout.decode()
    for kind in KINDS:
        (tmp_path / kind).read_text(encoding="utf-8")
    known = run("validate", folder, "--known", tmp_path / "k", "--lines", stdout=subprocess.PIPE)
    assert (known.returncode, known.stdout) == (0, b"")
    converted = run("convert", folder, "--out", tmp_path / "out", stdout=subprocess.PIPE)
    assert b"Traceback" not in converted.stderr
    for file in (tmp_path / "out" / "account").iterdir():
        file.read_text(encoding="utf-8")


def test_a_line_end_in_a_file_name_is_shown_escaped(tmp_path: Path) -> None:
    (tmp_path / "new\nline.xml").write_text(BAD)
    lines = invoke("validate", tmp_path, "--lines").stdout.splitlines()
    assert lines and all(line.startswith(f"{tmp_path}/new\\nline.xml:1: error") for line in lines)


def test_a_file_that_may_not_be_read_is_a_finding(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """The rights are played, since a superuser may read everything."""
    closed, former = tmp_path / "closed.xml", Path.open
    for path in (closed, tmp_path / "open.xml"):
        path.write_bytes(single(record()))

    def opened(self: Path, *args: object, **more: object) -> object:
        if self == closed:
            raise PermissionError(13, "Permission denied", str(self))
        return former(self, *args, **more)  # type: ignore[call-overload]

    monkeypatch.setattr(Path, "open", opened)
    lines = invoke("validate", tmp_path, "--lines").stdout.splitlines()
    assert [line.split(": ")[:2] for line in lines if "SC12" in line] == [[str(closed), "error SC12"]]


def test_a_folder_that_may_not_be_entered_is_a_finding(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """The rights are played here too."""
    closed, scan, is_file = tmp_path / "closed", os.scandir, Path.is_file
    closed.mkdir()
    (tmp_path / "open.xml").write_bytes(single(record()))
    refusal = PermissionError(13, "Permission denied", str(closed))

    def scanned(path: str) -> object:
        if path == str(closed):
            raise refusal
        return scan(path)

    def asked(self: Path) -> bool:
        if self.parent == closed:
            raise refusal
        return is_file(self)

    monkeypatch.setattr(os, "scandir", scanned)
    monkeypatch.setattr(Path, "is_file", asked)
    (line,) = invoke("validate", tmp_path, "--lines").stdout.splitlines()
    assert line.startswith(f"{closed}: error SC12: ")


WORDS = [["schemas"], ["term", "VHS"], ["validate", "--explain", "DT03"], ["validate", "in.xml"], ["--help"]]


@pytest.mark.parametrize("words", WORDS, ids=" ".join)
def test_an_answer_that_cannot_be_written_is_three(words: list[str], tmp_path: Path) -> None:
    (tmp_path / "in.xml").write_bytes(single(record()))
    read, write = os.pipe()
    os.close(read)
    with Path("/dev/full").open("wb") as full, os.fdopen(write, "wb") as broken:
        for stream, why in ((full, "No space left"), (broken, "Broken pipe")):
            ended = run(*words, stdout=stream, cwd=tmp_path, env={**os.environ, "PYTHONPATH": str(Path.cwd())})
            if words == ["--help"] and stream is broken:
                continue  # click is silent
            assert (ended.returncode, why in only_line(ended)) == (3, True)


def test_a_closed_output_is_three(tmp_path: Path) -> None:
    command = f"exec {sys.executable} -m crosswalk schemas >&-"
    ended = subprocess.run(["sh", "-c", command], check=False, stderr=subprocess.PIPE)
    assert (ended.returncode, "closed" in only_line(ended)) == (3, True)


@pytest.mark.parametrize("value", ["abc", "99999999999999999999", "-1e9"])
def test_a_clock_that_is_none_is_three(value: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("SOURCE_DATE_EPOCH", value)
    (tmp_path / "in.xml").write_bytes(single(record()))
    result = invoke("convert", tmp_path / "in.xml", "--out", tmp_path / "out")
    assert (result.exit_code, "SOURCE_DATE_EPOCH" in result.stderr) == (3, True)


@pytest.mark.parametrize("command", [["validate", "in.xml"], ["compare", "in.xml", "in.xml"]])
@pytest.mark.parametrize("word", ["foo=x", "json", "json="])
def test_a_report_of_no_kind_is_wrong_usage(command: list[str], word: str) -> None:
    assert invoke(*command, "--report", word).exit_code == 2


def test_a_code_is_explained_in_json() -> None:
    assert json.loads(invoke("validate", "--explain", "DT03", "--json").stdout)["name"] == "date.ambiguous-order"


def test_what_is_too_long_or_too_deep_is_beyond_the_limits(tmp_path: Path) -> None:
    text = record().replace("The spring tide", "x" * 11_000_000)
    (tmp_path / "long.xml").write_bytes(single(text))
    (tmp_path / "deep.xml").write_bytes(single(record().replace("The spring tide", "<a>" * 300 + "</a>" * 300)))
    lines = invoke("validate", tmp_path, "--lines", "--layer", "schema").stdout.splitlines()
    assert len(lines) == 2
    assert all("error SC12: exceeds what is read" in line for line in lines)


def test_files_of_the_settings_are_named_from_their_folder(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    below = tmp_path / "below"
    below.mkdir()
    (tmp_path / "in.xml").write_text(BAD)
    (tmp_path / "crosswalk.toml").write_text('[validate]\nknown = "known.json"\nprofile = "national-index"\n')
    monkeypatch.chdir(tmp_path)
    assert invoke("validate", "in.xml").exit_code == 3, "there is no such list yet"
    assert invoke("validate", "in.xml", "--write-known", "known.json").exit_code == 1
    assert invoke("validate", "in.xml").exit_code == 0
    whole = str(tmp_path / "in.xml")
    for place, file in ((below, "../in.xml"), (tmp_path, whole), (Path("/"), whole)):
        monkeypatch.chdir(place)
        known = ["--known", f"{tmp_path}/known.json", "--profile", "national-index"] if place == Path("/") else []
        assert invoke("validate", file, *known).exit_code == 0

"""The commands: exit statuses, what goes to which stream, and that nothing heavy is loaded before it is needed."""

from __future__ import annotations

import json
import subprocess
import sys
from pathlib import Path

import pytest
from click.testing import CliRunner, Result

from crosswalk.cli import COMMANDS, main
from crosswalk.resources import samples_dir
from tests.pipeline.test_small_jobs import LOG, REVIEW, prepared

HEAVY = ("rdflib", "pyshacl", "xmlschema", "openpyxl", "pandas", "lxml", "python_calamine", "jinja2", "rich")


def invoke(*words: str | Path) -> Result:
    return CliRunner().invoke(main, [str(word) for word in words])


@pytest.mark.parametrize("command", ["", *COMMANDS])
def test_every_command_explains_itself(command: str) -> None:
    result = invoke(*([command] if command else []), "--help")
    assert result.exit_code == 0
    assert result.output.startswith("Usage:")


def test_help_loads_nothing_heavy() -> None:
    look = f"import sys; from crosswalk.cli import main\ntry: main(['--help'])\nexcept SystemExit: pass\n\
print('loaded', [name for name in {HEAVY!r} if name in sys.modules])"
    ended = subprocess.run([sys.executable, "-c", look], capture_output=True, text=True, check=True)
    assert ended.stdout.strip().endswith("loaded []")


@pytest.mark.parametrize(
    "words",
    [
        ["convert"],
        ["convert", "x.csv"],
        ["deliver", "job.toml"],
        ["nothing"],
        ["convert", "x", "--out", "y", "--batch", "501"],
    ],
    ids=["no input", "no output", "job without output", "no such command", "batch too large"],
)
def test_wrong_usage_is_two(words: list[str]) -> None:
    assert invoke(*words).exit_code == 2


def test_a_job_answers_for_people(tmp_path: Path) -> None:
    result = invoke("deliver", prepared(tmp_path), "--out", tmp_path / "out")
    assert result.exit_code == 0, result.output
    for word in ("4", "delivered", "kept back", "set aside", "refused", "RL01"):
        assert word in result.stdout


def test_a_job_answers_in_json(tmp_path: Path) -> None:
    result = invoke("deliver", prepared(tmp_path), "--out", tmp_path / "out", "--json")
    answer = json.loads(result.stdout)
    assert (answer["records"], answer["delivered"], len(answer["held"])) == (4, 3, 1)
    assert sum(answer["sums"].values()) == answer["cells_read"]
    assert all((tmp_path / "out" / name).is_file() for name in answer["written"])


@pytest.mark.parametrize(
    ("fail_on", "status"), [("error", 0), ("warning", 1), ("note", 1), ("never", 0)], ids=lambda value: str(value)
)
def test_the_exit_status_follows_the_worst_finding(tmp_path: Path, fail_on: str, status: int) -> None:
    """The job's worst finding is a warning: a relation to a record that nobody has."""
    result = invoke("deliver", prepared(tmp_path), "--out", tmp_path / "out", "--fail-on", fail_on)
    assert result.exit_code == status


def test_an_error_among_the_findings_is_one(tmp_path: Path) -> None:
    review = [*REVIEW, ["B", "perhaps", ""]]
    assert invoke("deliver", prepared(tmp_path, LOG, review), "--out", tmp_path / "out").exit_code == 1


def test_what_could_not_run_is_three(tmp_path: Path) -> None:
    result = invoke("deliver", tmp_path / "gone.toml", "--out", tmp_path / "out")
    assert result.exit_code == 3
    assert result.stdout == ""
    assert result.stderr.startswith("crosswalk: ")


def test_the_demo_runs_anywhere(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.chdir(tmp_path)
    result = invoke("demo")
    assert result.exit_code == 0, result.output
    assert (tmp_path / "out/demo/public/pbcore/records-0001.xml").is_file()
    assert list((samples_dir() / "merrow").glob(".*")) == []


def test_a_sheet_without_a_mapping_is_told_to_give_one(tmp_path: Path) -> None:
    (tmp_path / "tapes.csv").write_text("Tape,Title\n1,Dusk\n")
    result = invoke("convert", tmp_path / "tapes.csv", "--out", tmp_path / "out")
    assert result.exit_code == 3
    assert "--mapping" in result.stderr


def test_what_was_written_can_be_converted_and_validated(tmp_path: Path) -> None:
    invoke("deliver", prepared(tmp_path), "--out", tmp_path / "out")
    documents = tmp_path / "out/public/pbcore/records-0001.xml"
    again = invoke("convert", documents, "--out", tmp_path / "again")
    assert again.exit_code == 0, again.output
    assert "Alder" in (tmp_path / "again/records-0001.xml").read_text(encoding="utf-8")
    assert invoke("validate", documents, "--layer", "schema").exit_code == 0

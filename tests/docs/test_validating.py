"""The snippets of docs/validating.md do what the page says, and the pre-commit hook names a command that there is."""

from __future__ import annotations

import re
import subprocess
import sys
from pathlib import Path

import pytest
from click.testing import CliRunner

from crosswalk.checks.profile import read_profile
from crosswalk.checks.selection import settings
from crosswalk.cli import main
from tests.checks.documents import record, single

ROOT = Path(__file__).parents[2]
PAGE = (ROOT / "docs" / "validating.md").read_text(encoding="utf-8")
SNIPPETS = re.findall(r"^```(\w+)\n(.*?)^```$", PAGE, re.DOTALL | re.MULTILINE)


def snippets(language: str) -> list[str]:
    return [text for name, text in SNIPPETS if name == language]


@pytest.fixture
def records(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """A folder with one good record, which is the working folder."""
    (tmp_path / "records").mkdir()
    (tmp_path / "records" / "merrow-0001.xml").write_bytes(single(record()))
    monkeypatch.chdir(tmp_path)
    return tmp_path


def test_the_page_has_snippets_of_each_kind() -> None:
    assert {name for name, _ in SNIPPETS} == {"sh", "toml", "yaml", "python"}


@pytest.mark.parametrize("line", [line for text in snippets("sh") for line in text.splitlines()])
def test_a_command(line: str, records: Path) -> None:
    program, *words = line.split()
    assert program == "crosswalk"
    done = CliRunner().invoke(main, words)
    assert done.exit_code in (0, 1), done.output
    for word in words:
        if "=" in word:
            assert (records / word.partition("=")[2]).stat().st_size > 0


def test_the_profile(tmp_path: Path) -> None:
    [text] = [text for text in snippets("toml") if "[[require]]" in text]
    path = tmp_path / "p.toml"
    path.write_text(text, encoding="utf-8")
    assert len(read_profile(path).require) == 6


def test_the_settings(tmp_path: Path) -> None:
    [text] = [text for text in snippets("toml") if "[validate]" in text]
    (tmp_path / "crosswalk.toml").write_text(text, encoding="utf-8")
    assert (settings(tmp_path).profile, settings(tmp_path).fail_on) == ("national-index", "warning")


def test_python(records: Path, capsys: pytest.CaptureFixture[str]) -> None:
    exec(snippets("python")[0], {})
    assert "'error': 0" in capsys.readouterr().out


@pytest.mark.parametrize(("content", "passes"), [(record(), True), (record().replace("titleType", "type"), False)])
def test_the_pytest_example(content: str, passes: bool, records: Path) -> None:
    (records / "records" / "merrow-0001.xml").write_bytes(single(content))
    (records / "test_records.py").write_text(snippets("python")[1], encoding="utf-8")
    command = [sys.executable, "-m", "pytest", "-q", "-p", "no:cacheprovider", "test_records.py"]
    done = subprocess.run(command, capture_output=True, text=True, cwd=records, env={"PYTHONPATH": str(ROOT)})
    assert ("1 passed" in done.stdout, "1 failed" in done.stdout) == (passes, not passes), done.stdout


def test_the_hook_names_a_command_that_there_is() -> None:
    text = (ROOT / ".pre-commit-hooks.yaml").read_text(encoding="utf-8")
    entry = re.search(r"entry: crosswalk (.*)", text)
    identifier = re.search(r"- id: (.*)", text)
    assert entry is not None and identifier is not None
    assert f"id: {identifier[1]}" in snippets("yaml")[0]
    command, *options = entry[1].split()
    usage = CliRunner().invoke(main, [command, "--help"]).output
    assert all(option in usage for option in options)


def test_the_hook_names_no_version_that_may_not_be_there() -> None:
    """Which tags there are is known only where the project is kept: the page leaves the choice to whoever copies it."""
    assert re.search(r"rev: PUT-", snippets("yaml")[0])

"""The documentation says what the program does: generated pages do not drift, and the README's examples hold."""

from __future__ import annotations

import re
from pathlib import Path

import pytest
from click.testing import CliRunner

from crosswalk.cli import COMMANDS, main
from crosswalk.cli.reference import PAGES, SECTIONS, commands_page, with_sections

ROOT = Path(__file__).resolve().parents[2]
README = (ROOT / "README.md").read_text(encoding="utf-8")
RENEW = "run `make docs`"


def test_the_page_of_commands_is_up_to_date() -> None:
    assert (ROOT / "docs" / "commands.md").read_text(encoding="utf-8") == commands_page(), RENEW


def test_the_generated_sections_of_the_readme_are_up_to_date() -> None:
    for name in PAGES:
        page = (ROOT / name).read_text(encoding="utf-8")
        assert with_sections(page, name) == page, f"{name}: {RENEW}"


@pytest.mark.parametrize("name", SECTIONS)
def test_the_readme_has_every_generated_section(name: str) -> None:
    assert f"<!-- generated: {name} -->" in README


def examples() -> list[tuple[str, str]]:
    """The commands of the README that show what they print: `$ crosswalk ...` and the lines up to the next command."""
    blocks = re.findall(r"```\n(\$ crosswalk .*?)```", README, re.S)
    shown = [part for block in blocks for part in re.split(r"^\$ ", block, flags=re.M) if part]
    pairs = [(part.partition("\n")[0], part.partition("\n")[2]) for part in shown]
    return [(command, output) for command, output in pairs if output.strip()]


@pytest.mark.parametrize(("command", "output"), examples())
def test_an_example_prints_what_the_readme_shows(command: str, output: str) -> None:
    words = [quoted or plain for quoted, plain in re.findall(r"'([^']*)'|(\S+)", command)][1:]
    done = CliRunner().invoke(main, words)
    assert done.output.strip() == output.strip()


def test_the_readme_has_an_example() -> None:
    assert examples()


@pytest.mark.parametrize("name", COMMANDS)
def test_every_command_is_in_the_page(name: str) -> None:
    assert f"## crosswalk {name}\n" in commands_page()


def test_the_figures_of_the_archivists_example_are_those_of_the_sample(tmp_path: Path) -> None:
    shown = re.search(r"cells read [\d,]+\n(?: +[\d,]+ .*\n)+", README)
    assert shown is not None
    done = CliRunner().invoke(main, ["demo", "--out", str(tmp_path / "demo")])
    assert shown[0].strip() in done.output


def test_links_of_the_documents_lead_somewhere() -> None:
    for page in (ROOT / "README.md", ROOT / "DEVELOPERS.md", *(ROOT / "docs").glob("*.md")):
        for link in re.findall(r"\]\((?!https?:)([^)#]+)", page.read_text(encoding="utf-8")):
            assert (page.parent / link).exists(), f"{page.name}: {link}"

"""Which findings count, from the command and from the two files of settings."""

from __future__ import annotations

from pathlib import Path

import pytest

from crosswalk.checks.selection import Selection, selection, settings
from crosswalk.errors import MappingError
from crosswalk.findings import Origin, finding

CASES: dict[str, tuple[list[str], list[str], list[str]]] = {
    "nothing said": ([], [], ["DT03", "DT04", "RC50"]),
    "a family": (["DT"], [], ["DT03", "DT04"]),
    "a code": (["DT03"], [], ["DT03"]),
    "a name": (["rights.not-stated"], [], ["RC50"]),
    "a family ignored": ([], ["DT"], ["RC50"]),
    "a code ignored": ([], ["DT03"], ["DT04", "RC50"]),
    "a code of a family ignored": (["DT"], ["DT03"], ["DT04"]),
    "a family ignored but for a code": (["DT03", "RC"], ["DT"], ["DT03", "RC50"]),
    "the same both ways": (["DT03"], ["DT03"], []),
}


@pytest.mark.parametrize("case", CASES)
def test_what_is_taken(case: str) -> None:
    select, ignore, expected = CASES[case]
    findings = [finding(code, Origin(), "m") for code in ("DT03", "DT04", "RC50")]
    assert [one.code for one in selection(select, ignore).of(findings)] == expected


@pytest.mark.parametrize("word", ["XX", "DT99", "dt03", "date"])
def test_a_word_that_means_nothing(word: str) -> None:
    with pytest.raises(MappingError, match=word):
        selection([word])


FILES = {
    "crosswalk.toml": '[validate]\nselect = ["RC"]\nfail-on = "warning"\n',
    "pyproject.toml": '[tool.crosswalk.validate]\nselect = ["RC"]\nfail-on = "warning"\n',
}


@pytest.mark.parametrize("name", FILES)
def test_settings_hold_in_the_folder_and_below(name: str, tmp_path: Path) -> None:
    (tmp_path / name).write_text(FILES[name])
    below = tmp_path / "records" / "1987"
    below.mkdir(parents=True)
    for folder in (tmp_path, below):
        assert (settings(folder).select, settings(folder).fail_on) == (("RC",), "warning")


def test_a_pyproject_that_says_nothing_of_us_is_passed_over(tmp_path: Path) -> None:
    (tmp_path / "crosswalk.toml").write_text(FILES["crosswalk.toml"])
    below = tmp_path / "below"
    below.mkdir()
    (below / "pyproject.toml").write_text("[project]\nname = 'other'\n")
    assert settings(below).select == ("RC",)


NONSENSE = {
    "unknown key": ("[validate]\nselct = []", "2: unknown key `selct` in `validate`; did you mean select?"),
    "unknown table": ("# ours\n[validat]\nselect = []", "2: unknown key `validat`; did you mean validate?"),
    "unknown word": ('[validate]\nfail-on = "fatal"', '2: `fail-on` may not be "fatal" in `validate`; it takes one of'),
    "unknown family": ('[validate]\nselect = [\n "XX",\n]', '3: "XX" is no code and no family; families are CA'),
    "unknown layer": ('[validate]\nlayer = ["x"]', '2: `layer` may not be ["x"] in `validate`; it takes a list of'),
    "no TOML": ("[validate", "1: is not TOML"),
}


@pytest.mark.parametrize("case", NONSENSE)
def test_settings_that_make_no_sense(case: str, tmp_path: Path) -> None:
    text, told = NONSENSE[case]
    (tmp_path / "crosswalk.toml").write_text(text)
    with pytest.raises(MappingError) as raised:
        settings(tmp_path)
    assert f"crosswalk.toml:{told}" in str(raised.value)


def test_settings_of_pyproject_that_make_no_sense(tmp_path: Path) -> None:
    text = "[project]\nname = 'x'\n[tool.crosswalk.validate]\nknwn = 'x'\nstrict = 3\n"
    (tmp_path / "pyproject.toml").write_text(text)
    with pytest.raises(MappingError) as raised:
        settings(tmp_path)
    told = [line.rpartition("pyproject.toml:")[2] for line in str(raised.value).splitlines()]
    assert told == [
        "4: unknown key `knwn` in `tool.crosswalk.validate`; did you mean known?",
        "5: `strict` may not be 3 in `tool.crosswalk.validate`; it takes true or false",
    ]


def test_what_is_selected_holds_for_all_findings_of_a_code() -> None:
    assert Selection(("RC",)).takes("RC50")

"""The code table: every field filled, every code used, both examples of each run, the reference page up to date."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

from crosswalk.findings import Severity, codes
from crosswalk.reports import reference
from tests.contracts import code_examples

ROOT = Path(__file__).parent.parent.parent
CASES = code_examples.cases()
# Codes whose examples are run by the tests of their own part, since they need workbooks, folders or drives. The list
# only shrinks: a code that has a case may not stand here.
ELSEWHERE = {
    line.split()[0]
    for line in (code_examples.FOLDER / "elsewhere.txt").read_text(encoding="utf-8").splitlines()
    if line and not line.startswith("#")
}


def test_there_is_a_table() -> None:
    assert len(codes()) > 50


@pytest.mark.parametrize("code", codes())
def test_every_field_is_filled(code: str) -> None:
    row = codes()[code]
    assert re.fullmatch(r"[A-Z]{2}[0-9]{2}", code)
    assert re.fullmatch(r"[a-z]+(-[a-z]+)*\.[a-z0-9]+(-[a-z0-9]+)*", row.name)
    assert row.severity in [severity.word for severity in Severity]
    for field in ("why", "bad", "good", "mend", "source"):
        assert getattr(row, field).strip() == getattr(row, field) != "", field
    assert row.bad != row.good
    assert row.why.endswith("."), "a sentence"
    assert not row.mend.endswith("."), "a step, which messages end with"


def test_names_are_unique() -> None:
    names = [row.name for row in codes().values()]
    assert sorted(names) == sorted(set(names))


def test_families_are_named() -> None:
    assert {code[:2] for code in codes()} <= set(reference.FAMILIES)


def test_every_code_in_the_source_is_in_the_table() -> None:
    families = {code[:2] for code in codes()}
    used = {
        word
        for path in (ROOT / "crosswalk").rglob("*.py")
        for word in re.findall(r'"([A-Z]{2}[0-9]{2})"', path.read_text(encoding="utf-8"))
        if word[:2] in families
    }
    assert used - set(codes()) == set()


@pytest.mark.parametrize("code", CASES)
def test_the_bad_example_is_found(code: str) -> None:
    assert code in code_examples.run(code, CASES[code], "bad")


@pytest.mark.parametrize("code", CASES)
def test_the_good_example_is_not(code: str) -> None:
    assert code not in code_examples.run(code, CASES[code], "good")


def test_cases_are_of_codes_in_the_table() -> None:
    assert set(CASES) <= set(codes())


def test_every_code_has_a_case_or_is_listed() -> None:
    assert set(codes()) - set(CASES) - ELSEWHERE == set()


def test_what_is_listed_has_no_case() -> None:
    assert ELSEWHERE & set(CASES) == set()


def test_the_reference_page_is_up_to_date() -> None:
    """`python -m crosswalk.reports.reference` writes it."""
    assert (ROOT / "docs" / "codes.md").read_text(encoding="utf-8") == reference.page()


@pytest.mark.parametrize("word", ["DT03", "dt03", "date.ambiguous-order"])
def test_explain(word: str) -> None:
    text = reference.explain(word)
    for field in ("code", "name", "why", "bad", "good", "mend", "source"):
        assert getattr(codes()["DT03"], field) in text

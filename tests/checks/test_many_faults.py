"""Very many faults in one record: the work grows with their number and not with its square. Steps are counted, nothing
is timed."""

from __future__ import annotations

import sys
from collections.abc import Callable
from pathlib import Path
from types import FrameType
from typing import Any

import pytest

from crosswalk.checks import tree
from crosswalk.checks.schema import NAMESPACE
from crosswalk.pipeline.validating import validate

TITLE, TEXT = "<pbcoreTitle>Tideline</pbcoreTitle>", "<pbcoreDescription>A walk.</pbcoreDescription>"
CARRIER = """<pbcoreInstantiation><instantiationIdentifier source="Merrow">1</instantiationIdentifier>
<instantiationPhysical source="PBCore instantiationPhysical">Zap</instantiationPhysical>
<instantiationLocation>Vault A</instantiationLocation></pbcoreInstantiation>"""
RELATION = """<pbcoreRelation><pbcoreRelationType>Is Part Of</pbcoreRelationType>
<pbcoreRelationIdentifier>TDLN</pbcoreRelationIdentifier></pbcoreRelation>"""


def attributes(number: int) -> str:
    return "".join(f' a{i}="1"' for i in range(number))


KINDS: dict[str, Callable[[int], str]] = {
    "stray elements": lambda n: "<bogus/>" * n + TITLE + TEXT,
    "stray elements with a prefix": lambda n: '<x:bogus xmlns:x="urn:x"/>' * n + TITLE + TEXT,
    "wrong attributes of many": lambda n: '<pbcoreTitle a="1">t</pbcoreTitle>' * n + TEXT,
    "wrong attributes of one": lambda n: f"<pbcoreTitle{attributes(n)}>t</pbcoreTitle>{TEXT}",
    "wrong terms": lambda n: TITLE + TEXT + CARRIER * n,
    "relations that point nowhere": lambda n: TITLE + TEXT + RELATION * n,
}


def record(body: str) -> str:
    name = '<pbcoreIdentifier source="Merrow">TDLN-1</pbcoreIdentifier>'
    return f'<pbcoreDescriptionDocument xmlns="{NAMESPACE}">{name}{body}</pbcoreDescriptionDocument>'


def steps(work: Callable[[], object]) -> int:
    """How many lines of Python were gone through."""
    count = 0

    def line(frame: FrameType, event: str, arg: Any) -> Any:
        nonlocal count
        count += 1
        return line

    former = sys.gettrace()
    sys.settrace(line)
    try:
        work()
    finally:
        sys.settrace(former)
    return count


@pytest.fixture
def file(tmp_path: Path) -> Path:
    return tmp_path / "in.xml"


@pytest.mark.parametrize("body", KINDS.values(), ids=KINDS.keys())
def test_twice_the_faults_are_twice_the_work(body: Callable[[int], str], file: Path) -> None:
    def work(number: int) -> int:
        file.write_text(record(body(number)), encoding="utf-8")
        done = steps(lambda: validate([file]))
        assert len(validate([file]).findings) >= number
        return done

    work(150)  # what is loaded and remembered once
    assert work(300) < 2.2 * work(150)


@pytest.mark.parametrize("body", KINDS.values(), ids=KINDS.keys())
def test_the_children_of_a_parent_are_numbered_a_few_times_at_most(
    body: Callable[[int], str], file: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    numbered = tree._numbered
    seen: list[int] = []

    def counted(children: tree.Children, name: Callable[..., object]) -> object:
        seen.append(len(children))
        return numbered(children, name)

    monkeypatch.setattr(tree, "_numbered", counted)
    file.write_text(record(body(500)), encoding="utf-8")
    validate([file])
    assert sum(seen) <= 3 * (file.read_text(encoding="utf-8").count("<"))


def test_the_second_engine_is_not_asked_about_hundreds_of_attributes(
    file: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """xmlschema writes out all attributes of the element for each one that is wrong."""

    def fails(path: str) -> None:
        raise AssertionError(path)

    monkeypatch.setattr("crosswalk.checks.schema._explainer", fails)
    file.write_text(record(KINDS["wrong attributes of one"](200)), encoding="utf-8")
    assert {found.code for found in validate([file]).findings} == {"SC05"}

"""The rights review: what was not decided, or not understood, is held; of two rulings the stricter counts."""

from __future__ import annotations

import itertools

import pytest

from crosswalk.findings import Finding, Origin
from crosswalk.rights.review import Line, Review, Status, read_review

WORDS = {
    Status.OPEN: ("open", "cleared"),
    Status.IN_HOUSE: ("in-house only",),
    Status.HOLD: ("hold",),
}
SAID = {Status.OPEN: "open", Status.IN_HOUSE: "in-house only", Status.HOLD: "hold", Status.NOT_REVIEWED: ""}


def review(*lines: tuple[str, str]) -> tuple[Review, list[Finding]]:
    findings: list[Finding] = []
    written = [
        Line(asset, decision, "why", Origin(cell=f"Review!C{row}")) for row, (asset, decision) in enumerate(lines, 4)
    ]
    return read_review(written, WORDS, findings), findings


@pytest.mark.parametrize(
    ("word", "status"),
    [
        ("open", Status.OPEN),
        (" Open ", Status.OPEN),
        ("CLEARED", Status.OPEN),
        ("In-House  Only", Status.IN_HOUSE),
        ("hold", Status.HOLD),
        ("", Status.NOT_REVIEWED),
        ("  ", Status.NOT_REVIEWED),
    ],
)
def test_words_of_the_job_decide(word: str, status: Status) -> None:
    found, findings = review(("TDLN-0423", word))
    assert found.of(["tdln-0423 "]).status is status
    assert found.is_open("TDLN-0423") is (status is Status.OPEN)
    assert findings == []


@pytest.mark.parametrize("word", ["opn", "open?", "not open", "ok I think", "#REF!", "yes"])
def test_a_word_that_the_job_does_not_name_holds_and_is_told(word: str) -> None:
    found, findings = review(("TDLN-0423", word))
    ruling = found.of(["TDLN-0423"])
    assert (ruling.status, ruling.reason) == (Status.HOLD, f'decision not understood: "{word}"')
    assert [(one.code, one.origin.cell, one.value) for one in findings] == [("RT01", "Review!C4", word)]


def test_what_is_not_listed_is_not_reviewed() -> None:
    found, _ = review(("TDLN-0423", "open"))
    assert found.of(["TDLN-0424"]).status is Status.NOT_REVIEWED
    assert found.of([]).status is Status.NOT_REVIEWED
    assert not found.is_open("TDLN-0424")


@pytest.mark.parametrize(("first", "second"), list(itertools.product(SAID, repeat=2)), ids=str)
def test_of_two_rulings_the_stricter_counts_in_either_order(first: Status, second: Status) -> None:
    order = [Status.OPEN, Status.IN_HOUSE, Status.NOT_REVIEWED, Status.HOLD]
    found, findings = review(("A", SAID[first]), ("a", SAID[second]))
    assert found.of(["A"]).status is max(first, second, key=order.index)
    assert [one.code for one in findings] == ([] if first is second else ["RT02"])


def test_an_asset_of_two_identifiers_obeys_the_stricter_ruling() -> None:
    found, _ = review(("A", "open"), ("B", "hold"))
    assert found.of(["A", "B"]).status is Status.HOLD
    assert found.of(["A", "C"]).status is Status.OPEN

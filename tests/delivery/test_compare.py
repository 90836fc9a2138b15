"""Comparing two sets of records: every difference is found, with its place; what a house takes for the same is not."""

from __future__ import annotations

import csv
import io
import json
from pathlib import Path
from typing import Any

import msgspec
import pytest
from hypothesis import given

from crosswalk.delivery.compare import as_csv, as_json, as_text, by_identifier, compare
from crosswalk.delivery.differences import Equivalences
from crosswalk.findings import Finding
from crosswalk.records import (
    AgentName,
    Asset,
    Contributor,
    ContributorRole,
    DateText,
    Evidence,
    Identifier,
    Instantiation,
    Record,
    Subject,
    Text,
    Title,
)
from crosswalk.standards.base import ReadOptions, WriteOptions
from crosswalk.standards.pbcore import STANDARD
from tests.contracts.strategies import records
from tests.search import examples

CARRIER = Instantiation(identifiers=(Identifier("0117", source="s"),), physical=Text("U-matic"), location=Text("Bay 2"))
BASE = Asset(
    identifiers=(Identifier("TDLN0423", source="Merrow"),),
    titles=(Title("Tideline", title_type="Series"), Title("Waders")),
    dates=(DateText("1987-04-03"),),
    subjects=(Subject("salt marsh"), Subject("waders"), Subject("tides")),
    contributors=(Contributor(contributor=AgentName("Penhale, Jory"), roles=(ContributorRole("Host"),)),),
    instantiations=(CARRIER, Instantiation(identifiers=(Identifier("0118", source="s"),), location=Text("Bay 3"))),
)


def changed(**fields: Any) -> Asset:
    return msgspec.structs.replace(BASE, **fields)


def lines(left: Record, right: Record, **same: Any) -> list[tuple[str, str, str, str]]:
    found = compare([left], [right], Equivalences(**same))
    return [(each.field, each.kind, each.left, each.right) for each in found.differences]


ANOTHER = Title("Waders", source="s")
CASES = {
    "a text": (changed(dates=(DateText("1988"),)), [("asset.date[1]", "changed", "1987-04-03", "1988")]),
    "an attribute": (
        changed(titles=(BASE.titles[0], ANOTHER)), [("asset.title[2]@source", "only right", "", "s")],
    ),
    "one less": (changed(subjects=BASE.subjects[1:]), [("asset.subject[1]", "only left", "salt marsh", "")]),
    "one more": (changed(subjects=(*BASE.subjects, Subject("x"))), [("asset.subject[4]", "only right", "", "x")]),
    "another order": (
        changed(subjects=BASE.subjects[::-1]),
        [("asset.subject", "order", "salt marsh | waders | tides", "tides | waders | salt marsh")],
    ),
    "deep": (
        changed(contributors=(Contributor(contributor=AgentName("Penhale, Jory"), roles=(ContributorRole("Crew"),)),)),
        [("asset.contributor[1].contributor-role[1]", "changed", "Host", "Crew")],
    ),
    "carriers are paired by identifier": (
        changed(instantiations=(BASE.instantiations[1], msgspec.structs.replace(CARRIER, physical=Text("VHS")))),
        [("asset.instantiation[1].physical", "changed", "U-matic", "VHS")],
    ),
    "a carrier gone": (
        changed(instantiations=BASE.instantiations[:1]),
        [
            ("asset.instantiation[2].identifier[1]", "only left", "0118", ""),
            ("asset.instantiation[2].identifier[1]@source", "only left", "s", ""),
            ("asset.instantiation[2].location", "only left", "Bay 3", ""),
        ],
    ),
}  # fmt: skip


@pytest.mark.parametrize(("right", "expected"), CASES.values(), ids=CASES.keys())
def test_differences_are_named(right: Asset, expected: list[tuple[str, str, str, str]]) -> None:
    assert lines(BASE, right) == expected


SAME = {
    "case": (changed(titles=(Title("TIDELINE", title_type="series"), Title("waders"))), {"case": True}),
    "space": (changed(titles=(Title(" Tideline\n", title_type="Series"), Title("Waders "))), {"space": True}),
    "dates": (changed(dates=(DateText("3 April 1987"),)), {"dates": True}),
    "order": (changed(subjects=BASE.subjects[::-1]), {"order": True}),
    "ignored field": (changed(subjects=()), {"ignore": ("asset.subject",)}),
    "ignored field of carriers": (
        changed(instantiations=(msgspec.structs.replace(CARRIER, location=Text("Bay 9")), BASE.instantiations[1])),
        {"ignore": ("instantiation.location",)},
    ),
    "ignored attribute": (changed(titles=(BASE.titles[0], ANOTHER)), {"ignore": ("asset.title@source",)}),
}


@pytest.mark.parametrize(("right", "same"), SAME.values(), ids=SAME.keys())
def test_equivalences_are_off_until_asked_for(right: Asset, same: dict[str, Any]) -> None:
    assert lines(BASE, right)
    assert not compare([BASE], [right], Equivalences(**same)).differ


def test_order_does_not_hide_a_change() -> None:
    right = changed(subjects=(Subject("tides"), Subject("gulls"), Subject("salt marsh")))
    assert lines(BASE, right, order=True) == [("asset.subject[2]", "changed", "waders", "gulls")]


@examples(40)
@given(records(), records())
def test_a_difference_is_found_where_there_is_one(left: Record, right: Record) -> None:
    pair = compare([left], [right], key=lambda record: "")
    assert pair.differ == (left != right)
    assert not compare([left], [left]).differ
    swapped = compare([right], [left], key=lambda record: "")
    assert len(swapped.differences) == len(pair.differences)


def test_records_without_a_fellow() -> None:
    other = changed(identifiers=(Identifier("FRYH01", source="Merrow"),))
    found = compare([BASE, other, BASE], [BASE, BASE])
    assert [(each.record, each.side, each.why) for each in found.unpaired] == [
        ("TDLN0423", "left", "twice"), ("TDLN0423", "right", "twice"), ("FRYH01", "left", "alone"),
    ]  # fmt: skip
    assert (found.left_count, found.right_count, found.paired, found.equal) == (3, 2, 1, 1)


def test_pairing_by_another_identifier() -> None:
    right = changed(identifiers=(Identifier("7", source="database"), *BASE.identifiers))
    assert compare([BASE], [right]).paired == 0
    assert compare([BASE], [right], key=by_identifier("Merrow")).paired == 1


def test_both_places_are_named(tmp_path: Path) -> None:
    assert STANDARD.read is not None and STANDARD.write is not None
    (document,) = STANDARD.write([changed(titles=(Title("Waders"),))], WriteOptions())
    path = tmp_path / "back.xml"
    path.write_bytes(document.content)
    right = [item for item in STANDARD.read(path, ReadOptions(evidence=True)) if not isinstance(item, Finding)]
    cell = Evidence("waders", file="tapes.xlsx", sheet="Tapes", row=27, column=5)
    left = changed(titles=(Title("WADERS", evidence=cell),))
    (difference,) = compare([left], right).differences
    assert (difference.left_place, difference.right_place) == ("tapes.xlsx Tapes!F27", f"{path}:6")
    assert cell.cell in as_text(compare([left], right))


def test_the_three_outputs_say_the_same() -> None:
    found = compare([BASE, Asset()], [changed(titles=(Title("=1"),))])
    table = list(csv.reader(io.StringIO(as_csv(found))))
    told = json.loads(as_json(found))
    assert len(table) - 1 == len(told["differences"]) + len(told["unpaired"]) == len(as_text(found).splitlines()) - 1
    assert not [cell for row in table for cell in row if cell.startswith("=")]

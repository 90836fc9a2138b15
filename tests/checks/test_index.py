"""What shows only between records: in one process, from several workers, and in flat memory."""

from __future__ import annotations

import pytest

from crosswalk.checks.index import BATCH_ROWS, Gathered, RecordIndex
from crosswalk.checks.place import Place
from crosswalk.checks.schema import TAGS
from crosswalk.checks.stream import Records
from crosswalk.records import (
    Asset,
    AssetRelation,
    Evidence,
    Identifier,
    Instantiation,
    InstantiationRelation,
    Part,
    Text,
)
from tests.checks.documents import LINES, collection, record, to_record


def named(*texts: str, source: str = "log") -> tuple[Identifier, ...]:
    return tuple(Identifier(text, source=source) for text in texts)


def related(name: str, **to: str) -> Asset:
    """An asset with relations, by type in camel case: `IsPartOf="TDLN"`."""
    relations = tuple(AssetRelation(type=Text(kind), identifier=Text(text)) for kind, text in to.items())
    return Asset(identifiers=named(name), relations=relations)


def held(number: str, physical: str, **fields: object) -> Asset:
    identifiers = named(number, source="shelf")
    carrier = Instantiation(identifiers=identifiers, physical=Text(physical), **fields)  # type: ignore[arg-type]
    return Asset(instantiations=(carrier,))


def copied(number: str, kind: str, other: str) -> Instantiation:
    relation = InstantiationRelation(type=Text(kind), identifier=Text(other))
    return Instantiation(identifiers=named(number), relations=(relation,))


CASES: dict[str, tuple[list[Asset | Instantiation], list[str]]] = {
    "nothing": ([], []),
    "two assets": ([Asset(identifiers=named("A")), Asset(identifiers=named("B"))], []),
    "one identifier twice": ([Asset(identifiers=named("A")), Asset(identifiers=named("A"))], ["RC10"]),
    "one identifier three times": ([Asset(identifiers=named("A"))] * 3, ["RC10", "RC10"]),
    "one identifier twice in one record": ([Asset(identifiers=named("A", "A"))], ["RC10"]),
    "the same text from two sources": (
        [Asset(identifiers=named("A")), Asset(identifiers=named("A", source="other"))],
        [],
    ),
    "an asset and a carrier of one number": (
        [Asset(identifiers=named("A")), Instantiation(identifiers=named("A"))],
        [],
    ),
    "a part with the identifier of its whole": (
        [Asset(identifiers=named("A"), parts=(Part(identifiers=named("A")),))],
        ["RC10"],
    ),
    "one carrier under two assets": ([held("0117", "U-matic"), held("0117", "U-matic")], []),
    "two carriers of one number": ([held("0117", "U-matic"), held("0117", "VHS")], ["RC11"]),
    "to nowhere": ([related("A", IsPartOf="B")], ["RL01"]),
    "to a record before": ([Asset(identifiers=named("B")), related("A", IsPartOf="B")], []),
    "to a record after": ([related("A", IsPartOf="B"), Asset(identifiers=named("B"))], []),
    "to a carrier": ([related("A", IsPartOf="B"), Instantiation(identifiers=named("B"))], ["RL01"]),
    "to itself": ([related("A", IsPartOf="A")], ["RL03"]),
    "one way": ([related("A", HasDerivative="B"), Asset(identifiers=named("B"))], ["RL02"]),
    "both ways": ([related("A", HasDerivative="B"), related("B", DerivedFrom="A")], []),
    "both ways, the wrong kind": ([related("A", HasDerivative="B"), related("B", References="A")], ["RL02", "RL02"]),
    "a kind that is its own inverse": ([related("A", IsRelatedTo="B"), related("B", IsRelatedTo="A")], []),
    "a kind without a published inverse": ([related("A", IsPartOf="B"), Asset(identifiers=named("B"))], []),
    "back to the second identifier": (
        [
            Asset(identifiers=named("A", "A2"), relations=related("", HasDerivative="B").relations),
            related("B", DerivedFrom="A2"),
        ],
        [],
    ),
    "carriers, both ways": ([copied("1", "Dubbed To", "2"), copied("2", "Is Dub Of", "1")], []),
    "carriers, one way": ([copied("1", "Dubbed To", "2"), Instantiation(identifiers=named("2"))], ["RL02"]),
    "a record without an identifier": ([Asset(relations=related("", IsPartOf="B").relations)], ["RL01"]),
}


@pytest.mark.parametrize("case", CASES)
def test_what_shows_between_records(case: str) -> None:
    records, expected = CASES[case]
    index = RecordIndex()
    for read in records:
        index.add(read)
    assert sorted(one.code for one in index.findings()) == sorted(expected)


@pytest.mark.parametrize("case", CASES)
def test_workers_find_the_same(case: str) -> None:
    """Each record read by a worker of its own, in the order of the files."""
    records, expected = CASES[case]
    index = RecordIndex()
    for read in records:
        gathered = Gathered()
        gathered.add(read)
        index.add_rows(*gathered.rows)
    assert sorted(one.code for one in index.findings()) == sorted(expected)


def test_beyond_one_batch() -> None:
    index = RecordIndex()
    for number in range(BATCH_ROWS * 2 + 10):
        index.add(related(f"A{number}", IsRelatedTo=f"A{number ^ 1}"))
    index.add(related("A7", IsPartOf="nowhere"))
    assert [(one.code, one.value) for one in index.findings()] == [("RC10", "A7"), ("RL01", "nowhere")]


def test_the_second_points_to_the_first() -> None:
    index = RecordIndex()
    for row in (43, 57):
        evidence = Evidence("2037", file="tapes.xlsx", sheet="Video 1990s", row=row, column=0)
        index.add(held("2037", f"kind {row}").instantiations[0])
        index.add(Asset(identifiers=(Identifier("A", source="log", evidence=evidence),)))
    found = {one.code: one for one in index.findings()}
    assert found["RC10"].origin.cell == "Video 1990s!A57"
    assert "Video 1990s!A43" in found["RC10"].message


def test_lines_and_paths_in_a_document() -> None:
    relation = (
        "  <pbcoreRelation>\n    <pbcoreRelationType>Is Part Of</pbcoreRelationType>\n"
        "    <pbcoreRelationIdentifier>TDLN</pbcoreRelationIdentifier>\n  </pbcoreRelation>\n"
    )
    second = record(1).replace("  <pbcoreRightsSummary>", relation + "  <pbcoreRightsSummary>", 1)
    index = RecordIndex()
    for number, element in enumerate(Records([collection(record(1), second)], TAGS), 1):
        read = to_record(element)
        assert read is not None
        index.add(read, Place("in.xml", element, number))
    found = {one.code: one.origin for one in index.findings()}
    start = 2 + LINES
    assert (found["RC10"].line, found["RC10"].record) == (start + 2, "TDLN-0001")
    assert found["RC10"].path == "/pbcoreCollection/pbcoreDescriptionDocument[2]/pbcoreIdentifier[1]"
    assert (found["RL01"].line, found["RL01"].path) == (
        start + 7,
        "/pbcoreCollection/pbcoreDescriptionDocument[2]/pbcoreRelation[1]",
    )

"""The gate: nothing that is not cleared passes, neither as a value nor inside a relation or a part."""

from __future__ import annotations

from hypothesis import given

from crosswalk.records import (
    AgentName,
    Annotation,
    Asset,
    AssetRelation,
    Contributor,
    ContributorRole,
    Evidence,
    Identifier,
    Instantiation,
    InstantiationRelation,
    Part,
    Text,
    Title,
)  # fmt: skip
from crosswalk.rights.gate import PART, RELATION, public_copy
from tests.contracts.strategies import nodes
from tests.search import examples

OPEN = {"TDLN-0423", "TDLN"}


def is_open(identifier: str) -> bool:
    return identifier in OPEN


def relation(to: str | None, row: int = 1) -> AssetRelation:
    evidence = Evidence("x", "log.csv", "", row, 4)
    return AssetRelation(type=Text("Is Part Of"), identifier=None if to is None else Text(to, evidence=evidence))


def test_relations_to_what_is_not_open_are_taken_out_and_named() -> None:
    asset = Asset(relations=(relation("TDLN"), relation("HNDW", 2), relation("nobody knows", 3)))
    copy = public_copy(asset, is_open)
    assert [one.identifier.text for one in copy.asset.relations if one.identifier] == ["TDLN"]
    assert [(one.evidence.row, one.why) for one in copy.kept] == [(2, RELATION), (3, RELATION)]


def test_carriers_of_the_same_record_may_point_at_each_other() -> None:
    def copied(to: str) -> InstantiationRelation:
        return InstantiationRelation(type=Text("Is Dub Of"), identifier=Text(to))

    first = Instantiation(identifiers=(Identifier("1004"),))
    second = Instantiation(identifiers=(Identifier("1005"),), relations=(copied("1004"), copied("2037")))
    found = public_copy(Asset(instantiations=(first, second)), is_open).asset
    assert [one.identifier.text for one in found.instantiations[1].relations if one.identifier] == ["1004"]


def test_parts_of_what_is_not_open_are_taken_out_whole() -> None:
    held = Part(identifiers=(Identifier("HNDW-0101"),), titles=(Title("Clay", evidence=Evidence("Clay", row=3)),))
    free = Part(identifiers=(Identifier("TDLN-0423"),))
    nameless = Part(titles=(Title("Whose?"),))
    copy = public_copy(Asset(parts=(held, free, nameless)), is_open)
    assert copy.asset.parts == (free,)
    assert [(one.evidence.text, one.why) for one in copy.kept] == [("Clay", PART)]


def test_a_part_inside_an_open_part_is_judged_too() -> None:
    inner = Part(identifiers=(Identifier("HNDW-0101"),))
    outer = Part(identifiers=(Identifier("TDLN-0423"),), parts=(inner,))
    assert public_copy(Asset(parts=(outer,)), is_open).asset.parts[0].parts == ()


def test_a_value_that_stays_in_the_house_takes_its_container_along() -> None:
    private = Evidence("Quill", row=2, public=False)
    who = Contributor(contributor=AgentName("Quill", evidence=private), roles=(ContributorRole("Host"),))
    asset = Asset(contributors=(who,), annotations=(Annotation("kept", evidence=private), Annotation("free")))
    copy = public_copy(asset, is_open)
    assert copy.asset == Asset(annotations=(Annotation("free"),))
    assert len(copy.kept) == 2


def test_where_nothing_is_withheld_the_record_is_the_very_same() -> None:
    asset = Asset(titles=(Title("Dusk"),), relations=(relation("TDLN"),))
    assert public_copy(asset, is_open).asset is asset


@examples(60)
@given(nodes(Asset))
def test_where_all_is_open_nothing_changes(asset: Asset) -> None:
    copy = public_copy(asset, lambda identifier: True)
    assert copy.kept == []
    assert copy.asset == asset


@examples(60)
@given(nodes(Asset))
def test_where_nothing_is_open_no_relation_and_no_part_is_left(asset: Asset) -> None:
    found = public_copy(asset, lambda identifier: False).asset
    assert found.parts == ()
    assert not [one for one in found.relations if one.identifier is not None]

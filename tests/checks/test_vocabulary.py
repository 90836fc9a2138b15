"""The vocabulary layer, held against the published lists, ISO 639, EDTF and the registered form of media types."""

from __future__ import annotations

import csv
from pathlib import Path

import pycountry
import pytest
from hypothesis import given

from crosswalk.checks.vocabulary import ASSET_SITES, INSTANTIATION_SITES, TRACK_SITES, Site, check_vocabulary, judge
from crosswalk.findings import Severity
from crosswalk.records import (
    Asset,
    AssetRelation,
    Contributor,
    ContributorRole,
    DateText,
    Description,
    EssenceTrack,
    Instantiation,
    Language,
    Node,
    Text,
    Title,
    shape,
)
from tests.contracts.strategies import records

SHARED = Path(__file__).parents[3] / "shared" / "standards"


def generations(*texts: str, source: str | None = None) -> Instantiation:
    return Instantiation(generations=tuple(Text(text, source=source) for text in texts))


CASES: dict[str, tuple[Asset | Instantiation, list[tuple[str, str]]]] = {
    "nothing": (Asset(), []),
    "a published term": (generations("Master", "Dub"), []),
    "a published term in other letters": (generations("master"), [("VO12", "Master")]),
    "a wording": (Instantiation(physical=Text("Umatic")), [("VO12", "U-matic")]),
    "a term with its detail": (Instantiation(physical=Text("Optical video disc: XDCAM")), []),
    "a term with a detail of the house": (Instantiation(physical=Text("Betacam: short tape")), []),
    "a slip": (generations("Mastr"), [("VO11", "Master")]),
    "a word that is near nothing": (generations("qqq"), [("VO11", "")]),
    "a word of the house's own list": (generations("qqq", source="Merrow list"), []),
    "a word of a list that it is not on": (
        generations("qqq", source="PBCore instantiationGenerations"),
        [("VO11", "")],
    ),
    "the second of two": (generations("Master", "qqq"), [("VO11", "")]),
    "a type of title": (
        Asset(titles=(Title("A", title_type="Episode"), Title("B", title_type="Epsode"))),
        [("VO11", "Episode")],
    ),
    "a type of title with a source": (Asset(titles=(Title("A", title_type="x", title_type_source="house"),)), []),
    "a type of date": (Asset(dates=(DateText("1987", date_type="first shown in public"),)), [("VO11", "")]),
    "a type of description": (Asset(descriptions=(Description("A", description_type="Summary"),)), []),
    "a role": (Asset(contributors=(Contributor(roles=(ContributorRole("Reportr"),)),)), [("VO11", "Reporter")]),
    "a relation": (Asset(relations=(AssetRelation(type=Text("is part of")),)), [("VO12", "Is Part Of")]),
    "a date": (Asset(dates=(DateText("1987-04-03"), DateText("198X"), DateText("1987/.."))), []),
    "a moment": (Asset(dates=(DateText("1987-04-03T20:15:00Z"),)), []),
    "a date in words": (Asset(dates=(DateText("3 April 1987"),)), [("VO14", "1987-04-03")]),
    "a date that the calendar has not": (Asset(dates=(DateText("1987-02-30"),)), [("VO14", "1987-02-28")]),
    "a length": (Instantiation(duration=Text("00:58:30")), []),
    "a length in words": (Instantiation(duration=Text("58 min")), [("VO15", "00:58:00")]),
    "a language": (Instantiation(languages=(Language("eng"),)), []),
    "two languages": (Instantiation(languages=(Language("eng;fre"),)), []),
    "the other code of a language": (Instantiation(languages=(Language("fra"),)), []),
    "a code that nobody was given": (Instantiation(languages=(Language("eng;xqx"),)), [("VO13", "")]),
    "a language of a track": (
        Instantiation(essence_tracks=(EssenceTrack(languages=(Language("xqx"),)),)),
        [("VO13", "")],
    ),
    "a media type": (Instantiation(digital=Text("video/mp4")), []),
    "a media type with a parameter": (Instantiation(digital=Text("video/mp4; codecs=avc1")), []),
    "a format in words": (Instantiation(digital=Text("QuickTime")), [("VO16", "video/quicktime")]),
}


@pytest.mark.parametrize("case", CASES)
def test_what_the_layer_finds(case: str) -> None:
    read, expected = CASES[case]
    found = check_vocabulary(read)
    assert [(one.code, next(iter(one.suggestions), "")) for one in found] == expected


@pytest.mark.parametrize("case", CASES)
def test_the_second_look_is_like_the_first(case: str) -> None:
    """What is fine is remembered; what is not is told each time."""
    read, _ = CASES[case]
    assert check_vocabulary(read) == check_vocabulary(read)


def test_what_claims_a_list_is_held_to_it() -> None:
    claims = check_vocabulary(generations("qqq", source="PBCore instantiationGenerations"))
    says_nothing = check_vocabulary(generations("qqq"))
    assert [one.severity for one in claims + says_nothing] == [Severity.ERROR, Severity.WARNING]


def test_a_word_that_is_fine_by_its_source_is_not_fine_by_itself() -> None:
    house = generations("Schnittfassung", source="Merrow list")
    assert check_vocabulary(house) == []
    assert [one.code for one in check_vocabulary(generations("Schnittfassung"))] == ["VO11"]
    assert check_vocabulary(house) == []


@given(records())
def test_no_record_is_too_odd(read: Asset | Instantiation) -> None:
    assert all(one.message and one.value for one in check_vocabulary(read))


SITES: list[tuple[type[Node], tuple[Site, ...]]] = [
    (Asset, ASSET_SITES),
    (Instantiation, INSTANTIATION_SITES),
    (EssenceTrack, TRACK_SITES),
]


@pytest.mark.parametrize(("cls", "sites"), SITES)
def test_sites_are_of_the_model(cls: type[Node], sites: tuple[Site, ...]) -> None:
    elements = {child.field: child.element for child in shape(cls).children}
    assert {site.field: site.element for site in sites}.items() <= elements.items()


LISTS = {  # the published PBCore list, and ours
    "pbcoreassettype": "asset-types",
    "datetype": "date-types",
    "titletype": "title-types",
    "descriptiontype": "description-types",
    "instantiationgenerations": "generations",
    "instantiationmediatype": "media-types",
    "instantiationphysical-audio": "carriers",
    "instantiationphysical-video": "carriers",
    "instantiationphysical-film": "carriers",
    "pbcorerelationtype": "asset-relations",
    "instantiationrelationtype": "instantiation-relations",
    "creatorrole-and-contributorrole": "roles",
    "publisherrole": "publisher-roles",
}


@pytest.mark.live
@pytest.mark.skipif(not SHARED.is_dir(), reason="the published vocabularies are not beside the checkout")
def test_every_published_term_is_accepted() -> None:
    """PBCore controlled vocabularies, as published."""
    with (SHARED / "pbcore-vocabularies.csv").open(encoding="utf-8") as stream:
        rows = [row[:2] for row in csv.reader(stream)][1:]
    refused = [(name, term) for name, term in rows if name in LISTS and judge(LISTS[name], term, "PBCore") is not None]
    assert len(rows) > 200
    assert refused == []


# The stand-in for the list above, from the published vocabularies: three of each kind.
@pytest.mark.parametrize(
    ("kind", "terms"),
    [
        ("asset-types", ("Episode", "Series", "Segment")),
        ("date-types", ("broadcast", "created", "digitized")),
        ("generations", ("Master", "Answer print", "Submaster")),
        ("media-types", ("Moving Image", "Audio")),
        ("carriers", ("U-matic", "DAT", "VHS")),
        ("asset-relations", ("Is Part Of", "Has Derivative", "References")),
    ],
)
def test_some_published_terms_are_accepted(kind: str, terms: tuple[str, ...]) -> None:
    assert [term for term in terms if judge(kind, term, "PBCore") is not None] == []


def test_every_language_of_iso_639_is_accepted() -> None:
    """ISO 639-2 and 639-3 as pycountry has them."""
    three = {language.alpha_3 for language in pycountry.languages}
    three |= {language.bibliographic for language in pycountry.languages if hasattr(language, "bibliographic")}
    assert [code for code in sorted(three) if judge("language", code) is not None] == []


# The published examples of EDTF that level 0 and 1 have (Library of Congress, 2019-02-04), written out from memory.
@pytest.mark.parametrize(
    "text", ["1985-04-12", "1985-04", "1985", "1964/2008", "1984?", "2004-06~", "201X", "1985-04-12/..", "2001-21"]
)
def test_edtf_is_accepted(text: str) -> None:
    assert judge("date", text) is None

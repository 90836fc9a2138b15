"""What every vocabulary keeps: published terms only, one meaning an alias, examples that hold, addresses that exist.

Published lists are recorded in tests/data/published_terms.json (facts only) and compared with the lists themselves
where they stand beside the checkout.
"""

from __future__ import annotations

import csv
import json
import mimetypes
from pathlib import Path
from typing import Any

import pycountry
import pytest

from crosswalk.values.examples import failing_examples
from crosswalk.values.registry import PARSERS
from crosswalk.vocabularies import Vocabulary, fold, load, names

PUBLISHED: dict[str, Any] = json.loads((Path(__file__).parents[1] / "data" / "published_terms.json").read_text("utf-8"))
STANDARDS = Path(__file__).resolve().parents[2].parent / "shared" / "standards"
LISTS = {
    "generations": ("instantiationgenerations",),
    "asset-types": ("pbcoreassettype",),
    "date-types": ("datetype",),
    "title-types": ("titletype",),
    "description-types": ("descriptiontype",),
    "roles": ("creatorrole-and-contributorrole",),
    "publisher-roles": ("publisherrole",),
    "asset-relations": ("pbcorerelationtype",),
    "instantiation-relations": ("instantiationrelationtype",),
    "media-types": ("instantiationmediatype",),
    "carriers": ("instantiationphysical-audio", "instantiationphysical-film", "instantiationphysical-video"),
}
live = pytest.mark.skipif(not STANDARDS.is_dir(), reason="the published standards are not beside this checkout")


@pytest.fixture(params=names())
def vocabulary(request: pytest.FixtureRequest) -> Vocabulary:
    return load(request.param)


def published(*lists: str) -> dict[str, str]:
    return {term: key for name in lists for term, key in PUBLISHED["pbcore"][name]["terms"].items()}


@pytest.mark.parametrize("name", LISTS)
def test_terms_are_the_published_ones(name: str) -> None:
    ours = {entry.term: entry.id for entry in load(name).term if entry.term}
    assert ours == published(*LISTS[name])
    assert load(name).registry in {PUBLISHED["pbcore"][listed]["registry"] for listed in LISTS[name]}


def test_there_are_79_carriers() -> None:
    assert sum(1 for entry in load("carriers").term if entry.term) == 79


def test_no_alias_means_two_terms(vocabulary: Vocabulary) -> None:
    owners: dict[str, set[str]] = {}
    for entry in vocabulary.term:
        for wording in filter(None, (entry.name, entry.id, entry.uri, *entry.aliases)):
            owners.setdefault(fold(wording), set()).add(entry.name)
    assert {wording: terms for wording, terms in owners.items() if len(terms) > 1} == {}


def test_aliases_are_worth_their_row(vocabulary: Vocabulary) -> None:
    assert [alias for entry in vocabulary.term for alias in entry.aliases if not fold(alias)] == []


def test_broader_terms_exist_and_every_fact_has_a_basis_that_is_named(vocabulary: Vocabulary) -> None:
    for entry in vocabulary.term:
        assert not entry.broader or entry.broader in vocabulary.by_name
        assert set(entry.basis) <= set(entry.facts), entry.name
        assert set(entry.basis.values()) <= set(vocabulary.basis), entry.name


@pytest.mark.parametrize("name", [name for name in names() if load(name).read])
def test_the_examples_of_each_file_hold(name: str) -> None:
    assert load(name).read in PARSERS
    assert len(load(name).example) > 2
    assert failing_examples(name) == []


@pytest.mark.parametrize(
    "entry", [e for name in ("roles", "publisher-roles") for e in load(name).term if e.facts], ids=lambda e: e.name
)
def test_relators_are_published(entry: Any) -> None:
    """MARC relators, Library of Congress."""
    label, address = PUBLISHED["relators"][entry.facts["relator"]]
    assert entry.facts["relator_uri"] == address
    assert label


@pytest.mark.parametrize("name, listed", [("rda-carrier-types", "rda_carriers"), ("rda-media-types", "rda_media")])
def test_rda_types_are_published(name: str, listed: str) -> None:
    """RDA carrier and media types: Library of Congress, RDA Registry."""
    ours = {entry.id: [entry.term, entry.uri, entry.facts["rda_uri"]] for entry in load(name).term}
    assert ours == PUBLISHED[listed]


@pytest.mark.parametrize("entry", load("carriers").term, ids=lambda e: e.name)
def test_carriers_have_rda_types_and_the_facts_that_checks_use(entry: Any) -> None:
    assert entry.facts["rda"] in PUBLISHED["rda_carriers"]
    assert entry.facts["media"] in PUBLISHED["rda_media"]
    assert entry.facts["kind"] in ("audio", "video", "film")
    for fact in ("width_mm", "first_year", "capacity_min", "standards"):
        assert (fact in entry.facts) == (fact in entry.basis), fact
    assert 1870 < entry.facts["first_year"] < 2010


def test_rights_addresses_are_published() -> None:
    """RightsStatements.org 1.0; Creative Commons."""
    ours = [entry.uri for entry in load("rights").term]
    assert sorted(uri for uri in ours if "rightsstatements" in uri) == PUBLISHED["rights_statements"]
    assert {uri for uri in ours if "creativecommons" in uri} <= set(PUBLISHED["creative_commons"])


@pytest.mark.parametrize("entry", load("languages").term, ids=lambda e: e.name)
def test_languages_are_those_of_iso_639(entry: Any) -> None:
    """Against pycountry (ISO 639-3 with the bibliographic codes of ISO 639-2)."""
    if entry.name == "sgn":  # a collective code of ISO 639-2, which ISO 639-3 does not list
        return
    terminological = entry.facts.get("alpha_3", entry.name)
    found = pycountry.languages.get(alpha_3=terminological)
    assert found is not None
    assert getattr(found, "bibliographic", found.alpha_3) == entry.name
    assert getattr(found, "alpha_2", None) == entry.facts.get("alpha_2")


OTHERWISE = {  # extensions that a table reads otherwise, and why ours differs
    "3gp": {"audio/3gpp"},  # a video archive's 3gp holds pictures
    "opus": {"audio/opus"},  # the container is Ogg
    "ram": {"application/x-pn-realaudio"},
    "srt": {"text/plain"},
}
DEBIAN = Path("/etc/mime.types")
DEBIANS_OWN = {"mts", "rm", "mid", "exr"}  # a model, RealAudio, ringing tones, ACES: other uses of these extensions


def unlike(table: mimetypes.MimeTypes) -> list[tuple[str, str, str]]:
    return [
        (extension, guessed, entry.name)
        for entry in load("file-formats").term
        for extension in str(entry.facts["extensions"]).split()
        for guessed in [table.types_map[True].get(f".{extension}")]
        if guessed and guessed not in {entry.name, entry.facts.get("common"), *OTHERWISE.get(extension, ())}
    ]


def test_media_types_agree_with_pythons_table() -> None:
    """Against Python's own `mimetypes`, without the files of this machine."""
    assert unlike(mimetypes.MimeTypes(filenames=())) == []


@pytest.mark.skipif(not DEBIAN.exists(), reason="this system has no table of media types")
def test_media_types_agree_with_the_systems_table() -> None:
    """Against Debian's table (package media-types), where it is installed."""
    table = mimetypes.MimeTypes(filenames=())
    table.types_map = ({}, {})
    table.read(str(DEBIAN))
    assert [found for found in unlike(table) if found[0] not in DEBIANS_OWN] == []


@pytest.mark.parametrize("name", ["asset-relations", "instantiation-relations"])
def test_inverses_go_both_ways(name: str) -> None:
    entries = load(name).by_name
    for entry in entries.values():
        if "inverse" in entry.facts:
            assert entries[str(entry.facts["inverse"])].facts["inverse"] == entry.name


@live
@pytest.mark.live
def test_the_recorded_lists_are_the_published_ones() -> None:
    with (STANDARDS / "pbcore-vocabularies.csv").open(encoding="utf-8", newline="") as file:
        rows = [(row["vocabulary"], row["term"], row["id"]) for row in csv.DictReader(file)]
    assert [
        (name, term, key) for name, kept in PUBLISHED["pbcore"].items() for term, key in kept["terms"].items()
    ] == rows
    with (STANDARDS / "vocab" / "marc-relators.csv").open(encoding="utf-8", newline="") as file:
        assert PUBLISHED["relators"] == {row["code"]: [row["label"], row["uri"]] for row in csv.DictReader(file)}


MEANT = {  # the carriers of the facts table, and ours
    "2-inch Quadruplex": "2 inch videotape: Quadruplex", "1-inch Type C": "1 inch videotape: Type C",
    "U-matic": "U-matic", "U-matic SP": "U-matic: SP", "VHS": "VHS", "Betamax": "Betamax", "Betacam": "Betacam",
    "Betacam SP": "Betacam: SP", "D1": "D1", "D2": "D2", "D-3": "D3", "Digital Betacam": "Digital Betacam",
    "HDCAM": "HDCAM", "HDCAM SR": "HDCAM: SR", "DAT": "DAT", "Compact Cassette": "Audio cassette", "CD-DA": "Audio CD",
    "1/4-inch open reel audio": "1/4 inch audio tape", "D-9 Digital-S": "D9", "DV/MiniDV": "MiniDV",
}  # fmt: skip


@live
@pytest.mark.live
def test_widths_and_years_agree_with_the_table_of_facts() -> None:
    """The table of facts names the basis of each; where it says "from memory", so do we."""
    carriers, compared = load("carriers"), 0
    with (STANDARDS / "facts" / "carrier-facts.csv").open(encoding="utf-8", newline="") as file:
        for row in csv.DictReader(file):
            name = MEANT.get(row["carrier"])
            number = "".join(c if c.isdigit() or c == "." else " " for c in row["value"]).split()
            if name is None or row["fact"] not in ("tape width", "introduced"):
                continue
            compared += 1
            if row["fact"] == "tape width":
                assert carriers.fact(name, "width_mm") == pytest.approx(float(number[0]), abs=0.06), row
            else:
                assert str(carriers.fact(name, "first_year")) in number, row
            key = "width_mm" if row["fact"] == "tape width" else "first_year"
            assert carriers.fact_basis(name, key).partition(":")[0] == row["basis"].partition(":")[0], row
    assert compared > 25

"""Profiles in TOML: each kind of requirement, mistakes in the file, and the profile that is shipped."""

from __future__ import annotations

from pathlib import Path

import pytest

from crosswalk.checks.place import Place
from crosswalk.checks.profile import Profile, read_profile
from crosswalk.checks.run import load_profile, profiles
from crosswalk.errors import MappingError
from crosswalk.findings import Severity
from crosswalk.records import (
    Annotation,
    Asset,
    Description,
    EssenceTrack,
    Evidence,
    Identifier,
    Instantiation,
    Link,
    Publisher,
    Record,
    Rights,
    Text,
    Title,
)


def carrier(**texts: str) -> Instantiation:
    """An instantiation with these texts; `generation` is one of several."""
    generation = texts.pop("generation", "")
    values = {name: Text(text) for name, text in texts.items()}
    return Instantiation(generations=(Text(generation),) if generation else (), **values)  # type: ignore[arg-type]


def asset(*carriers: Instantiation, title: str = "Tideline", **fields: object) -> Asset:
    return Asset(titles=(Title(title),), instantiations=carriers, **fields)  # type: ignore[arg-type]


CASES: dict[str, tuple[str, Record, list[str]]] = {
    "there": ('field = "asset.title"', asset(), []),
    "missing": ('field = "asset.type"', asset(), ["PF01"]),
    "of spaces": ('field = "asset.title"', asset(title=" "), ["PF01"]),
    "too few": ('field = "asset.title"\nleast = 2', asset(), ["PF01"]),
    "too many": ('field = "asset.title"\nmost = 0', asset(), ["PF02"]),
    "an attribute missing": ('field = "asset.title@titleType"', asset(), ["PF01"]),
    "a form kept": ("field = \"asset.title\"\npattern = 'T.*'", asset(), []),
    "a form not kept": ("field = \"asset.title\"\npattern = 'T'", asset(), ["PF03"]),
    "a form of what is missing": ("field = \"asset.type\"\npattern = 'T'", asset(), []),
    "a value": ('field = "instantiation.media-type"\nvalues = ["Audio"]', asset(carrier(media_type="Audio")), []),
    "another value": (
        'field = "instantiation.media-type"\nvalues = ["Audio"]',
        asset(carrier(media_type="Smell")),
        ["PF04"],
    ),
    "a term": (
        'field = "instantiation.generations"\nvocabulary = "generations"',
        asset(carrier(generation="Master")),
        [],
    ),
    "no term": (
        'field = "instantiation.generations"\nvocabulary = "generations"',
        asset(carrier(generation="Mstr")),
        ["PF04"],
    ),
    "in the record as a whole": ('field = "instantiation.location"', asset(carrier(location="A"), carrier()), []),
    "in each": (
        'field = "instantiation.location"\neach = "instantiation"',
        asset(carrier(location="A"), carrier()),
        ["PF01"],
    ),
    "in each of none": ('field = "instantiation.location"\neach = "instantiation"', asset(), []),
    "in each part": (
        'field = "instantiation.location"\neach = "instantiation"',
        asset(Instantiation(location=Text("A"), parts=(carrier(),))),
        ["PF01"],
    ),
    "in each track": (
        'field = "track.type"\neach = "track"',
        asset(Instantiation(essence_tracks=(EssenceTrack(), EssenceTrack(type=Text("Video"))))),
        ["PF01"],
    ),
    "in a record that is a carrier": ('field = "instantiation.location"', carrier(), ["PF01"]),
    "of an asset, in a record that is a carrier": ('field = "asset.title"', carrier(), ["PF01"]),
    "when it is so": ('field = "asset.type"\nwhen = { "asset.title" = \'Tide.*\' }', asset(), ["PF01"]),
    "when it is not so": ('field = "asset.type"\nwhen = { "asset.title" = \'Tide\' }', asset(), []),
    "of each, when it is so": (
        'field = "instantiation.location"\neach = "instantiation"\nwhen = { "instantiation.digital" = ".+" }',
        asset(carrier(), carrier(digital="video/mp4")),
        ["PF01"],
    ),
    "only of those where": (
        'field = "instantiation.location"\nwhere = { "instantiation.digital" = ".+" }',
        asset(carrier(location="A"), carrier(digital="video/mp4")),
        ["PF01"],
    ),
    "forbidden in a field": ("field = \"asset.title\"\nforbid = 'line'", asset(), ["PF05"]),
    "forbidden anywhere": ("field = \"*\"\nforbid = 'secret'", asset(annotations=(Annotation("a secret"),)), ["PF05"]),
    "forbidden anywhere, in an attribute": (
        "field = \"*\"\nforbid = 'secret'",
        asset(annotations=(Annotation("a", annotation_type="secret"),)),
        ["PF05"],
    ),
    "forbidden and not there": ("field = \"*\"\nforbid = 'secret'", asset(), []),
}


def written(folder: Path, *requirements: str) -> Path:
    path = folder / "p.toml"
    path.write_text(
        'title = "a profile"\n' + "".join(f"[[require]]\n{one}\n" for one in requirements), encoding="utf-8"
    )
    return path


@pytest.mark.parametrize("case", CASES)
def test_a_requirement(case: str, tmp_path: Path) -> None:
    requirement, record, expected = CASES[case]
    profile = read_profile(written(tmp_path, requirement))
    assert [one.code for one in profile.check(record, Place())] == expected
    assert [one.code for one in profile.check(record, Place())] == expected, "what is clean is remembered"


def test_message_guidance_severity_and_place(tmp_path: Path) -> None:
    evidence = Evidence("x", file="tapes.csv", row=7, column=2)
    record = asset(carrier(media_type="Smell").__class__(media_type=Text("Smell", evidence=evidence)))
    keys = 'field = "instantiation.media-type"\nvalues = ["Audio"]\nseverity = "note"'
    text = f'{keys}\nmessage = "sound only"\nguidance = "say Audio"'
    [found] = read_profile(written(tmp_path, text)).check(record, Place())
    assert (found.message, found.next_step) == (
        'sound only: "Smell" is not an accepted instantiation.media-type',
        "say Audio",
    )
    assert (found.severity, found.origin.cell) == (Severity.NOTE, "tapes.csv:7:3")
    assert found.origin.path == "pbcoreInstantiation[1]/instantiationMediaType"


MISTAKES = {
    "an unknown field": ('field = "asset.tilte"', "p.toml:2", "title"),
    "an unknown level": ('field = "record.title"', "p.toml:2", "asset"),
    "an unknown attribute": ('field = "asset.title@kind"', "p.toml:2", "titleType"),
    "an unknown field in a condition": ('field = "asset.title"\nwhen = { "asset.tpye" = "x" }', "p.toml:2", "type"),
    "an unknown vocabulary": ('field = "asset.title"\nvocabulary = "none"', "p.toml", "none"),
    "a pattern that is none": ('field = "asset.title"\npattern = "("', "p.toml:2", "unterminated"),
    "an unknown key": ('field = "asset.title"\nmost = 1\nmust = true', "p.toml:5", "did you mean most"),
    "an unknown severity": ('field = "asset.title"\nseverity = "fatal"', "p.toml:4", "error, warning, note"),
    "no field": ("least = 1", "p.toml:2", "`field` is missing"),
    "no TOML": ("field = asset.title", "p.toml:3", "line 3"),
}


@pytest.mark.parametrize("case", MISTAKES)
def test_a_mistake_is_told_before_the_first_record(case: str, tmp_path: Path) -> None:
    requirement, place, word = MISTAKES[case]
    with pytest.raises(MappingError) as told:
        read_profile(written(tmp_path, requirement))
    assert place in str(told.value)
    assert word in str(told.value)


def test_a_mistake_names_the_line_of_its_entry(tmp_path: Path) -> None:
    with pytest.raises(MappingError, match=r"p\.toml:6"):
        read_profile(written(tmp_path, 'field = "asset.title"', 'field = "asset.type"', 'field = "asset.tilte"'))


@pytest.mark.parametrize("name", ["none", "none.toml", "none.sch"])
def test_a_profile_that_is_not_there(name: str) -> None:
    with pytest.raises(MappingError, match="national-index"):
        load_profile(name)


NATIONAL = Asset(
    asset_types=(Text("Episode"),),
    identifiers=(Identifier("TDLN-0423", source="Merrow programme log"),),
    titles=(Title("Wreck Diving for Crabs", title_type="Episode"),),
    descriptions=(Description("Below the pier."),),
    publishers=(Publisher(publisher=None, roles=()),),
    rights=(Rights(summary=Text("ask the archive")),),
    instantiations=(carrier(location="Vault A", media_type="Moving Image", generation="Master"),),
)
OPEN = Rights(link=Link("https://creativecommons.org/licenses/by/4.0/"))
ONLINE = carrier(
    location="https://records.merrowcoast.example/1", digital="video/mp4", media_type="Moving Image", generation="Copy"
)


def changed(**fields: object) -> Asset:
    import msgspec

    return msgspec.structs.replace(NATIONAL, **fields)


SHIPPED: dict[str, tuple[Asset, list[str]]] = {
    "whole": (NATIONAL, []),
    "no title": (changed(titles=()), ["PF01", "PF01"]),
    "a title without a type": (changed(titles=(Title("A"),)), ["PF01"]),
    "no asset type": (changed(asset_types=()), ["PF01"]),
    "an asset type of the house": (changed(asset_types=(Text("Umbrella"),)), ["PF04"]),
    "no source": (changed(identifiers=(Identifier("1"),)), ["PF01"]),
    "no holder": (changed(publishers=()), ["PF01"]),
    "no carrier": (changed(instantiations=()), ["PF01"]),
    "a series without a carrier": (changed(instantiations=(), asset_types=(Text("Series"),)), []),
    "a carrier without anything": (changed(instantiations=(carrier(),)), ["PF01", "PF01", "PF01", "PF01"]),
    "no rights": (changed(rights=()), ["PF01"]),
    "open and not online": (changed(rights=(OPEN,)), ["PF01"]),
    "open and online": (changed(rights=(OPEN,), instantiations=(*NATIONAL.instantiations, ONLINE)), []),
    "an address": (changed(annotations=(Annotation("write to o.ferrand@harbour.example"),)), ["PF05"]),
    "a telephone number": (changed(annotations=(Annotation("donor, tel. 01632 960 117"),)), ["PF05"]),
    "an international number": (changed(annotations=(Annotation("call +44 1632 960117"),)), ["PF05"]),
    "dates and lengths are no numbers": (
        changed(annotations=(Annotation("1987-04-03, 00:58:30, tape 0117-2, 2009/10"),)),
        [],
    ),
}


@pytest.mark.parametrize("case", SHIPPED)
def test_the_national_index(case: str) -> None:
    record, expected = SHIPPED[case]
    profile = load_profile("national-index")
    assert isinstance(profile, Profile)
    assert [one.code for one in profile.check(record, Place())] == expected


@pytest.mark.parametrize("path", profiles(), ids=lambda path: str(path.name))
def test_every_profile_that_is_shipped_can_be_loaded(path: Path) -> None:
    assert load_profile(path.stem).title

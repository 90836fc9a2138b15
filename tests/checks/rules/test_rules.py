"""The record rules: what each finds and what it leaves alone, and that a finding points to the cell or to the line."""

from __future__ import annotations

from pathlib import Path

import pytest
from hypothesis import given

from crosswalk.checks.place import NOWHERE, Place
from crosswalk.checks.rules import check_record
from crosswalk.checks.rules.facts import carrier_facts, inverses, length_ms
from crosswalk.checks.schema import NAMESPACE, SchemaCheck
from crosswalk.checks.stream import Records
from crosswalk.findings import Severity, codes
from crosswalk.records import (
    AgentName,
    Asset,
    Contributor,
    Coverage,
    DateText,
    Description,
    EssenceTrack,
    Evidence,
    Identifier,
    Instantiation,
    Measure,
    Part,
    Plain,
    Rights,
    Text,
    Title,
)
from tests.checks.documents import collection, record, single, to_record
from tests.contracts.maximal import maximal
from tests.contracts.strategies import records

IDENTIFIER = Identifier("0117", source="Merrow shelf number")
WHOLE = Instantiation(identifiers=(IDENTIFIER,), location=Text("Vault A"))
ASSET = Asset(
    identifiers=(Identifier("TDLN-0423", source="Merrow programme log"),),
    titles=(Title("Wreck Diving for Crabs"),),
    descriptions=(Description("Below the pier."),),
    rights=(Rights(summary=Text("ask the archive")),),
)


def carrier(**fields: object) -> Instantiation:
    """A whole instantiation with these fields."""
    values = {name: getattr(WHOLE, name) for name in ("identifiers", "location")} | fields
    return Instantiation(**values)


def asset(**fields: object) -> Asset:
    """A whole asset with these fields."""
    values = {name: getattr(ASSET, name) for name in ("identifiers", "titles", "descriptions", "rights")} | fields
    return Asset(**values)


def part(start_time: str | None = None, end_time: str | None = None) -> Part:
    """A whole part without rights, which starts and ends at these times."""
    return Part(
        identifiers=ASSET.identifiers,
        titles=ASSET.titles,
        descriptions=ASSET.descriptions,
        start_time=start_time,
        end_time=end_time,
    )


def media(kind: str, *tracks: str) -> Instantiation:
    return carrier(media_type=Text(kind), essence_tracks=tuple(EssenceTrack(type=Text(track)) for track in tracks))


def lasting(whole: str, *parts: str) -> Instantiation:
    return carrier(duration=Text(whole), parts=tuple(carrier(duration=Text(part)) for part in parts))


def dated(*dates: tuple[str, str]) -> Asset:
    return asset(dates=tuple(DateText(text, date_type=kind) for kind, text in dates))


CASES: dict[str, tuple[Asset | Instantiation, list[str]]] = {
    "a whole asset": (ASSET, []),
    "a whole instantiation": (WHOLE, []),
    "an empty asset": (Asset(), ["RC01", "RC01", "RC01", "RC50"]),
    "an empty instantiation": (Instantiation(), ["RC01", "RC01"]),
    "an instantiation without a location, in an asset": (
        asset(instantiations=(Instantiation(identifiers=(IDENTIFIER,)),)),
        ["RC01"],
    ),
    "a contributor without a name": (asset(contributors=(Contributor(roles=()),)), ["RC01"]),
    "a contributor with an empty name": (asset(contributors=(Contributor(contributor=AgentName(" ")),)), ["RC03"]),
    "coverage without coverage": (asset(coverages=(Coverage(type=Plain("Spatial")),)), ["RC01"]),
    "a part that lacks all": (asset(parts=(Part(),)), ["RC01", "RC01", "RC01"]),
    "an identifier without a source": (asset(identifiers=(Identifier("0117"),)), ["RC02"]),
    "one of two identifiers without a source": (carrier(identifiers=(IDENTIFIER, Identifier("1"))), ["RC02"]),
    "a title of spaces": (asset(titles=(Title(" \n "),)), ["RC03"]),
    "a location of nothing": (carrier(location=Text("")), ["RC03"]),
    "no rights at all": (asset(rights=()), ["RC50"]),
    "rights of a carrier": (asset(rights=(), instantiations=(carrier(rights=ASSET.rights),)), []),
    "no rights in a part": (asset(parts=(part(),)), []),
    "analogue and digital": (carrier(physical=Text("Betacam: SP"), digital=Text("video/mp4")), ["RC20"]),
    "a wording that means an analogue carrier": (carrier(physical=Text("Umatic"), digital=Text("video/mp4")), ["RC20"]),
    "a digital carrier and a file in one": (carrier(physical=Text("DVD"), digital=Text("video/mp4")), ["RC21"]),
    "an unknown carrier and a file in one": (carrier(physical=Text("blue box"), digital=Text("video/mp4")), ["RC21"]),
    "an analogue tape with bytes": (carrier(physical=Text("VHS"), file_size=Measure("12")), ["RC22"]),
    "a digital tape with a data rate": (carrier(physical=Text("DVCam"), data_rate=Measure("25")), []),
    "DAT of 1969": (carrier(physical=Text("DAT"), dates=(DateText("1969"),)), ["RC30"]),
    "DAT of the year it came": (carrier(physical=Text("DAT"), dates=(DateText("1987"),)), []),
    "DAT of some time in the eighties": (carrier(physical=Text("DAT"), dates=(DateText("198X"),)), []),
    "DAT of before 1984": (carrier(physical=Text("DAT"), dates=(DateText("../1984"),)), ["RC30"]),
    "DAT of a date that is none": (carrier(physical=Text("DAT"), dates=(DateText("n.d."),)), []),
    "DAT of two dates, the second too early": (
        carrier(physical=Text("DAT"), dates=(DateText("1990"), DateText("1970"))),
        ["RC30"],
    ),
    "U-matic of two hours": (carrier(physical=Text("U-matic"), duration=Text("02:00:00")), ["DU13"]),
    "U-matic of an hour and a little": (carrier(physical=Text("U-matic"), duration=Text("01:02:00")), []),
    "U-matic of a length in words": (carrier(physical=Text("U-matic"), duration=Text("two hours")), []),
    "broadcast before it was made": (dated(("created", "1987-04-03"), ("broadcast", "1986")), ["RC31"]),
    "broadcast the day it was made": (dated(("created", "1987-04-03"), ("broadcast", "1987-04-03")), []),
    "broadcast in the year it was made": (dated(("broadcast", "1987"), ("created", "1987-04-03")), []),
    "dates in another order in the record": (dated(("broadcast", "1986"), ("created", "1987-04-03")), ["RC31"]),
    "dates of unknown kinds": (dated(("accepted", "1980"), ("created", "1987")), []),
    "captured after it was broadcast": (dated(("captured", "1990"), ("broadcast", "1988")), ["RC31"]),
    "digitised before it was made": (
        carrier(dates=(DateText("1987", date_type="created"), DateText("1980", date_type="digitized"))),
        ["RC31"],
    ),
    "parts that fit": (lasting("00:28:30", "00:14:00", "00:14:00"), []),
    "parts a little longer": (lasting("00:28:30", "00:14:30", "00:14:30"), []),
    "parts that do not fit": (lasting("00:28:30", "00:20:00", "00:20:00"), ["RC33"]),
    "parts without lengths": (carrier(duration=Text("00:28:30"), parts=(WHOLE, WHOLE)), []),
    "a part that ends before it starts": (
        asset(parts=(part(start_time="00:12:00", end_time="00:02:00"),)),
        ["RC34"],
    ),
    "a part longer than every carrier": (
        asset(
            instantiations=(carrier(duration=Text("00:10:00")),),
            parts=(part(start_time="00:00:00", end_time="00:30:00"),),
        ),
        ["RC33"],
    ),
    "sound with a picture": (media("Audio", "Video", "Audio"), ["RC40"]),
    "moving images without a picture": (media("Moving Image", "Audio"), ["RC40"]),
    "moving images with both": (media("Moving Image", "Video", "Audio"), []),
    "moving images with a track of another kind": (media("Moving Image", "Timecode", "Audio"), []),
    "no tracks": (media("Audio"), []),
    "moving images on an audio carrier": (
        carrier(physical=Text("1/4 inch audio tape"), media_type=Text("Moving Image")),
        ["RC41"],
    ),
    "faults in a part of an instantiation": (
        carrier(parts=(carrier(physical=Text("DAT"), dates=(DateText("1969"),)),)),
        ["RC30"],
    ),
}


@pytest.mark.parametrize("case", CASES)
def test_what_the_rules_find(case: str) -> None:
    found = check_record(CASES[case][0])
    assert sorted(one.code for one in found) == sorted(CASES[case][1])


@pytest.mark.parametrize("case", CASES)
def test_findings_are_whole(case: str) -> None:
    for one in check_record(CASES[case][0], Place(file="in.xml")):
        assert one.code in codes()
        assert one.message
        assert one.next_step
        assert isinstance(one.severity, Severity)
        assert one.origin.path.startswith("/pbcore")


def test_what_is_required_is_what_the_schema_requires() -> None:
    """Each record that lacks an element is refused by the schema too: the rule and the schema agree."""
    check = SchemaCheck()
    asset_elements = ("pbcoreIdentifier", "pbcoreTitle", "pbcoreDescription")
    for element in (*asset_elements, "instantiationLocation", "instantiationIdentifier"):
        lines = record().splitlines(keepends=True)
        lines = [line for line in lines if not line.lstrip().startswith((f"<{element}>", f"<{element} "))]
        content = single("".join(lines))
        [element_] = Records([content], (f"{{{NAMESPACE}}}pbcoreDescriptionDocument",))
        read = to_record(element_)
        assert read is not None
        assert "RC01" in {one.code for one in check_record(read)}
        assert any(one.severity is Severity.ERROR for one in check.content(content))


def test_a_finding_points_to_the_cell() -> None:
    evidence = Evidence("1969", file="in/radio.csv", row=20, column=7)
    read = carrier(physical=Text("DAT"), dates=(DateText("1969", evidence=evidence),))
    [found] = check_record(read)
    assert (found.origin.file, found.origin.cell, found.origin.record) == ("in/radio.csv", "radio.csv:20:8", "0117")


def test_what_is_missing_points_to_the_row_of_the_identifier() -> None:
    evidence = Evidence("0117", file="tapes.xlsx", sheet="Video 1980s", row=24, column=0)
    found = check_record(Instantiation(identifiers=(Identifier("0117", source="shelf", evidence=evidence),)))
    assert [one.origin.cell for one in found] == ["Video 1980s!A24"]


def test_a_finding_points_to_the_line_and_path_of_its_element() -> None:
    content = collection(record(1), record(2).replace("1987-04-03", "1950"))
    for number, element in enumerate(Records([content], (f"{{{NAMESPACE}}}pbcoreDescriptionDocument",)), 1):
        read = to_record(element)
        assert read is not None
        found = check_record(read, Place("in.xml", element, number))
    [one] = found
    line = content.decode().splitlines().index('    <instantiationDate dateType="created">1950</instantiationDate>') + 1
    path = "/pbcoreCollection/pbcoreDescriptionDocument[2]/pbcoreInstantiation[1]/instantiationDate[1]"
    assert (one.origin.line, one.origin.path, one.code) == (line, path, "RC30")


@given(records())
def test_no_record_is_too_odd(read: Asset | Instantiation) -> None:
    """The rules look at whatever a reader gives, and never stop."""
    assert all(one.code in codes() for one in check_record(read, NOWHERE))


def test_the_maximal_record_lacks_nothing() -> None:
    assert [one for one in check_record(maximal()) if one.code in ("RC01", "RC02", "RC03")] == []


# From ../shared facts: "published: EBU storage media classification, 2013" and "common reference, no publication to
# cite", as the vocabulary's own basis says.
@pytest.mark.parametrize(("name", "signal", "year"), [("2 inch videotape", "analogue", 1956), ("DAT", "digital", 1987)])
def test_facts_of_carriers(name: str, signal: str, year: int) -> None:
    facts = carrier_facts(name)
    assert (facts.domain, facts.introduced) == (signal, year)


@pytest.mark.parametrize(("text", "length"), [("00:58:30", 3_510_000), ("58 min", None), ("", None)])
def test_lengths(text: str, length: int | None) -> None:
    assert length_ms(text) == length


@pytest.mark.parametrize("vocabulary", ["asset-relations", "instantiation-relations"])
def test_inverses_are_inverse(vocabulary: str) -> None:
    pairs = inverses(vocabulary)
    assert pairs
    assert all(pairs[pairs[name]] == name for name in pairs)


def test_every_rule_is_run() -> None:
    """A rule that no list names would be dead: every public function of a family with a place belongs to one."""
    from crosswalk.checks.rules import carriers, every, required, rights, times, tracks

    for module in (carriers, required, rights, times, tracks):
        source = Path(str(module.__file__)).read_text(encoding="utf-8")
        heads = [line for line in source.splitlines() if line.startswith("def ") and "place: Place" in line]
        rules = {head.split("(")[0][4:] for head in heads}
        named = {rule.__name__ for rule in (*every.ASSET_RULES, *every.INSTANTIATION_RULES)}
        assert {rule for rule in rules if not rule.startswith("_")} <= named

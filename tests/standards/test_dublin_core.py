"""Simple Dublin Core: what is written, what comes back, what is refused."""

from __future__ import annotations

import re
from functools import cache
from pathlib import Path

import pytest
from hypothesis import given
from lxml import etree

from crosswalk.errors import CannotContinue, UnreadableInput
from crosswalk.findings import Finding, Severity, codes
from crosswalk.records import (
    AgentName,
    Asset,
    Contributor,
    Creator,
    DateText,
    Identifier,
    Instantiation,
    Language,
    Link,
    Record,
    Rights,
    Text,
    TimedText,
    Title,
)
from crosswalk.resources import schema_path
from crosswalk.standards.base import WriteOptions
from crosswalk.standards.dublin_core import DC, ELEMENTS, OAI_DC, STANDARD
from tests.contracts.strategies import records
from tests.search import examples
from tests.standards.both_ways import ABSENT, PUBLISHED, read, written

EPISODE = Asset(
    identifiers=(Identifier("TDLN0423", source="Merrow programme log"),),
    titles=(Title("Tideline", title_type="Series"), Title("Crabs & <others>", title_type="Episode")),
    dates=(DateText("1987-04-03", date_type="broadcast"), DateText("1986~")),
    creators=(Creator(creator=AgentName("Fenn, Orla"), roles=(Text("Producer"),)),),
    contributors=(Contributor(contributor=AgentName("Vale, Una")),),
    genres=(TimedText("Nature"),),
    rights=(Rights(summary=Text("ask first")), Rights(link=Link("http://rightsstatements.org/vocab/InC/1.0/"))),
    instantiations=(
        Instantiation(
            identifiers=(Identifier("0117", source="Merrow shelf number"),),
            physical=Text("U-matic"),
            media_type=Text("Moving Image"),
            languages=(Language("eng;cym"),),
        ),
        Instantiation(digital=Text("video/mp4"), media_type=Text("Audio")),
    ),
)


def pairs(content: bytes) -> list[str]:
    """The elements of a record, as `name text`."""
    return [f"{etree.QName(e).localname} {e.text}" for e in etree.fromstring(content).iterchildren()]


def test_an_episode() -> None:
    (document,) = written(STANDARD, EPISODE)
    assert document.name == "TDLN0423.xml"
    assert document.records == ("TDLN0423",)
    assert pairs(document.content) == [
        "identifier TDLN0423",
        "title Tideline",
        "title Crabs & <others>",
        "creator Fenn, Orla",
        "contributor Vale, Una",
        "date 1987-04-03",
        "date 1986~",
        "type Nature",
        "rights ask first",
        "rights http://rightsstatements.org/vocab/InC/1.0/",
        "identifier 0117",
        "type MovingImage",
        "format U-matic",
        "language eng",
        "language cym",
        "type Sound",
        "format video/mp4",
    ]


def test_the_fifteen_elements() -> None:
    """Source: DCMI, Dublin Core Metadata Element Set, version 1.1, as rdflib's closed namespace has it."""
    from rdflib import DC as PUBLISHED_NAMES

    assert str(PUBLISHED_NAMES) == DC
    assert set(ELEMENTS) == set(PUBLISHED_NAMES.__annotations__)


def test_what_comes_back(tmp_path: Path) -> None:
    (document,) = written(STANDARD, EPISODE)
    (back,), findings = read(STANDARD, tmp_path, document.content)
    assert isinstance(back, Asset) and findings == []
    assert [title.text for title in back.titles] == ["Tideline", "Crabs & <others>"]
    assert [identifier.text for identifier in back.identifiers] == ["TDLN0423", "0117"]
    assert back.rights[1].link == Link("http://rightsstatements.org/vocab/InC/1.0/")
    assert [i.media_type.text for i in back.instantiations if i.media_type] == ["Moving Image", "Audio"]
    formats = [(i.physical, i.digital) for i in back.instantiations]
    assert formats == [(Text("U-matic"), Text("video/mp4")), (None, None)]
    assert [text.text for text in back.asset_types] == ["Nature"]


@cache
def schema() -> etree.XMLSchema:
    return etree.XMLSchema(etree.parse(schema_path("oai_dc.xsd")))


@examples(60)
@given(records())
def test_any_record_is_valid(record: Record) -> None:
    (document,) = written(STANDARD, record)
    assert schema().validate(etree.fromstring(document.content)), schema().error_log


@pytest.mark.live
@pytest.mark.skipif(not PUBLISHED.is_dir(), reason=ABSENT)
def test_the_published_schema_agrees(tmp_path: Path) -> None:
    """Source: Open Archives Initiative, oai_dc.xsd; DCMI, simpledc20021212.xsd."""
    from tests.schemas.families import PUBLISHED as FAMILIES

    theirs = etree.XMLSchema(etree.parse(FAMILIES["oai_dc"].laid_out(tmp_path)))
    (document,) = written(STANDARD, EPISODE)
    assert theirs.validate(etree.fromstring(document.content)), theirs.error_log


def wrapped(inside: str) -> bytes:
    return f'<oai_dc:dc xmlns:oai_dc="{OAI_DC}" xmlns:dc="{DC}" xmlns:x="urn:x">{inside}</oai_dc:dc>'.encode()


ODD = {
    "an element that has no place": ("<dc:title>a</dc:title>\n<dc:source>Box 14</dc:source>", "dc:source", "Box 14"),
    "another vocabulary": ("<x:shelf>green</x:shelf>", "{urn:x}shelf", "green"),
    "an empty element": ("<dc:title/>", "dc:title", ""),
}


@pytest.mark.parametrize(("inside", "name", "text"), ODD.values(), ids=ODD.keys())
def test_what_is_not_understood_is_reported(tmp_path: Path, inside: str, name: str, text: str) -> None:
    for strict, severity in ((False, Severity.WARNING), (True, Severity.ERROR)):
        (_,), findings = read(STANDARD, tmp_path, wrapped(inside), strict=strict)
        assert [(f.code, f.value, f.severity) for f in findings] == [("DC01", text, severity)]
        assert name in findings[0].message
        assert findings[0].origin.line == 1


def test_the_examples_of_the_code_table(tmp_path: Path) -> None:
    """`bad` is found and `good` is not."""
    _, bad = read(STANDARD, tmp_path, wrapped(codes()["DC01"].bad))
    _, good = read(STANDARD, tmp_path, wrapped(codes()["DC01"].good.partition(",")[0]))
    assert [f.code for f in bad] == ["DC01"] and good == []
    for text, expected in ((codes()["DC02"].bad, ["DC02"]), (codes()["DC02"].good, [])):
        found: list[Finding] = []
        written(STANDARD, Asset(instantiations=(Instantiation(languages=(Language(text),)),)), on_finding=found.append)
        assert [f.code for f in found] == expected


def test_prose_is_marked_with_the_language_of_the_house(tmp_path: Path) -> None:
    (document,) = written(STANDARD, EPISODE, language="en")
    marks = re.findall(r'<dc:(\w+) xml:lang="(\w+)">', document.content.decode())
    assert marks == [("title", "en"), ("title", "en")]
    assert schema().validate(etree.fromstring(document.content)), schema().error_log
    (plain,) = written(STANDARD, EPISODE)
    (_,), findings = read(STANDARD, tmp_path, document.content)
    assert [(f.code, f.value, f.severity) for f in findings] == [("DC03", "en", Severity.NOTE)]
    assert read(STANDARD, tmp_path, document.content)[0] == read(STANDARD, tmp_path, plain.content)[0]
    for example, expected in ((codes()["DC03"].bad, ["DC03"]), (codes()["DC03"].good, [])):
        assert [f.code for f in read(STANDARD, tmp_path, wrapped(example))[1]] == expected


BROKEN = {
    "cut off": wrapped("<dc:title>a</dc:title>")[:-6],
    "no XML": b"Tape;Title\n0117;Tideline",
    "entities": b'<!DOCTYPE x [<!ENTITY e "boo">]>' + wrapped("<dc:title>&e;</dc:title>"),
}


@pytest.mark.parametrize("content", BROKEN.values(), ids=BROKEN.keys())
def test_what_is_no_document_stops_the_run(tmp_path: Path, content: bytes) -> None:
    with pytest.raises(UnreadableInput, match=r"case\.xml"):
        read(STANDARD, tmp_path, content)


@pytest.mark.parametrize("character", ["\x0b", "\x00", "\ufffe", "\ud800"])
def test_a_character_that_xml_forbids_stops_the_run(character: str) -> None:
    with pytest.raises(CannotContinue, match=f"TDLN1.*U\\+{ord(character):04X}"):
        written(STANDARD, Asset(identifiers=(Identifier("TDLN1"),), titles=(Title(f"a{character}b"),)))


def test_two_records_with_one_identifier_have_two_files() -> None:
    names = [document.name for document in written(STANDARD, EPISODE, EPISODE)]
    assert names == ["TDLN0423.xml", "TDLN0423-2.xml"]
    assert list(STANDARD.write([], WriteOptions())) == [] if STANDARD.write else False

"""DCMI Metadata Terms in XML: which term, which form, and back."""

from __future__ import annotations

import csv
import re
from functools import cache
from pathlib import Path

import pytest
from hypothesis import given
from lxml import etree

from crosswalk.records import (
    AgentName,
    Annotation,
    Asset,
    AssetRelation,
    Coverage,
    DateText,
    Description,
    Identifier,
    Instantiation,
    Language,
    Link,
    Measure,
    Part,
    Plain,
    Publisher,
    Record,
    Rights,
    Text,
    TimedText,
    Title,
)
from crosswalk.resources import schema_path
from crosswalk.standards.dcterms import DCTERMS, FORMAT, STANDARD, TERMS
from crosswalk.standards.pbcore import write_record
from crosswalk.standards.tables.forms import is_language
from tests.contracts.strategies import records
from tests.search import examples
from tests.standards.both_ways import ABSENT, PUBLISHED, read, written

README = (Path(__file__).parents[2] / "README.md").read_text(encoding="utf-8")
XSI = "{http://www.w3.org/2001/XMLSchema-instance}type"


def said(record: Record) -> list[str]:
    """What a document says, as `term[type] text`."""
    (document,) = written(STANDARD, record)
    root = etree.fromstring(document.content)[0]
    marks = [(etree.QName(e).localname, e.get(XSI, "").partition(":")[2], e.text) for e in root.iterchildren()]
    return [f"{name}{f'[{kind}]' if kind else ''} {text}" for name, kind, text in marks]


def date(text: str, kind: str | None = None) -> Asset:
    return Asset(dates=(DateText(text, date_type=kind),))


def carrier(**fields: object) -> Asset:
    return Asset(instantiations=(Instantiation(**fields),))  # type: ignore[arg-type]


def relation(kind: str) -> Asset:
    return Asset(relations=(AssetRelation(type=Text(kind), identifier=Text("TDLN-S4")),))


def link(uri: str) -> Asset:
    return Asset(rights=(Rights(link=Link(uri)),))


def coverage(kind: str, text: str) -> Asset:
    return Asset(coverages=(Coverage(coverage=TimedText(text), type=Plain(kind)),))


SAID = {
    "a day": (date("1987-04-03"), "date[W3CDTF] 1987-04-03"),
    "a month": (date("1987-04", "created"), "created[W3CDTF] 1987-04"),
    "a year": (date("1987", "broadcast"), "issued[W3CDTF] 1987"),
    "a moment": (date("1987-04-03T20:15:00Z", "issued"), "issued[W3CDTF] 1987-04-03T20:15:00Z"),
    "about a year stays EDTF": (date("1987~", "created"), "created 1987~"),
    "a decade stays EDTF": (date("197X", "copyright"), "dateCopyrighted 197X"),
    "a span": (date("1972/1980", "created"), "created[Period] start=1972; end=1980; scheme=W3C-DTF;"),
    "a span that is open": (date("1972/..", "available"), "available[Period] start=1972; scheme=W3C-DTF;"),
    "a span that is unsure stays EDTF": (date("1972~/1980"), "date 1972~/1980"),
    "no date at all stays": (date("late spring", "modified"), "modified late spring"),
    "another kind of date": (date("1990", "dubbed"), "date[W3CDTF] 1990"),
    "another title": (Asset(titles=(Title("Crab Hour", title_type="alternate"),)), "alternative Crab Hour"),
    "an abstract": (Asset(descriptions=(Description("Crabs.", description_type="Abstract"),)), "abstract Crabs."),
    "a rundown": (
        Asset(descriptions=(Description("1 Crabs 2 Tides", description_type="Rundown"),)),
        "tableOfContents 1 Crabs 2 Tides",
    ),
    "a place": (coverage("Spatial", "Merrow Sound"), "spatial Merrow Sound"),
    "a time": (coverage("Temporal", "1953/1954"), "temporal[Period] start=1953; end=1954; scheme=W3C-DTF;"),
    "a part of": (relation("is part of"), "isPartOf TDLN-S4"),
    "a relation without a term": (relation("Has Derivative"), "relation TDLN-S4"),
    "a whole part": (Asset(parts=(Part(identifiers=(Identifier("TDLN0423-1"),)),)), "hasPart TDLN0423-1"),
    "a part without identifier": (Asset(parts=(Part(titles=(Title("Crabs"),)),)), "hasPart Crabs"),
    "a licence": (
        link("https://creativecommons.org/licenses/by/4.0/"),
        "license[URI] https://creativecommons.org/licenses/by/4.0/",
    ),
    "a rights statement": (
        link("http://rightsstatements.org/vocab/InC/1.0/"),
        "rights[URI] http://rightsstatements.org/vocab/InC/1.0/",
    ),
    "who holds the rights": (
        Asset(publishers=(Publisher(publisher=AgentName("Merrow"), roles=(Text("Copyright Holder"),)),)),
        "rightsHolder Merrow",
    ),
    "access": (Asset(rights=(Rights(summary=Text("on site only", annotation="Access")),)), "accessRights on site only"),
    "provenance": (
        Asset(annotations=(Annotation("from the harbour office", annotation_type="Provenance"),)),
        "provenance from the harbour office",
    ),
    "an identifier that is a URI": (Asset(identifiers=(Identifier("urn:uuid:0117"),)), "identifier[URI] urn:uuid:0117"),
    "a shelf number with a colon": (Asset(identifiers=(Identifier("TDLN:0423"),)), "identifier TDLN:0423"),
    "a media type": (carrier(media_type=Text("Moving Image")), "type[DCMIType] MovingImage"),
    "a media type of the house": (carrier(media_type=Text("Wire")), "type Wire"),
    "a carrier": (carrier(physical=Text("U-matic")), "medium U-matic"),
    "a file format": (carrier(digital=Text("video/mp4")), "format[IMT] video/mp4"),
    "a file format of the house": (carrier(digital=Text("ProRes")), "format ProRes"),
    "a duration": (carrier(duration=Text("00:58:30")), "extent 00:58:30"),
    "dimensions": (carrier(dimensions=(Measure("3/4", units_of_measure="inch"),)), "extent 3/4 inch"),
    "a size": (carrier(file_size=Measure("12", units_of_measure="GB")), "extent 12 GB"),
    "a language": (carrier(languages=(Language("cym"),)), "language[ISO639-2] cym"),
    "no language": (carrier(languages=(Language("xqz"),)), "language xqz"),
}


@pytest.mark.parametrize(("record", "expected"), SAID.values(), ids=SAID.keys())
def test_which_term_and_which_form(record: Asset, expected: str) -> None:
    assert said(record) == [expected]


# What comes back equal; the others lose what they are declared to lose.
ALIKE = [
    "a day", "a moment", "a span that is unsure stays EDTF", "a span that is open", "an abstract", "a rundown",
    "a place", "a time", "a licence", "a rights statement", "a media type", "a carrier",
    "a file format", "a duration", "dimensions", "a size", "a language", "provenance",
]  # fmt: skip


@pytest.mark.parametrize("name", ALIKE)
def test_what_comes_back_equal(tmp_path: Path, name: str) -> None:
    record, _ = SAID[name]
    (document,) = written(STANDARD, record)
    assert read(STANDARD, tmp_path, document.content) == ([record], [])


@cache
def schema() -> etree.XMLSchema:
    return etree.XMLSchema(etree.parse(schema_path("dcterms-record.xsd")))


@examples(60)
@given(records())
def test_any_record_is_valid(record: Record) -> None:
    for one_each in (False, True):
        (document,) = written(STANDARD, record, one_each=one_each)
        assert schema().validate(etree.fromstring(document.content)), schema().error_log


@pytest.mark.parametrize("name", SAID)
def test_two_validators_agree(name: str) -> None:
    """Source: DCMI, dcterms.xsd 2008-02-11, in our writing; validators: libxml2 and xmlschema."""
    (document,) = written(STANDARD, SAID[name][0])
    assert schema().validate(etree.fromstring(document.content)), schema().error_log
    _second().validate(document.content)


@cache
def _second():  # type: ignore[no-untyped-def]
    import xmlschema

    return xmlschema.XMLSchema(str(schema_path("dcterms-record.xsd")))


@pytest.mark.live
@pytest.mark.skipif(not PUBLISHED.is_dir(), reason=ABSENT)
def test_the_published_schema_agrees(tmp_path: Path) -> None:
    """Source: DCMI, dcterms.xsd 2008-02-11, around the root that it leaves to the application."""
    from tests.schemas.families import PUBLISHED as FAMILIES

    theirs = etree.XMLSchema(etree.parse(FAMILIES["dcterms"].laid_out(tmp_path)))
    for record, _ in SAID.values():
        (document,) = written(STANDARD, record)
        assert theirs.validate(etree.fromstring(document.content)), theirs.error_log


def test_every_term_exists() -> None:
    """Source: DCMI Metadata Terms, as rdflib's closed namespace has it."""
    from rdflib import DCTERMS as NAMES

    assert str(NAMES) == DCTERMS
    assert set(TERMS) < set(NAMES.__annotations__)
    assert {rule.to.partition(":")[2] for rule in FORMAT.table().rule if rule.to} <= set(TERMS)


def test_types_are_those_of_dcmi() -> None:
    """Source: DCMI Type Vocabulary, as rdflib's closed namespace has it."""
    from rdflib import DCMITYPE

    from crosswalk.vocabularies import load

    for term in load("media-types").term:
        (text,) = said(carrier(media_type=Text(term.name)))
        kind, name = re.fullmatch(r"type(?:\[(\w+)\])? (.*)", text).groups()  # type: ignore[union-attr]
        assert kind == "DCMIType" and name in DCMITYPE.__annotations__, term.name


EDTF = ["1987~", "197X", "1972~/1980", "2001-21", "{1960,1962}", "1987-XX", "Y-17000"]


@pytest.mark.parametrize("text", EDTF)
def test_what_stays_edtf_is_edtf(text: str) -> None:
    """Validator: edtf-validate, for ISO 8601-2:2019."""
    from edtf_validate.valid_edtf import is_valid

    (found,) = said(date(text))
    assert found == f"date {text}"
    assert is_valid(text)


# Source: W3C, Date and Time Formats, 1997-09-15: the six examples of the note, without the one in minutes.
NOTE = ["1997", "1997-07", "1997-07-16", "1997-07-16T19:20:30+01:00"]


@pytest.mark.parametrize("text", NOTE)
def test_the_forms_of_the_note(text: str) -> None:
    assert said(date(text)) == [f"date[W3CDTF] {text}"]


# Source: ISO 639-2 code list, Library of Congress, as pycountry has it; the bibliographic and terminological pairs.
CODES = {"eng": True, "wel": True, "cym": True, "ger": True, "deu": True, "mul": True, "qab": True, "xqz": False,
         "aus": True, "cmn": False, "qz": False, "qaaa": False,
         "english": False, "en": False, "ENG": False, "": False}  # fmt: skip


def test_the_recorded_codes_are_those_of_other_tables() -> None:
    """Sources: python-iso639 (SIL's tables), where it is installed; pycountry, for the groups of ISO 639-5."""
    import pycountry

    parts = schema_path("iso639-2.txt").read_text(encoding="utf-8").split("\n# ")
    single, groups = (set(" ".join(part.splitlines()[1:]).split()) for part in parts[1:])
    # 486 entries beside the private range, twenty of them with two codes; from memory, Library of Congress
    assert len(single | groups) == len(single) + len(groups) == 506
    assert {code for code in groups if not pycountry.language_families.get(alpha_3=code)} == {"him"}  # part 2 only
    tables = pytest.importorskip("iso639")
    codes = {code for each in tables.ALL_LANGUAGES for code in (each.part2b, each.part2t) if code}
    assert codes == single


@pytest.mark.parametrize(("code", "expected"), CODES.items(), ids=[code or "empty" for code in CODES])
def test_what_is_a_code_of_iso_639_2(code: str, expected: bool) -> None:
    assert is_language(code) is expected


def test_batches_and_single_documents() -> None:
    three = [Asset(identifiers=(Identifier(f"TDLN{n}"),)) for n in range(3)]
    lists = written(STANDARD, *three, batch=2)
    assert [(d.name, d.records) for d in lists] == [
        ("records-0001.xml", ("TDLN0", "TDLN1")), ("records-0002.xml", ("TDLN2",)),
    ]  # fmt: skip
    assert [d.name for d in written(STANDARD, *three, one_each=True)] == ["TDLN0.xml", "TDLN1.xml", "TDLN2.xml"]


@pytest.mark.live
@pytest.mark.skipif(not PUBLISHED.is_dir(), reason=ABSENT)
def test_licences_are_recognised() -> None:
    """Source: Creative Commons, addresses of its licences."""
    with (PUBLISHED / "vocab" / "cc-licence-uris.csv").open(encoding="utf-8", newline="") as file:
        uris = [cell for row in csv.reader(file) for cell in row if cell.startswith("http")]
    assert uris
    for uri in uris:
        assert said(link(uri)) == [f"license[URI] {uri}"]


BARE = (
    b'<r:record xmlns:r="urn:x-crosswalk:dcterms-record" xmlns:dcterms="http://purl.org/dc/terms/">'
    b"<dcterms:title>Tideline</dcterms:title><dcterms:identifier>TDLN-0423</dcterms:identifier>%s</r:record>"
)


def test_a_repair_writes_what_pbcore_asks_for_empty_and_says_so(tmp_path: Path) -> None:
    """Source: PBCore 2.1 schema, required elements and attributes. Nothing is made up."""
    (record,), findings = read(STANDARD, tmp_path, BARE % b"", repair=True)
    assert record.identifiers == (Identifier("TDLN-0423", source=""),)
    assert [each.code for each in findings] == ["PB20", "PB20"]
    assert "source" in findings[0].message and "pbcoreDescription" in findings[1].message
    path = tmp_path / "back.xml"
    path.write_bytes(write_record(record))
    assert etree.XMLSchema(etree.parse(schema_path("pbcore-2.1.xsd"))).validate(etree.parse(path))


def test_a_repair_makes_no_number_for_a_carrier(tmp_path: Path) -> None:
    (record,), findings = read(STANDARD, tmp_path, BARE % b"<dcterms:medium>VHS</dcterms:medium>", repair=True)
    assert isinstance(record, Asset) and record.instantiations[0].identifiers == ()
    assert [each.message for each in findings if each.code == "PB06"] == [
        "pbcoreInstantiation has no instantiationIdentifier, and must have one"
    ]


def test_nothing_is_filled_without_being_asked_for(tmp_path: Path) -> None:
    (record,), findings = read(STANDARD, tmp_path, BARE % b"")
    assert record.identifiers == (Identifier("TDLN-0423"),) and findings == []


def test_a_house_can_say_which_list_its_numbers_are_counted_in(tmp_path: Path) -> None:
    """The table of the README."""
    table = next(text for text in README.split("```toml")[1:] if 'target = "dcterms"' in text).partition("```")[0]
    (tmp_path / "own.toml").write_text(table)
    (record,), _ = read(STANDARD, tmp_path, BARE % b"", table=str(tmp_path / "own.toml"))
    assert record.identifiers == (Identifier("TDLN-0423", source="Merrow programme log"),)

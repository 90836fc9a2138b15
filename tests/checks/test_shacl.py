"""RDF against its shapes: good graphs pass, and a graph that is broken in one place is told so."""

from __future__ import annotations

import json
import sys
from collections.abc import Callable
from functools import cache
from pathlib import Path

import pytest

from crosswalk.checks.shacl import FORMATS, ShapeCheck
from crosswalk.errors import UnreadableInput
from crosswalk.findings import Severity, codes
from crosswalk.pipeline.validating import validate
from crosswalk.records import (
    Asset,
    AssetRelation,
    Creator,
    DateText,
    Description,
    EssenceTrack,
    Identifier,
    Instantiation,
    Language,
    Measure,
    Record,
    Subject,
    Text,
    Title,
)
from crosswalk.standards.base import WriteOptions, standards
from tests.contracts.maximal import maximal

GOOD = Asset(
    identifiers=(Identifier("TDLN0423", source="Merrow programme log"),),
    titles=(Title("Tideline"),),
    descriptions=(Description("Crabs below the pier."),),
    dates=(DateText("1987~", date_type="created"),),
    subjects=(Subject("salt marsh"),),
    instantiations=(
        Instantiation(
            identifiers=(Identifier("0117", source="Merrow shelf number"),),
            physical=Text("U-matic"),
            media_type=Text("Moving Image"),
            location=Text("Vault 3"),
            languages=(Language("eng"),),
            file_size=Measure("1024", units_of_measure="bytes"),
            duration=Text("00:58:30"),
            essence_tracks=(EssenceTrack(type=Text("Video")),),
        ),
    ),
)
ASSET = "https://example.org/asset/TDLN0423"
CARRIER = f"{ASSET}/instantiation/0117"


def document(*records: Record, name: str = "n_triples") -> bytes:
    write = standards()[name].write
    assert write is not None
    (found,) = write(records, WriteOptions())
    return found.content


@cache
def check() -> ShapeCheck:
    return ShapeCheck()


def messages(content: bytes, format_: str = "nt") -> list[str]:
    return [found.message for found in check().content(content, format_)]


@pytest.mark.parametrize("record", [GOOD, maximal(Asset)], ids=["an episode", "the maximal record"])
def test_what_we_write_has_its_shape(record: Record) -> None:
    assert messages(document(record)) == []


@pytest.mark.parametrize(
    ("suffix", "name"), [(".ttl", "turtle"), (".nt", "n_triples"), (".jsonld", "json_ld"), (".rdf", "rdf_xml")]
)
def test_every_serialisation_is_checked(suffix: str, name: str, tmp_path: Path) -> None:
    good, bad = tmp_path / f"good{suffix}", tmp_path / f"bad{suffix}"
    good.write_bytes(document(GOOD, name=name))
    bad.write_bytes(document(Asset(identifiers=GOOD.identifiers, titles=GOOD.titles), name=name))
    assert list(check().file(good)) == []
    (found,) = check().file(bad)
    assert (found.code, found.origin.file, found.origin.path) == ("RD05", str(bad), ASSET)
    assert set(FORMATS) == {".ttl", ".nt", ".jsonld", ".rdf"}


E = "http://www.ebu.ch/metadata/ontologies/ebucore/ebucore#"
D = "http://purl.org/dc/terms/"
X = "http://www.w3.org/2001/XMLSchema#"
TYPE = "http://www.w3.org/1999/02/22-rdf-syntax-ns#type"
# Statements to take out (by a part of them) and to put in, and what is said then.
BROKEN = {
    "an asset without identifier": (f"<{ASSET}> <{D}identifier>", "", "an asset has at least one identifier"),
    "an asset without title": (f"<{ASSET}> <{D}title>", "", "an asset has at least one title"),
    "an asset without description": (f"<{D}description>", "", "an asset has at least one description"),
    "a title that is a node": ("", f"<{ASSET}> <{D}title> <urn:t> .", "a title is text"),
    "a subject that is no concept": ("skos/core#Concept", "", "subjects and genres are concepts"),
    "a concept without scheme": ("skos/core#inScheme", "", "a concept belongs to a scheme"),
    "two labels": (
        "", "<https://example.org/term/subject/salt%20marsh> <http://www.w3.org/2004/02/skos/core#prefLabel> \"b\" .",
        "a concept has one preferred label",
    ),
    "a date that is a plain text": (
        f"<{D}created>", f"<{ASSET}> <{D}created> \"spring\" .", "a date is a date, a year, a month, a moment, or EDTF",
    ),
    "an instantiation that belongs to no asset": (
        f"<{E}isInstantiatedBy>", "", "an instantiation belongs to an asset, or is part of another instantiation",
    ),
    "an instantiation that is none": (f"<{CARRIER}> <{TYPE}> <{E}MediaResource>", "", "instantiated by a media"),
    "an instantiation without identifier": (f"<{CARRIER}> <{D}identifier>", "", "an instantiation has at least one"),
    "two running times": (
        "", f"<{CARRIER}> <urn:x-crosswalk:terms#runningTime> \"PT1S\"^^<{X}duration> .", "a running time is one",
    ),
    "a size that is a text": (
        f"<{E}fileSize>", f"<{CARRIER}> <{E}fileSize> \"big\" .", "a file size is one number of bytes",
    ),
    "a type outside the closed list": (
        "dcmitype", f"<{CARRIER}> <{D}type> <http://purl.org/dc/dcmitype/Film> .", "a term of the DCMI Type Vocabulary",
    ),
    "a carrier that is no RDA carrier type": (
        "vocabulary/carriers", f"<{CARRIER}> <{D}medium> <urn:umatic> .", "the medium is an RDA carrier type",
    ),
    "a language by another address": (
        "iso639-2/eng", f"<{CARRIER}> <{D}language> <urn:lang:en> .", "a language is a code of ISO 639-2",
    ),
    "a track that belongs to nothing": (f"<{E}hasTrack>", "", "a track belongs to one instantiation"),
    "an identifier without its value": (f"<{ASSET}#identifier> <{E}identifierValue>", "", "an identifier has one"),
    "a rights statement as text": ("", f"<{ASSET}> <{D}rights> \"mine\" .", "named by its URI"),
    "a place below one": (
        "", f"<urn:a> <urn:x-crosswalk:terms#position> \"0\"^^<{X}integer> .", "counted from 1",
    ),
}  # fmt: skip


@pytest.mark.parametrize(("out", "put_in", "said"), BROKEN.values(), ids=BROKEN.keys())
def test_a_graph_broken_in_one_place(out: str, put_in: str, said: str) -> None:
    lines = document(GOOD).decode().splitlines()
    kept = [line for line in lines if not out or out not in line]
    assert len(kept) < len(lines) or put_in, "nothing was broken"
    assert any(said in message for message in messages("\n".join([*kept, put_in, ""]).encode()))


RECORDS = {
    "a relation without identifier": (
        Asset(relations=(AssetRelation(type=Text("Is Part Of")),)), "a relation names one identifier",
    ),
    "a creator without name": (Asset(creators=(Creator(roles=(Text("Producer"),)),)), "an agent has one name"),
}  # fmt: skip


@pytest.mark.parametrize(("record", "said"), RECORDS.values(), ids=RECORDS.keys())
def test_records_that_lack_something(record: Asset, said: str) -> None:
    assert any(said in message for message in messages(document(record)))


def test_an_instantiation_by_itself_is_a_warning() -> None:
    """It is a document that PBCore allows, so a person should look, and nothing is refused."""
    alone = Instantiation(identifiers=(Identifier("0117", source="s"),), location=Text("Vault 3"))
    (found,) = check().content(document(alone), "nt")
    assert found.severity == Severity.WARNING
    assert check().accepts(document(alone), "nt")
    assert not check().accepts(document(Asset()), "nt")
    assert codes()["RD05"].bad in f"an instantiation that belongs to no asset: {found.message}"


def test_findings_are_in_a_stable_order() -> None:
    sent = [Asset(identifiers=(Identifier(f"{n}", source="s"),)) for n in range(5)]
    first, second = (check().content(document(*order), "nt") for order in (sent, sent[::-1]))
    assert first == second and len(first) == 10


UNREADABLE = {
    "cut off": (b"<urn:a> <urn:b> ", "nt"),
    "no RDF": (b"Tape;Title", "turtle"),
    "a document type": (b'<!DOCTYPE a [<!ENTITY b "c">]><rdf:RDF xmlns:rdf="urn:a"/>', "xml"),
}


@pytest.mark.parametrize(("content", "format_"), UNREADABLE.values(), ids=UNREADABLE.keys())
def test_what_is_no_rdf_stops_the_check(content: bytes, format_: str) -> None:
    with pytest.raises(UnreadableInput):
        check().content(content, format_, "case")


def test_a_name_that_says_no_format(tmp_path: Path) -> None:
    path = tmp_path / "records.txt"
    path.write_bytes(document(GOOD))
    with pytest.raises(UnreadableInput, match="name of an RDF file"):
        list(check().file(path))


@pytest.mark.parametrize("context", ["https://example.org/ctx", "ctx.json", "file:///etc/hostname"])
def test_a_context_elsewhere_is_refused_and_never_fetched(context: str, tmp_path: Path) -> None:
    """The audit hook of Python sees every file that is opened and every address that is asked for."""
    (tmp_path / "ctx.json").write_text('{"@context": {"t": "http://purl.org/dc/terms/title"}}')
    file = tmp_path / "a.jsonld"
    file.write_text(json.dumps({"@context": context, "@id": ASSET, "t": "Tideline"}))
    touched: list[str] = []
    hooks.append(lambda event, args: touched.append(str(args[:1])) if event in WATCHED else None)
    try:
        (found,) = validate([file]).findings
    finally:
        hooks.clear()
    assert (found.code, found.origin.file) == ("SC12", str(file))
    assert not [what for what in touched if any(part in what for part in ("example.org", "ctx.json", "hostname"))]


WATCHED = ("open", "urllib.Request", "socket.connect", "socket.getaddrinfo")
hooks: list[Callable[[str, tuple[object, ...]], None]] = []  # an audit hook cannot be taken away, so it asks this list
sys.addaudithook(lambda event, args: [hook(event, args) for hook in hooks] and None)


def test_an_impossible_date_is_told_once_and_quietly(tmp_path: Path, caplog: pytest.LogCaptureFixture) -> None:
    file = tmp_path / "a.ttl"
    file.write_text(f'<{ASSET}> <{D}created> "1987-99-99"^^<{X}date> .')
    list(check().file(file))
    assert not caplog.records

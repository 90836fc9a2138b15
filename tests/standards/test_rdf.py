"""RDF: what is written reads back whole, in four serialisations that say the same; every name in it exists; URIs are
stable; RDF of others is read as far as the table understands it."""

from __future__ import annotations

import json
import re
from functools import cache
from pathlib import Path
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st
from rdflib import RDF, Graph, Literal, URIRef
from rdflib.compare import isomorphic

from crosswalk.errors import CannotContinue, UnreadableInput
from crosswalk.findings import Finding, Severity, codes
from crosswalk.records import (
    AgentName,
    Annotation,
    Asset,
    AssetRelation,
    Contributor,
    ContributorRole,
    Coverage,
    Creator,
    DateText,
    Evidence,
    Identifier,
    Instantiation,
    Language,
    Link,
    Measure,
    Plain,
    Record,
    Rights,
    Subject,
    Text,
    TimedText,
    Title,
)
from crosswalk.resources import resource, schema_path
from crosswalk.standards.base import Standard
from crosswalk.standards.rdf import STANDARDS
from crosswalk.standards.rdf.forms import relator
from crosswalk.standards.rdf.names import PREFIXES, full, kinds_of, own_names, published, short
from crosswalk.standards.rdf.ontology import context, ontology
from crosswalk.standards.rdf.write import table
from crosswalk.standards.tables.uris import SameAddress, base_of, normal, said, segment
from tests.contracts.maximal import maximal
from tests.contracts.strategies import records
from tests.search import examples
from tests.standards.both_ways import ABSENT, PUBLISHED, read, written

BY_NAME: dict[str, Standard] = {standard.name: standard for standard in STANDARDS}
TURTLE, N_TRIPLES = BY_NAME["turtle"], BY_NAME["n_triples"]
RDFLIB = {"turtle": "turtle", "n_triples": "nt", "json_ld": "json-ld", "rdf_xml": "xml"}
BASE = "https://archive.example.org/av/"
EPISODE = Asset(
    identifiers=(Identifier("TDLN0423", source="Merrow programme log"),),
    titles=(Title("Tideline", title_type="Series"), Title('Crabs "& others" \\ \t', title_type="Episode")),
    dates=(DateText("1987-04-03", date_type="broadcast"), DateText("1986~", date_type="created")),
    subjects=(Subject("salt marsh"), Subject("waders", source="house list")),
    genres=(TimedText("Nature"),),
    coverages=(Coverage(coverage=TimedText("Merrow Sound"), type=Plain("Spatial")),),
    relations=(AssetRelation(type=Text("Is Part Of"), identifier=Text("TDLN S4")),),
    creators=(Creator(creator=AgentName("Fenn, Orla"), roles=(Text("Producer"),)),),
    contributors=(
        Contributor(contributor=AgentName("Vale, Una"), roles=(ContributorRole("Actor", portrayal="Crab"),)),
    ),
    rights=(Rights(summary=Text("ask first")), Rights(link=Link("http://rightsstatements.org/vocab/InC/1.0/"))),
    annotations=(Annotation("kept", annotation_type="status"),),
    instantiations=(
        Instantiation(
            identifiers=(Identifier("0117", source="Merrow shelf number"),),
            physical=Text("U-matic"),
            media_type=Text("Moving Image"),
            duration=Text("00:58:30"),
            languages=(Language("eng;cym"),),
        ),
        Instantiation(identifiers=(Identifier("0117"),), file_size=Measure("1024", units_of_measure="bytes")),
    ),
)


def graph(*records: Record, name: str = "turtle", **options: Any) -> Graph:
    (document,) = written(BY_NAME[name], *records, **options)
    return Graph().parse(data=document.content, format=RDFLIB[name])


def triples(*records: Record, **options: Any) -> set[str]:
    """The statements with short names, subjects without the base."""
    found = set()
    for s, p, o in graph(*records, **{"base_uri": BASE, **options}):
        text = short(str(o)) if isinstance(o, URIRef) else o.n3().replace(full("xsd:string"), "")
        found.add(f"{s} {short(str(p))} {text}".replace(BASE, ""))
    return found


# What is written reads back


@pytest.mark.parametrize("name", BY_NAME)
@examples(40)
@given(record=records())
def test_any_record_reads_back_equal(name: str, tmp_path_factory: pytest.TempPathFactory, record: Record) -> None:
    (document,) = written(BY_NAME[name], record)
    assert read(BY_NAME[name], tmp_path_factory.getbasetemp(), document.content) == ([record], [])


@pytest.mark.parametrize("name", BY_NAME)
def test_maximal_records_and_an_episode_read_back_equal(name: str, tmp_path: Path) -> None:
    sent = [maximal(Asset), EPISODE, maximal(Instantiation)]
    (document,) = written(BY_NAME[name], *sent)
    assert read(BY_NAME[name], tmp_path, document.content) == (sent, [])


@pytest.mark.parametrize("name", BY_NAME)
def test_records_without_identifiers_read_back_equal(name: str, tmp_path: Path) -> None:
    sent: list[Record] = [Asset(titles=(Title("a"), Title("b"))), Asset(titles=(Title("a"),), subjects=(Subject("x"),))]
    (document,) = written(BY_NAME[name], *sent)
    assert read(BY_NAME[name], tmp_path, document.content) == (sent, [])
    assert b"https://example.org/asset" not in document.content, "nothing can be named"


@pytest.mark.parametrize("name", BY_NAME)
def test_the_serialisations_say_the_same(name: str) -> None:
    """Validator: rdflib, every parser of it."""
    sent = [maximal(Asset), EPISODE, Asset(titles=(Title("unnamed"),))]
    assert isomorphic(graph(*sent), graph(*sent, name=name))


def test_pyoxigraph_reads_the_same() -> None:
    """Validator: pyoxigraph beside rdflib."""
    import pyoxigraph

    (document,) = written(N_TRIPLES, EPISODE)
    theirs = {str(quad.triple) for quad in pyoxigraph.parse(document.content, pyoxigraph.RdfFormat.N_TRIPLES)}
    assert len(theirs) == len(graph(EPISODE)) == len(document.content.splitlines())


def test_json_ld_expands_the_same() -> None:
    """Validator: pyld, whose N-Quads rdflib compares with what it reads by itself."""
    from pyld import jsonld

    (document,) = written(BY_NAME["json_ld"], EPISODE)
    n_quads = jsonld.to_rdf(json.loads(document.content), {"format": "application/n-quads"})
    theirs = Graph().parse(data=n_quads, format="nt")
    assert isomorphic(theirs, graph(EPISODE))


# What an episode says

SAID = {
    "asset/TDLN0423 rdf:type ebucore:EditorialObject",
    'asset/TDLN0423 dcterms:identifier "TDLN0423"',
    'asset/TDLN0423#identifier ebucore:identifierValue "TDLN0423"',
    'asset/TDLN0423#identifier rec:source "Merrow programme log"',
    'asset/TDLN0423 dcterms:title "Tideline"',
    f'asset/TDLN0423 dcterms:issued "1987-04-03"^^<{full("xsd:date")}>',
    f'asset/TDLN0423 dcterms:created "1986~"^^<{full("edtf:EDTF")}>',
    "asset/TDLN0423 dcterms:subject term/subject/salt%20marsh",
    "term/subject/salt%20marsh rdf:type skos:Concept",
    'term/subject/salt%20marsh skos:prefLabel "salt marsh"',
    "term/subject/salt%20marsh skos:inScheme term/subject",
    "asset/TDLN0423 dcterms:spatial asset/TDLN0423#coverage-1",
    "asset/TDLN0423 dcterms:isPartOf asset/TDLN%20S4",
    "asset/TDLN0423 relators:pro asset/TDLN0423#creator-1",
    "asset/TDLN0423 relators:act asset/TDLN0423#contributor-1",
    'asset/TDLN0423#creator-1 ebucore:agentName "Fenn, Orla"',
    "asset/TDLN0423 dcterms:rights http://rightsstatements.org/vocab/InC/1.0/",
    "asset/TDLN0423 ebucore:isInstantiatedBy asset/TDLN0423/instantiation/0117",
    "asset/TDLN0423 ebucore:isInstantiatedBy asset/TDLN0423/instantiation/0117;2",
    "asset/TDLN0423/instantiation/0117 ebucore:instantiates asset/TDLN0423",
    "asset/TDLN0423/instantiation/0117 rdf:type ebucore:PhysicalResource",
    "asset/TDLN0423/instantiation/0117 dcterms:medium http://id.loc.gov/vocabulary/carriers/vf",
    "asset/TDLN0423/instantiation/0117 dcterms:format http://id.loc.gov/vocabulary/mediaTypes/v",
    "asset/TDLN0423/instantiation/0117 dcterms:type dcmitype:MovingImage",
    "asset/TDLN0423/instantiation/0117 dcterms:language http://id.loc.gov/vocabulary/iso639-2/eng",
    "asset/TDLN0423/instantiation/0117 dcterms:language http://id.loc.gov/vocabulary/iso639-2/cym",
    f'asset/TDLN0423/instantiation/0117 rec:runningTime "PT0H58M30S"^^<{full("xsd:duration")}>',
    f'asset/TDLN0423/instantiation/0117;2 ebucore:fileSize "1024"^^<{full("xsd:double")}>',
}


def test_what_an_episode_says() -> None:
    """The carrier and media type of U-matic: RDA, videocassette (vf) and video (v), as the carriers' table has them."""
    (document,) = written(N_TRIPLES, EPISODE, base_uri=BASE)
    lines = document.content.decode()
    for expected in SAID:
        subject, name, rest = expected.split(" ", 2)
        if not rest.startswith('"'):
            rest = f"<{_whole(rest)}>"
        assert f"<{BASE}{subject}> <{full(name)}> {rest} .\n" in lines, expected


def _whole(text: str) -> str:
    if text.startswith("http"):
        return text
    return full(text) if text.partition(":")[0] in PREFIXES else BASE + text


RIGHTS = {
    "a rights statement by its name": ("In Copyright", {"dcterms:rights http://rightsstatements.org/vocab/InC/1.0/"}),
    "a licence by its name": ("CC BY 4.0", {"dcterms:license http://creativecommons.org/licenses/by/4.0/"}),
    "a wording that may mean one": ("copyrighted", set()),
}


@pytest.mark.parametrize(("text", "expected"), RIGHTS.values(), ids=RIGHTS.keys())
def test_rights_that_are_named(text: str, expected: set[str], tmp_path: Path) -> None:
    """Sources: RightsStatements.org 1.0; Creative Commons."""
    record = Asset(identifiers=(Identifier("1"),), rights=(Rights(summary=Text(text)),))
    lines = {line.removeprefix("asset/1 ") for line in triples(record)}
    assert {line for line in lines if line.startswith(("dcterms:rights", "dcterms:license"))} == expected
    (document,) = written(TURTLE, record)
    assert read(TURTLE, tmp_path, document.content) == ([record], [])


def test_a_plain_value_is_one_statement() -> None:
    """Our own terms come in only where the published ones do not say all."""
    assert triples(Asset(identifiers=(), titles=(Title("Tideline"),))) and not [
        line for line in triples(Asset(titles=(Title("Tideline"),))) if " rec:" in line
    ]
    assert [line for line in triples(Asset(titles=(Title("Tideline", source="log"),))) if " rec:source" in line]


# Names


@cache
def everything() -> Graph:
    kinds = ("Is Part Of", "Has Part", "Is Version Of", "References", "Replaces", "Derived From", "Is Related To")
    relations = tuple(AssetRelation(type=Text(kind), identifier=Text("X")) for kind in kinds)
    evidence = Evidence("Umatic", file="tapes.xlsx", sheet="Tapes", row=27)
    more = Asset(
        identifiers=(Identifier("more", source="s"),), relations=relations, titles=(Title("a", evidence=evidence),)
    )
    return graph(maximal(Asset), EPISODE, more)


OURS = (PREFIXES["dcterms"], PREFIXES["ebucore"], PREFIXES["skos"], PREFIXES["prov"], PREFIXES["rdfs"])


def test_every_name_of_dcmi_skos_and_prov_exists() -> None:
    """Sources: DCMI Metadata Terms, SKOS, PROV-O, RDF Schema: rdflib's closed namespaces."""
    from rdflib import DCTERMS, PROV, RDFS, SKOS

    used = {str(x) for s, p, o in everything() for x in ((p, o) if p == RDF.type else (p,))}
    for namespace in (DCTERMS, SKOS, PROV, RDFS):
        names = {name.removeprefix(str(namespace)) for name in used if name.startswith(str(namespace))}
        assert names, namespace
        assert names <= {name.rstrip("_") for name in namespace.__annotations__}, namespace


def test_every_name_of_ebucore_exists() -> None:
    """Source: EBU, EBUCore ontology 1.10: names as recorded in schemas/rdf-names.tsv."""
    used = {short(str(x)) for s, p, o in everything() for x in ((p, o) if p == RDF.type else (p,))}
    names = {name for name in used if name.startswith("ebucore:")}
    assert len(names) > 30
    assert names <= set(published())


def test_every_name_of_our_own_is_documented() -> None:
    documented = {str(s) for s in Graph().parse(schema_path("terms.ttl")).subjects(RDF.type, RDF.Property)}
    used = {str(p) for p in everything().predicates() if str(p).startswith(PREFIXES["rec"])}
    assert len(used) > 30 and used <= documented


def _broken() -> list[str]:
    """Every statement whose subject or object is of another class than the property's domain or range asks for."""
    found = []
    about = everything()
    for s, p, o in about:
        name = published().get(short(str(p)))
        if name is None or p == RDF.type:
            continue
        domain = [cls for cls in name.domain if not cls.endswith("?")]
        if domain and not _is_one(about, s, domain):
            found.append(f"{short(str(p))}: {s} is no {' or '.join(domain)}")
        wanted = [cls.rstrip("?") for cls in name.range]
        if wanted and not (_fits(o, wanted) if isinstance(o, Literal) else _is_one(about, o, wanted)):
            found.append(f"{short(str(p))}: {o} is no {' or '.join(wanted)}")
    return found


def _is_one(about: Graph, node: Any, classes: list[str]) -> bool:
    kinds = {short(str(cls)) for cls in about.objects(node, RDF.type)}
    if not kinds:  # a term of another publisher, or a record that is not in this file: its class stands there
        return isinstance(node, URIRef)
    return any(kinds & kinds_of(cls) for cls in classes)


def _fits(value: Literal, wanted: list[str]) -> bool:
    kind = short(str(value.datatype)) if value.datatype else "xsd:string"
    return "rdfs:Literal" in wanted or kind in wanted or (kind == "xsd:string" and "xsd:string" in wanted)


def test_domains_and_ranges_are_respected() -> None:
    """Sources: EBUCore 1.10 and DCMI Metadata Terms, domains and ranges as recorded; several are alternatives."""
    assert _broken() == []


def test_a_broken_range_would_be_seen() -> None:
    assert not _fits(Literal("12", datatype=URIRef(full("xsd:integer"))), ["xsd:string"])
    assert not _is_one(everything(), URIRef("https://example.org/asset/TDLN0423"), ["ebucore:MediaResource"])


@pytest.mark.live
@pytest.mark.skipif(not PUBLISHED.is_dir(), reason=ABSENT)
@pytest.mark.parametrize(
    ("file", "prefix"), [("rdf/ebucore-classic-1.10.ttl", "ebucore"), ("dc/dublin_core_terms.ttl", "dcterms")]
)
def test_recorded_names_are_the_published_ones(file: str, prefix: str) -> None:
    from rdflib import OWL, RDFS

    theirs = Graph().parse(PUBLISHED / file)
    properties = {short(str(s)) for s in theirs.subjects(RDF.type, RDF.Property)}
    ours = {name for name, row in published().items() if name.startswith(f"{prefix}:") and row.kind == "property"}
    assert ours == {name for name in properties if name.startswith(f"{prefix}:")}
    for name in ours:
        for row, prop in ((published()[name].domain, RDFS.domain), (published()[name].range, RDFS.range)):
            found = {short(str(o)).replace(str(OWL), "owl:") for o in theirs.objects(URIRef(full(name)), prop)}
            assert {cls for cls in row if not cls.endswith("?")} == found, name


@pytest.mark.live
@pytest.mark.skipif(not PUBLISHED.is_dir(), reason=ABSENT)
def test_relators_carriers_and_media_types_are_published() -> None:
    """Sources: Library of Congress, MARC relators; RDA carrier and media types with their addresses there."""
    from crosswalk.standards.rdf.forms import _rda_uri
    from crosswalk.vocabularies import load

    def uris(file: str) -> set[str]:
        return set(re.findall(r"http://id\.loc\.gov/[\w/]+", (PUBLISHED / "vocab" / file).read_text(encoding="utf-8")))

    found = {relator(term.name) for term in load("roles").term} - {""}
    assert found and {full(name) for name in found} <= uris("marc-relators.csv")
    for fact, vocabulary, file in (
        ("rda", "rda-carrier-types", "carriers.csv"),
        ("media", "rda-media-types", "mediaTypes.csv"),
    ):
        used = {_rda_uri(term.name, fact, vocabulary) for term in load("carriers").term} - {""}
        assert len(used) > 3 and used <= uris(file)


def test_the_table_names_what_exists_only() -> None:
    assert table().target == "rdf"  # loading it checks every name
    assert set(own_names()) >= {"pbcoreTitle", "titleType", "essenceTrackFrameSize"}


@pytest.mark.parametrize(
    ("name", "made"), [("terms.ttl", ontology()), ("context.jsonld", context())], ids=["terms", "context"]
)
def test_what_is_made_from_the_model_is_up_to_date(name: str, made: str) -> None:
    """`crosswalk.standards.rdf.ontology` makes both files."""
    assert resource("schemas", name).read_text(encoding="utf-8") == made


# URIs

SEGMENTS = {
    "plain": ("TDLN0423", "TDLN0423"),
    "a space": ("TDLN 0423", "TDLN%200423"),
    "spaces at the ends and inside": ("  TDLN  0423 ", "TDLN%200423"),
    "a slash": ("TDLN/0423", "TDLN%2F0423"),
    "a percent sign": ("100%20", "100%2520"),
    "a hash and a question": ("a#b?c", "a%23b%3Fc"),
    "a semicolon": ("0117;2", "0117%3B2"),
    "beyond ASCII": ("Ærø", "%C3%86r%C3%B8"),
    "composed and not": ("Cafe\u0301", "Caf%C3%A9"),
    "unreserved": ("a-b.c_d~e", "a-b.c_d~e"),
    "a dot": (".", "%2E"),
    "two dots": ("..", "%2E%2E"),
    "quotes and brackets": ('<"a">{b}|\\^`', "%3C%22a%22%3E%7Bb%7D%7C%5C%5E%60"),
}


@pytest.mark.parametrize(("identifier", "expected"), SEGMENTS.values(), ids=SEGMENTS.keys())
def test_the_rule_of_uris(identifier: str, expected: str) -> None:
    """Source: RFC 3986, 2.1 and 2.3 (percent-encoding, unreserved characters)."""
    assert segment(identifier) == expected
    assert said(expected) == normal(identifier)


@given(st.text(st.characters(exclude_categories=["Cs"]), max_size=20))
def test_a_uri_says_its_identifier(identifier: str) -> None:
    assert said(segment(identifier)) == normal(identifier)
    assert re.fullmatch(r"[A-Za-z0-9._~%-]*", segment(identifier))


SAME = {
    "the very same": ("TDLN0423", "TDLN0423"),
    "spaces": ("TDLN 0423", "TDLN  0423"),
    "composition": ("Café", "Cafe\u0301"),
}


@pytest.mark.parametrize(("first", "second"), SAME.values(), ids=SAME.keys())
def test_two_records_that_mint_one_uri_are_refused(first: str, second: str) -> None:
    sent = [Asset(identifiers=(Identifier(text, source="s"),)) for text in (first, second)]
    for options in ({}, {"batch": 1}, {"one_each": True}):
        with pytest.raises(SameAddress, match="RD01") as caught:
            written(TURTLE, *sent, **options)
        assert caught.value.identifiers == (first, second)
        assert first in str(caught.value) and second in str(caught.value)


def test_an_asset_and_an_instantiation_may_share_an_identifier() -> None:
    written(TURTLE, Asset(identifiers=(Identifier("1"),)), Instantiation(identifiers=(Identifier("1"),)))


def test_one_failed_document_leaves_those_before_it() -> None:
    """Nothing is overwritten: the documents before the collision have been given out already."""
    assert TURTLE.write is not None
    from crosswalk.standards.base import WriteOptions

    stream = TURTLE.write([Asset(identifiers=(Identifier(text),)) for text in ("1", "2", "1")], WriteOptions(batch=1))
    assert [next(stream).records, next(stream).records] == [("1",), ("2",)]
    with pytest.raises(SameAddress):
        next(stream)


BASES = ["", "archive", "archive/av", "//archive.example.org/", "ftp://archive.example.org/", "https:///av/",
         "https://archive.example.org/a b/", "https://archive.example.org/#a", "https://archive.example.org/?a=b",
         "https://[archive/", "mailto:av@archive.example.org"]  # fmt: skip


@pytest.mark.parametrize("base", BASES, ids=[base or "empty" for base in BASES])
def test_a_base_that_is_none_is_refused(base: str) -> None:
    with pytest.raises(CannotContinue, match="RD02"):
        written(TURTLE, EPISODE, base_uri=base)


def test_a_base_gets_its_slash() -> None:
    assert base_of("http://archive.example.org") == "http://archive.example.org/"


def test_uris_are_stable_from_run_to_run() -> None:
    """Other records before it, other batches: the same URIs."""
    alone = {s for s in graph(EPISODE).subjects() if isinstance(s, URIRef)}
    beside = {s for s in graph(maximal(Asset), EPISODE).subjects() if "TDLN0423" in str(s)}
    assert {s for s in alone if "TDLN0423" in str(s)} == beside


# Characters

TEXTS = {
    "quotes": 'say "ah"',
    "backslash": "a\\b",
    "line ends": "a\nb\r\nc",
    "tab": "a\tb",
    "control": "a\x01\x08\x0c\x1f\x7fb",
    "beyond the basic plane": "a\U0001f980b",
    "line separators": "a\u2028b\u0085c",
    "looks like an escape": "\\u0041",
    "XML": "<a href='b'>&amp;</a>]]>",
    "braces": "{@id}",
}


@pytest.mark.parametrize("name", BY_NAME)
@pytest.mark.parametrize("text", TEXTS.values(), ids=TEXTS.keys())
def test_characters_that_must_be_escaped(name: str, text: str, tmp_path: Path) -> None:
    """Source: RDF 1.1 N-Triples, grammar: STRING_LITERAL_QUOTE, ECHAR, UCHAR."""
    record = Asset(identifiers=(Identifier("1", source=text),), titles=(Title(text),))
    if name == "rdf_xml" and re.search("[\x01-\x08\x0c\x1f]", text):
        with pytest.raises(CannotContinue, match="forbidden in XML"):
            written(BY_NAME[name], record)
        return
    (document,) = written(BY_NAME[name], record)
    assert read(BY_NAME[name], tmp_path, document.content) == ([record], [])
    if name == "n_triples":
        assert all(re.fullmatch(rb'<[^<>"]+> <[^<>"]+> .+ \.', line) for line in document.content.split(b"\n")[:-1])


@pytest.mark.parametrize("name", BY_NAME)
def test_half_a_character_stops_the_run(name: str) -> None:
    with pytest.raises(CannotContinue, match="U\\+D800"):
        written(BY_NAME[name], Asset(titles=(Title("a\ud800"),)))


# Where it came from


def test_rows_and_runs() -> None:
    """Source: W3C, PROV-O: wasDerivedFrom, wasGeneratedBy."""
    evidence = Evidence("Umatic, Mrs V. 555-0117", file="in/private/tapes.xlsx", sheet="Tapes 198x", row=27, column=5)
    record = Asset(
        identifiers=(Identifier("1"),),
        titles=(Title("a", evidence=evidence),),
        subjects=(Subject("b", evidence=evidence),),
    )
    found = triples(record, stamp="2026-03-02T10:00:00Z")
    row, run = "source/tapes.xlsx/Tapes%20198x/row-27", "run/2026-03-02T10%3A00%3A00Z"
    assert {
        f"asset/1 prov:wasDerivedFrom {row}",
        f"asset/1 prov:wasGeneratedBy {run}",
        f'{row} rec:file "tapes.xlsx"',
        f'{row} rec:sheet "Tapes 198x"',
        f'{run} prov:startedAtTime "2026-03-02T10:00:00+00:00"^^<{full("xsd:dateTime")}>',
    } <= {line.replace('10:00:00Z"', '10:00:00+00:00"') for line in found}
    assert not [line for line in found if "private" in line or "555" in line], "neither folders nor the texts of cells"


def test_what_is_not_for_the_public_is_not_named() -> None:
    evidence = Evidence("x", file="tapes.xlsx", sheet="Held", row=3, public=False)
    found = triples(Asset(identifiers=(Identifier("1"),), titles=(Title("a", evidence=evidence),)))
    assert not [line for line in found if "prov:" in line or "Held" in line]


def test_no_evidence_no_run() -> None:
    assert not [line for line in triples(EPISODE) if "prov:" in line]


def test_provenance_does_not_disturb_reading(tmp_path: Path) -> None:
    evidence = Evidence("x", file="tapes.csv", row=3)
    record = Asset(identifiers=(Identifier("1"),), titles=(Title("a", evidence=evidence),))
    (document,) = written(TURTLE, record)
    assert read(TURTLE, tmp_path, document.content) == ([record], [])


# Languages


def test_a_language_code_that_is_none() -> None:
    found: list[Finding] = []
    record = Asset(instantiations=(Instantiation(identifiers=(Identifier("1"),), languages=(Language("xqz"),)),))
    written(TURTLE, record, on_finding=found.append)
    assert [(f.code, f.value) for f in found] == [("RD04", codes()["RD04"].bad)]
    assert not [line for line in triples(record) if "dcterms:language" in line]
    found.clear()
    good = Instantiation(identifiers=(Identifier("1"),), languages=(Language(codes()["RD04"].good),))
    written(TURTLE, good, on_finding=found.append)
    assert found == []


# The language of the house's own prose


def test_prose_is_marked_with_the_language_of_the_house(tmp_path: Path) -> None:
    """EBUCore's title is a plain string by its range, DCMI's any literal: only the latter takes the mark."""
    record = Asset(identifiers=(Identifier("1"),), titles=(Title("Y Twyni"),), subjects=(Subject("gwymon"),))
    (document,) = written(N_TRIPLES, record, language="cy")
    assert re.findall(rb'terms/title> "Y Twyni"(\S*) ', document.content) == [b"@cy"]
    assert re.findall(rb'ebucore#title> "Y Twyni"(\S*) ', document.content) == [b""]
    (back,), findings = read(N_TRIPLES, tmp_path, document.content)
    assert back == record
    assert [(f.code, f.value, f.severity) for f in findings] == [("RD06", "cy", Severity.NOTE)]


@pytest.mark.parametrize("name", BY_NAME)
def test_marks_are_the_same_in_every_serialisation(name: str) -> None:
    assert isomorphic(graph(EPISODE, language="en-GB"), graph(EPISODE, language="en-GB", name=name))
    assert {o.language for o in graph(EPISODE, language="en-GB").objects() if isinstance(o, Literal)} == {None, "en-GB"}


@pytest.mark.parametrize("tag", ["english", "en_GB", "e", '"en', "en-"])
def test_a_language_tag_that_is_none(tag: str) -> None:
    with pytest.raises(CannotContinue, match="no language tag"):
        written(TURTLE, EPISODE, language=tag)


@pytest.mark.parametrize("code", ["RD03", "RD06"])
def test_the_examples_of_the_code_table(code: str, tmp_path: Path) -> None:
    """`bad` is found and `good` is not."""
    head = "".join(f"@prefix {prefix}: <{name}> .\n" for prefix, name in {**PREFIXES, "ex": "urn:ex:"}.items())
    for example, expected in ((codes()[code].bad, {code}), (codes()[code].good, set())):
        said_ = f'{head}<urn:a> a ebucore:EditorialObject ; dcterms:identifier "1" ; {example} .'
        _, findings = read(TURTLE, tmp_path, said_.encode())
        assert {f.code for f in findings} == expected


# RDF of others

FOREIGN = """
@prefix dct: <http://purl.org/dc/terms/> .
@prefix e: <http://www.ebu.ch/metadata/ontologies/ebucore/ebucore#> .
@prefix skos: <http://www.w3.org/2004/02/skos/core#> .
@prefix xsd: <http://www.w3.org/2001/XMLSchema#> .
<urn:p:1> a e:TVProgramme ; dct:title "Tideline" ; dct:identifier "urn:p:1" ; dct:issued "1987-04-03"^^xsd:date ;
  dct:subject <urn:t:1> ; dct:isPartOf <urn:p:9> ; dct:license <https://creativecommons.org/licenses/by/4.0/> ;
  e:isInstantiatedBy <urn:i:1> ; dct:abstract "Crabs." ; <urn:x:shelfColour> "green" .
<urn:t:1> a skos:Concept ; skos:prefLabel "salt marsh" .
<urn:i:1> a e:MediaResource ; dct:identifier "0117" ; dct:language <http://id.loc.gov/vocabulary/iso639-2/cym> ;
  dct:type <http://purl.org/dc/dcmitype/Sound> ; e:duration "00:58:30" .
"""


def test_others_are_read_as_far_as_the_table_goes(tmp_path: Path) -> None:
    (record,), findings = read(TURTLE, tmp_path, FOREIGN.encode())
    assert isinstance(record, Asset)
    assert record.titles == (Title("Tideline"),)
    assert record.identifiers == (Identifier("urn:p:1"),)
    assert record.dates == (DateText("1987-04-03", date_type="issued"),)
    assert record.subjects == (Subject("salt marsh"),)
    assert record.relations == (AssetRelation(type=Text("Is Part Of"), identifier=Text("urn:p:9")),)
    assert record.rights == (Rights(link=Link("https://creativecommons.org/licenses/by/4.0/")),)
    assert record.descriptions[0].description_type == "Abstract"
    (carrier,) = record.instantiations
    assert carrier.identifiers == (Identifier("0117"),)
    assert (carrier.media_type, carrier.duration) == (Text("Audio"), Text("00:58:30"))
    assert carrier.languages == (Language("cym"),)
    assert [(f.code, f.value, f.severity) for f in findings] == [("RD03", "green", Severity.WARNING)]
    assert "urn:x:shelfColour" in findings[0].message
    _, strict = read(TURTLE, tmp_path, FOREIGN.encode(), strict=True)
    assert [f.severity for f in strict] == [Severity.ERROR]


ADDED = {
    "a second title": 'dcterms:title "By hand"',
    "a second date": 'dcterms:issued "2001"^^xsd:gYear',
    "a subject": "dcterms:subject <urn:t:by-hand>",
    "a relation": "dcterms:isPartOf <urn:p:by-hand>",
    "a licence": "dcterms:license <http://creativecommons.org/licenses/by/4.0/>",
    "a creator": "dcterms:creator <urn:a:by-hand>",
}


@pytest.mark.parametrize("statement", ADDED.values(), ids=ADDED.keys())
def test_what_was_added_by_hand_to_ours_is_not_lost_in_silence(statement: str, tmp_path: Path) -> None:
    (document,) = written(TURTLE, EPISODE)
    more = f"<https://example.org/asset/TDLN0423> {statement} .\n".encode()
    (back,), findings = read(TURTLE, tmp_path, document.content + more)
    assert back == EPISODE
    assert [(f.code, f.origin.path) for f in findings] == [("RD03", "https://example.org/asset/TDLN0423")]


def test_a_title_makes_a_record_where_no_class_is_known(tmp_path: Path) -> None:
    content = b'<urn:a> <http://purl.org/dc/terms/title> "Tideline" .'
    assert read(N_TRIPLES, tmp_path, content) == ([Asset(titles=(Title("Tideline"),))], [])


def test_a_house_table_reads_what_the_shipped_one_does_not(tmp_path: Path) -> None:
    own = tmp_path / "own.toml"
    own.write_text(
        'target = "rdf"\ntitle = "x"\n[[rule]]\nfrom = "asset.annotation"\nto = "dcterms:provenance"\n', "utf-8"
    )
    content = b'<urn:a> <http://purl.org/dc/terms/title> "T" ; <http://purl.org/dc/terms/provenance> "from the pier" .'
    (plain,), findings = read(TURTLE, tmp_path, content)
    assert [f.code for f in findings] == ["RD03"] and isinstance(plain, Asset) and not plain.annotations
    (record,), findings = read(TURTLE, tmp_path, content, table=str(own))
    assert isinstance(record, Asset) and record.annotations == (Annotation("from the pier"),) and findings == []


BROKEN = {
    "Turtle cut off": ("turtle", b"@prefix a: <urn:a#> .\n\na:b a:c "),
    "N-Triples with a relative URI in the wrong place": ("n_triples", b"<a <b> <c> .\n"),
    "JSON that is none": ("json_ld", b'{"@context": {'),
    "a context that would be fetched": ("json_ld", b'{"@context": "https://example.org/c.jsonld", "@id": "urn:a"}'),
    "RDF/XML with a document type": ("rdf_xml", b'<!DOCTYPE a [<!ENTITY b "c">]><rdf:RDF/>'),
    "RDF/XML cut off": ("rdf_xml", b'<rdf:RDF xmlns:rdf="http://www.w3.org/1999/02/22-rdf-syntax-ns#">'),
}


@pytest.mark.parametrize(("name", "content"), BROKEN.values(), ids=BROKEN.keys())
def test_what_is_not_readable_stops_the_run(name: str, content: bytes, tmp_path: Path) -> None:
    with pytest.raises(UnreadableInput, match="case"):
        read(BY_NAME[name], tmp_path, content)

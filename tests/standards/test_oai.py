"""Open Archives: the static repository and the ListRecords pages."""

from __future__ import annotations

from pathlib import Path

import pytest
from hypothesis import given
from lxml import etree

from crosswalk.errors import CannotContinue
from crosswalk.pipeline.converting import read_documents
from crosswalk.records import Asset, Collection, Identifier, Record, Title
from crosswalk.resources import schema_path
from crosswalk.standards.base import ReadOptions
from crosswalk.standards.dublin_core import STANDARD as OAI_DC
from crosswalk.standards.oai import PMH, STANDARDS
from crosswalk.standards.tables.uris import SameAddress
from tests.contracts.strategies import records
from tests.search import examples
from tests.standards.both_ways import ABSENT, PUBLISHED, read, written

STATIC, PAGES = STANDARDS
BASE = {"base_uri": "https://archive.example.org/av/", "stamp": "2026-03-02T10:00:00Z"}
NS = {"oai": PMH, "sr": "http://www.openarchives.org/OAI/2.0/static-repository"}


def episodes(count: int) -> list[Record]:
    return [Asset(identifiers=(Identifier(f"TDLN{n:04}"),), titles=(Title(f"Part {n}"),)) for n in range(count)]


def texts(content: bytes, path: str) -> list[str]:
    found = etree.fromstring(content).xpath(path, namespaces=NS)
    return [str(x) if isinstance(x, str) else x.text or "" for x in found]  # type: ignore[union-attr]


def test_a_static_repository() -> None:
    collection = Collection(collection_title="Merrow & coast")
    (document,) = written(STATIC, *episodes(2), collection=collection, contact="av@archive.example.org", **BASE)
    said = {etree.QName(e).localname: e.text for e in etree.fromstring(document.content)[0].iterchildren()}
    assert said == {
        "repositoryName": "Merrow & coast",
        "baseURL": "https://archive.example.org/av/records.xml",
        "protocolVersion": "2.0",
        "adminEmail": "av@archive.example.org",
        "earliestDatestamp": "2026-03-02",
        "deletedRecord": "no",
        "granularity": "YYYY-MM-DD",
    }
    assert texts(document.content, "//oai:header/oai:identifier") == [
        "oai:archive.example.org:TDLN0000", "oai:archive.example.org:TDLN0001",
    ]  # fmt: skip
    assert set(texts(document.content, "//oai:datestamp")) == {"2026-03-02"}
    assert document.records == ("TDLN0000", "TDLN0001")


def test_nothing_to_list_is_no_repository() -> None:
    """The published schema wants at least one record."""
    assert written(STATIC) == [] and written(PAGES) == []


SIZES = [(1, 2, 1), (2, 2, 1), (3, 2, 2), (4, 2, 2), (5, 2, 3), (3, 1, 3)]


@pytest.mark.parametrize(("count", "batch", "pages"), SIZES)
def test_pages_are_a_chain(count: int, batch: int, pages: int) -> None:
    """Source: OAI-PMH 2.0, 3.5 Flow Control: every incomplete list has a token, and the last page has an empty one."""
    documents = written(PAGES, *episodes(count), batch=batch, **BASE)
    assert len(documents) == pages
    by_name = {document.name: document for document in documents}
    name, seen = "records-0001.xml", []
    while name:
        content = by_name[name].content
        seen += texts(content, "//oai:header/oai:identifier")
        token = texts(content, "//oai:resumptionToken")
        assert len(token) == (0 if pages == 1 else 1)
        if token:
            assert texts(content, "//oai:resumptionToken/@cursor") == [str(len(seen) - len(by_name[name].records))]
        name = token[0] if token else ""
    assert seen == [f"oai:archive.example.org:TDLN{n:04}" for n in range(count)]


def test_a_page_says_how_it_was_asked_for() -> None:
    """Source: OAI-PMH 2.0, 3.5: a resumptionToken is an exclusive argument."""
    first, second = written(PAGES, *episodes(3), batch=2, **BASE)
    assert texts(first.content, "//oai:request/@metadataPrefix") == ["oai_dc"]
    assert texts(second.content, "//oai:request/@metadataPrefix") == []
    assert texts(second.content, "//oai:request/@resumptionToken") == [second.name]


@pytest.mark.parametrize("standard", STANDARDS, ids=lambda standard: standard.name)
def test_the_record_is_that_of_simple_dublin_core(standard: object, tmp_path: Path) -> None:
    (alone,) = written(OAI_DC, *episodes(1))
    (wrapped,) = written(standard, *episodes(1), **BASE)  # type: ignore[arg-type]
    assert read(standard, tmp_path, wrapped.content) == read(OAI_DC, tmp_path, alone.content)  # type: ignore[arg-type]


IDENTIFIERS = {
    "a space": ("TDLN 0423", "TDLN%200423"),
    "a slash": ("TDLN/0423", "TDLN%2F0423"),
    "a percent sign": ("50%", "50%25"),
    "beyond ASCII": ("Ærø", "%C3%86r%C3%B8"),
    "XML": ("<a&b>", "%3Ca%26b%3E"),
}


@pytest.mark.parametrize(("text", "local"), IDENTIFIERS.values(), ids=IDENTIFIERS.keys())
def test_identifiers_are_uris(text: str, local: str) -> None:
    """Source: Open Archives, Specification and XML Schema for the OAI Identifier Format, 2.0."""
    (document,) = written(STATIC, Asset(identifiers=(Identifier(text),)), **BASE)
    assert texts(document.content, "//oai:header/oai:identifier") == [f"oai:archive.example.org:{local}"]


@pytest.mark.parametrize("standard", STANDARDS, ids=lambda standard: standard.name)
def test_two_records_of_one_identifier_stop_the_run(standard: object) -> None:
    with pytest.raises(SameAddress) as caught:
        written(standard, *episodes(1), *episodes(1), **BASE)  # type: ignore[arg-type]
    assert caught.value.identifiers == ("TDLN0000", "TDLN0000")


def test_a_record_without_identifier_cannot_be_harvested() -> None:
    with pytest.raises(CannotContinue, match="no identifier"):
        written(STATIC, Asset(titles=(Title("Tideline"),)))


@examples(40)
@given(records())
def test_any_record_is_valid(record: Record) -> None:
    if not record.identifiers or not record.identifiers[0].text:
        return
    for standard in STANDARDS:
        schema = etree.XMLSchema(etree.parse(schema_path(standard.schema)))
        (document,) = written(standard, record, **BASE)
        assert schema.validate(etree.fromstring(document.content)), schema.error_log


@pytest.mark.live
@pytest.mark.skipif(not PUBLISHED.is_dir(), reason=ABSENT)
@pytest.mark.parametrize(("standard", "key"), [(STATIC, "oai-static"), (PAGES, "oai-pmh")], ids=["static", "pages"])
def test_the_published_schema_agrees(standard: object, key: str, tmp_path: Path) -> None:
    """Source: Open Archives Initiative, OAI-PMH.xsd and static-repository.xsd."""
    from tests.schemas.families import PUBLISHED as FAMILIES

    theirs = etree.XMLSchema(etree.parse(FAMILIES[key].laid_out(tmp_path)))
    for document in written(standard, *episodes(5), batch=2, **BASE):  # type: ignore[arg-type]
        assert theirs.validate(etree.fromstring(document.content)), theirs.error_log


DC = (
    '<oai_dc:dc xmlns:oai_dc="http://www.openarchives.org/OAI/2.0/oai_dc/" xmlns:dc="http://purl.org/dc/elements/1.1/">'
    "<dc:title>Tideline</dc:title><dc:identifier>TDLN0423</dc:identifier></oai_dc:dc>"
)
PB = (
    '<pbcoreDescriptionDocument xmlns="http://www.pbcore.org/PBCore/PBCoreNamespace.html">'
    '<pbcoreIdentifier source="Merrow programme log">TDLN0423</pbcoreIdentifier><pbcoreTitle>Tideline</pbcoreTitle>'
    "<pbcoreDescription>At low water.</pbcoreDescription></pbcoreDescriptionDocument>"
)
TERMS = (
    '<r:record xmlns:r="urn:x-crosswalk:dcterms-record" xmlns:dcterms="http://purl.org/dc/terms/">'
    "<dcterms:title>Tideline</dcterms:title></r:record>"
)


def listed(payload: str, status: str = "") -> str:
    """A record as a repository lists it."""
    metadata = f"<metadata>{payload}</metadata>" if payload else ""
    said = "<identifier>oai:a:1</identifier><datestamp>2020-01-01</datestamp></header>"
    return f"<record><header{status}>{said}{metadata}</record>"


def answer(content: str, root: str = "OAI-PMH") -> str:
    return f'<{root} xmlns="{PMH}"><responseDate>2020-01-01T00:00:00Z</responseDate>{content}</{root}>'


OTHER = '<m:cd xmlns:m="urn:m"/>'
WITHDRAWN = ' status="deleted"'
ANSWERS = {
    "withdrawn": (listed("", WITHDRAWN), "OA02"),
    "withdrawn with metadata": (listed(DC, WITHDRAWN), "OA01"),
    "withdrawn PBCore": (listed(PB, WITHDRAWN), "OA01"),
    "withdrawn terms": (listed(TERMS, WITHDRAWN), "OA01"),
    "withdrawn, written otherwise": (listed(DC, ' status=" Deleted"'), "OA01"),
    "a status that there is not": (listed(DC, ' status="hidden"'), "OA03"),
    "another payload": (listed(OTHER), "OA03"),
    "no payload": (listed(""), "OA03"),
    "an error": ('<error code="badResumptionToken">too old</error>', "OA04"),
    "further pages": ("<resumptionToken>abc</resumptionToken>", "OA05"),
    "no records": ("<Identify/>", "OA06"),
}


@pytest.mark.parametrize(("content", "code"), ANSWERS.values(), ids=ANSWERS.keys())
def test_what_is_no_live_record_is_told(content: str, code: str, tmp_path: Path) -> None:
    """Source: OAI-PMH 2.0, 2.5.1 Deleted records, 3.5 Flow control, 3.6 Error conditions."""
    records_, findings = read(PAGES, tmp_path, answer(content).encode())
    assert records_ == [] and findings[0].code == code


PAYLOADS = {"Simple Dublin Core": DC, "PBCore": PB, "DCMI terms": TERMS, "a PBCore collection": (
    '<c:pbcoreCollection xmlns:c="http://www.pbcore.org/PBCore/PBCoreNamespace.html">' + PB + "</c:pbcoreCollection>"
)}  # fmt: skip


@pytest.mark.parametrize("payload", PAYLOADS.values(), ids=PAYLOADS.keys())
def test_a_payload_that_is_read_elsewhere_is_read_here(payload: str, tmp_path: Path) -> None:
    content = answer(f"<ListRecords>{listed(payload)}<resumptionToken/></ListRecords>").encode()
    assert PAGES.recognise(content[:4096], "a.xml")
    (record,), findings = read(PAGES, tmp_path, content)
    assert isinstance(record, Asset) and record.titles[0].text == "Tideline" and findings == []


def test_what_pbcore_in_a_harvest_lacks_is_told_with_its_line(tmp_path: Path) -> None:
    bad = PB.replace("</pbcoreDescriptionDocument>", "\n<titel/></pbcoreDescriptionDocument>")
    (_,), (found,) = read(PAGES, tmp_path, answer(f"<ListRecords>{listed(bad)}</ListRecords>").encode())
    assert (found.code, found.origin.line, found.origin.record) == ("PB02", 2, "TDLN0423")


@pytest.mark.parametrize("payload", [DC, TERMS, PB], ids=["dc", "terms", "pbcore"])
@pytest.mark.parametrize("root", ["ListRecords", "", "harvest", "no namespace"])
def test_a_withdrawn_record_outside_its_answer_is_no_live_one(root: str, payload: str, tmp_path: Path) -> None:
    """A harvester may keep lists or single records. Whatever reads such a file must see the header."""
    alone = listed(payload, WITHDRAWN)
    single = alone.replace("<record>", f'<record xmlns="{PMH}">')
    content = {"": single, "no namespace": f"<harvest>{alone}</harvest>"}.get(root) or answer(alone, root)
    path = tmp_path / "kept.xml"
    path.write_text(content)
    assert [item.code for item in read_documents(path, ReadOptions())] == ["OA01"]  # type: ignore[union-attr]


def test_a_record_that_speaks_of_the_protocol_is_a_record(tmp_path: Path) -> None:
    path = tmp_path / "a.xml"
    path.write_text(DC.replace("Tideline", "How OAI-PMH works"))
    (record,) = read_documents(path, ReadOptions())
    assert isinstance(record, Asset)

"""PBCore: what is written is valid and reads back equal; both ways of reading say the same."""

from __future__ import annotations

import gzip
import re
import zipfile
from functools import cache
from pathlib import Path
from typing import Any

import pytest
from hypothesis import given
from lxml import etree

from crosswalk.errors import CannotContinue, UnreadableInput
from crosswalk.findings import Finding
from crosswalk.records import (
    NAMESPACE,
    Asset,
    Collection,
    Embedded,
    Extension,
    Identifier,
    Instantiation,
    Record,
    Title,
)
from crosswalk.resources import resource
from crosswalk.standards.base import ReadOptions, WriteOptions
from crosswalk.standards.pbcore import STANDARD, collection_of, write_record
from crosswalk.standards.pbcore_read import read
from tests.contracts.maximal import maximal
from tests.contracts.strategies import records
from tests.search import examples

COMMON = examples(60)


@cache
def schema() -> etree.XMLSchema:
    return etree.XMLSchema(etree.parse(resource("schemas", "pbcore-2.1.xsd")))


def is_valid(content: bytes) -> bool:
    return schema().validate(etree.fromstring(content))


def read_back(path: Path, content: bytes, **options: Any) -> list[Record | Finding]:
    path.write_bytes(content)
    return list(read(path, ReadOptions(**options)))


def document(inside: str, root: str = "pbcoreDescriptionDocument") -> bytes:
    return f'<{root} xmlns="{NAMESPACE}">{inside}</{root}>'.encode()


@pytest.fixture(scope="module")
def file(tmp_path_factory: pytest.TempPathFactory) -> Path:
    return tmp_path_factory.mktemp("pbcore") / "a.xml"


@COMMON
@given(records())
def test_any_record_is_valid_and_reads_back_equal(file: Path, record: Record) -> None:
    content = write_record(record)
    assert is_valid(content), schema().error_log
    assert read_back(file, content) == [record]


@COMMON
@given(records())
def test_both_ways_of_reading_say_the_same(file: Path, record: Record) -> None:
    content = write_record(record)
    assert read_back(file, content) == read_back(file, content, evidence=True) == read_back(file, content, repair=True)


@COMMON
@given(records())
def test_writing_again_gives_the_same_bytes(file: Path, record: Record) -> None:
    content = write_record(record)
    (again,) = read_back(file, content)
    assert not isinstance(again, Finding)
    assert write_record(again) == content


def test_the_maximal_record_is_valid_and_reads_back_equal(file: Path) -> None:
    for record in (maximal(Asset), maximal(Instantiation)):
        content = write_record(record)
        assert is_valid(content), schema().error_log
        assert read_back(file, content) == [record]


HEAD = "<pbcoreIdentifier source='s'>1</pbcoreIdentifier>"
TITLE, PROSE = "<pbcoreTitle>t</pbcoreTitle>", "<pbcoreDescription>d</pbcoreDescription>"
REST = TITLE + PROSE


def canonical(content: bytes) -> bytes:
    """Exclusive canonical XML, white space between elements aside; PBCore's namespace without a prefix."""
    content = content.replace(b"<p:", b"<").replace(b"</p:", b"</").replace(b"xmlns:p=", b"xmlns=")
    tree = etree.fromstring(content, etree.XMLParser(remove_blank_text=True))
    return etree.tostring(tree, method="c14n", exclusive=True)


LOSSLESS = {
    "attributes in another order": f"{HEAD}<pbcoreTitle annotation='a' titleType='b' source='c'>d</pbcoreTitle>{PROSE}",
    "empty elements": f"{HEAD}<pbcoreTitle/><pbcoreDescription/><pbcoreRightsSummary/>",
    "empty attributes": f"{HEAD}<pbcoreTitle titleType='' source=''>x</pbcoreTitle>{PROSE}",
    "white space in a text": f"{HEAD}<pbcoreTitle>  a\n  b\t </pbcoreTitle>{PROSE}",
    "white space by reference": f"{HEAD}<pbcoreTitle source='a&#13;&#10;&#9;b'>a&#13;b</pbcoreTitle>{PROSE}",
    "CDATA": f"{HEAD}<pbcoreTitle><![CDATA[a < b & c]]></pbcoreTitle>{PROSE}",
    "parts in parts": (
        f"{HEAD}{REST}<pbcorePart partType='a'>{HEAD}{REST}<pbcorePart>{HEAD}{REST}</pbcorePart></pbcorePart>"
    ),
    "foreign XML": (
        f"{HEAD}{REST}<pbcoreRightsSummary><rightsEmbedded><m:a xmlns:m='urn:m' m:n='1'>b<c xmlns=''/></m:a>"
        "</rightsEmbedded></pbcoreRightsSummary>"
    ),
}


@pytest.mark.parametrize("prefix", ["", "p:"], ids=["no prefix", "a prefix"])
@pytest.mark.parametrize("inside", LOSSLESS.values(), ids=LOSSLESS.keys())
def test_nothing_is_lost(file: Path, inside: str, prefix: str) -> None:
    content = document(inside)
    if prefix:
        content = re.sub(rb"<(/?)(pbcore|rights)", rb"<\1p:\2", content).replace(b"xmlns=", b"xmlns:p=", 1)
    assert is_valid(content)
    (record,) = read_back(file, content)
    assert not isinstance(record, Finding)
    assert canonical(write_record(record)) == canonical(content)


FOREIGN = {
    "declared above": (
        '<m:a xmlns:x="urn:x" x:y="1">t<b xmlns="">u</b></m:a>',
        '<m:a xmlns:m="urn:m" xmlns:x="urn:x" x:y="1">t<b xmlns="">u</b></m:a>',
    ),
    "PBCore's own namespace": ("<b/>", f'<b xmlns="{NAMESPACE}"/>'),
    "a prefix in a value": ('<b xmlns="" t="m:k"/>', '<b xmlns="" xmlns:m="urn:m" t="m:k"/>'),
    "comments and instructions": ("<!-- a --><?b c?>", "<!-- a --><?b c?>"),
    "white space at the ends": ("\n  <m:a/>\n  ", '<m:a xmlns:m="urn:m"/>'),
    "a language": ('<m:a xml:lang="cy"/>', '<m:a xmlns:m="urn:m" xml:lang="cy"/>'),
}


@pytest.mark.parametrize(("inside", "kept"), FOREIGN.values(), ids=FOREIGN.keys())
def test_foreign_xml_stands_on_its_own(file: Path, inside: str, kept: str) -> None:
    content = document(f"<pbcoreExtension><extensionEmbedded>{inside}</extensionEmbedded></pbcoreExtension>")
    *_, record = read_back(file, content.replace(b"xmlns=", b'xmlns:m="urn:m" xmlns=', 1))
    assert isinstance(record, Asset)
    assert record.extensions == (Extension(embedded=(Embedded(kept),)),)
    *_, again = read_back(file, write_record(record))
    assert again == record


PLACE = "<instantiationIdentifier source='s'>1</instantiationIdentifier>"
ODD = {
    "a comment": (f"{HEAD}\n<!-- hm -->{REST}", "PB01", 2, "note", True),
    "an instruction": (f"{HEAD}\n<?hm ?>{REST}", "PB01", 2, "note", True),
    "a comment in a text": (f"{HEAD}\n{REST}".replace(">t<", ">t<!-- hm --><"), "PB01", 2, "note", True),
    "an unknown element": (f"{HEAD}{REST}\n<pbcoreKeyword>w</pbcoreKeyword>", "PB02", 2, "warning", False),
    "an element in a text": (f"{HEAD}\n{REST}".replace(">t<", ">t<b>w</b><"), "PB02", 2, "warning", False),
    "an unknown attribute": (f"{HEAD}\n{REST}".replace("Title>", "Title lang='eng'>", 1), "PB03", 2, "warning", False),
    "stray text": (f"{HEAD}\n{REST} w", "PB04", 2, "warning", False),
    "no-break space between elements": (f"{HEAD}{REST}\u00a0", "PB04", 1, "warning", False),
    "another order": (f"{REST}\n{HEAD}", "PB05", 2, "warning", False),
    "no title": (f"{HEAD}{PROSE}", "PB06", 1, "warning", False),
    "no identifier": (REST, "PB06", 1, "warning", True),
    "no source": (HEAD.replace(" source='s'", "") + REST, "PB07", 1, "warning", False),
    "no location": (f"{HEAD}{REST}\n<pbcoreInstantiation>{PLACE}</pbcoreInstantiation>", "PB06", 2, "warning", False),
    "two locations": (
        f"{HEAD}{REST}<pbcoreInstantiation>{PLACE}<instantiationLocation>a</instantiationLocation>\n"
        "<instantiationLocation>b</instantiationLocation></pbcoreInstantiation>", "PB08", 2, "warning", False,
    ),
    "a lower-case coverage type": (
        f"{HEAD}{REST}<pbcoreCoverage><coverage>a</coverage>\n<coverageType>spatial</coverageType></pbcoreCoverage>",
        "PB11", 2, "warning", False,
    ),
    "no coverage type": (
        f"{HEAD}{REST}<pbcoreCoverage><coverage>a</coverage>\n<coverageType/></pbcoreCoverage>",
        "PB11", 2, "warning", True,
    ),
    "languages in another form": (
        f"{HEAD}{REST}<pbcoreInstantiation>{PLACE}<instantiationLocation>a</instantiationLocation>\n"
        "<instantiationLanguage>ENG, fra</instantiationLanguage></pbcoreInstantiation>", "PB11", 2, "warning", False,
    ),
    "two kinds of rights": (
        f"{HEAD}{REST}<pbcoreRightsSummary><rightsSummary>a</rightsSummary>\n<rightsLink>urn:b</rightsLink>"
        "</pbcoreRightsSummary>", "PB09", 2, "warning", False,
    ),
}  # fmt: skip


@pytest.mark.parametrize(("inside", "code", "line", "severity", "stays"), ODD.values(), ids=ODD.keys())
def test_what_is_odd_is_said(file: Path, inside: str, code: str, line: int, severity: str, stays: bool) -> None:
    content = document(inside)
    found = [item for item in read_back(file, content) if isinstance(item, Finding) and item.code == code]
    assert [(item.origin.line, item.severity.word) for item in found] == [(line, severity)]
    strict = [item for item in read_back(file, content, strict=True) if isinstance(item, Finding) and item.code == code]
    assert [item.severity.word for item in strict] == ["error" if severity == "warning" else severity]
    mended = read_back(file, content, repair=True)
    assert {item.code for item in mended if isinstance(item, Finding)} == {code if stays else "PB20"}
    record = mended[-1]
    assert not isinstance(record, Finding)
    assert is_valid(write_record(record)) == (not stays or severity == "note"), schema().error_log


def test_a_repair_keeps_every_word(file: Path) -> None:
    content = document(
        f"<!-- no -->{REST}{HEAD}stray<pbcoreKeyword>known</pbcoreKeyword>"
        "<pbcoreCoverage x='attr'>mid<coverage>here</coverage><coverageType>temporal</coverageType></pbcoreCoverage>"
    )
    *_, record = read_back(file, content, repair=True)
    assert not isinstance(record, Finding)
    written = write_record(record)
    assert is_valid(written)
    assert all(word.encode() in written for word in ("stray", "known", "attr", "mid", "here", "Temporal"))


def test_a_collection_says_what_it_is(file: Path) -> None:
    told: list[Collection] = []
    assets = [Asset(identifiers=(Identifier(str(n), source="s"),), titles=(Title("t"),)) for n in range(3)]
    options = WriteOptions(collection=Collection(collection_title="Shelf <3>", collection_date="2015"))
    (written,) = STANDARD.write(assets, options)  # type: ignore[misc]
    items = read_back(file, written.content, on_collection=told.append)
    assert [item for item in items if isinstance(item, Asset)] == assets
    assert told == [options.collection] == [collection_of(file)]
    read_back(file, document(HEAD))
    assert collection_of(file) is None


def test_batches_and_names() -> None:
    assets = [Asset(identifiers=(Identifier(f"a/{n % 2}", source="s"),)) for n in range(5)]
    carrier = Instantiation(identifiers=(Identifier("A:1", source="s"),))
    write = STANDARD.write
    assert write is not None
    batches = list(write([*assets, carrier], WriteOptions(batch=2, stem="x")))
    assert [item.name for item in batches] == ["x-0001.xml", "x-0002.xml", "x-0003.xml", "A_1.xml"]
    assert batches[0].records == ("a/0", "a/1")
    each = list(write([*assets, carrier], WriteOptions(one_each=True)))
    assert [item.name for item in each] == ["a_0.xml", "a_1.xml", "a_0-2.xml", "a_1-2.xml", "a_0-3.xml", "A_1-3.xml"]


@pytest.mark.parametrize(
    ("record", "said"),
    [
        pytest.param(Asset(titles=(Title("a\x0bb"),)), "U+000B", id="control character"),
        pytest.param(Asset(titles=(Title("a\ud800b"),)), "U+D800", id="surrogate"),
        pytest.param(Asset(titles=(Title("x", source="\uffff"),)), "U+FFFF", id="no character"),
        pytest.param(Asset(extensions=(Extension(embedded=(Embedded("</x><x>"),)),)), "embedded", id="breaking out"),
        pytest.param(Asset(extensions=(Extension(embedded=(Embedded("<a:b/>"),)),)), "embedded", id="no namespace"),
    ],
)
def test_what_xml_cannot_hold_is_refused(record: Asset, said: str) -> None:
    with pytest.raises(CannotContinue, match=said.replace("+", r"\+")):
        write_record(record)


BAD = {
    "empty": (b"", ":1:1: is not well-formed XML: no element found"),
    "truncated": (document(HEAD)[:-10], ":1:"),
    "no XML": (b"hello", ":1:1: is not well-formed"),
    "another root": (b"<html/>", "root element is html"),
    "PBCore 1": (b"\n<PBCoreDescriptionDocument/>", ":2: is PBCore 1.x"),
    "a type definition": (b"<!DOCTYPE a>\n<a/>", ":1: has a document type definition"),
    "an external entity": (
        b'<!DOCTYPE a [<!ENTITY b SYSTEM "file:///etc/passwd">]><a>&b;</a>',
        ":1: has a document type definition",
    ),
    "wrong encoding": (document("\n<pbcoreTitle>\xe9").decode().encode("latin-1"), "encoding that the file"),
    "unknown encoding": (b'<?xml version="1.0" encoding="klingon"?><a/>', "unknown encoding"),
    "10,000 levels": (document("<pbcorePart>" * 10_000), ":1:.*exceeds what is read: Excessive depth"),
    "a text of 50 MB": (document("<pbcoreTitle>" + "x" * 50_000_000 + "</pbcoreTitle>"), "exceeds what is read"),
    "50 MB of white space": (document(" " * 50_000_000), "exceeds what is read"),
}  # fmt: skip


@pytest.mark.parametrize(("content", "said"), BAD.values(), ids=BAD.keys())
def test_bad_input_is_refused_with_file_and_line(file: Path, content: bytes, said: str) -> None:
    with pytest.raises(UnreadableInput, match=said) as caught:
        read_back(file, content)
    assert str(file) in str(caught.value)


def test_a_namespace_of_old_is_read(file: Path) -> None:
    content = document(HEAD + REST).replace(NAMESPACE.encode(), b"http://www.example.org/old")
    found, record = read_back(file, content)
    assert isinstance(found, Finding) and found.code == "PB10"
    assert isinstance(record, Asset) and record.titles == (Title("t"),)


def test_an_empty_collection_is_a_finding(file: Path) -> None:
    (found,) = read_back(file, document("", "pbcoreCollection"))
    assert isinstance(found, Finding) and found.code == "PB13"


def test_what_stands_beside_the_records_is_said(file: Path) -> None:
    record = f"<pbcoreDescriptionDocument>{HEAD}{REST}</pbcoreDescriptionDocument>"
    inside = f"w\n{record}v\n<other>u</other>\n<!-- t -->\n{record}"
    content = b"<!-- s -->\n" + document(inside, "pbcoreCollection") + b"\n<!-- r -->"
    found = [item for item in read_back(file, content) if isinstance(item, Finding)]
    assert [(item.code, item.origin.line) for item in found] == [
        ("PB01", 1), ("PB04", 3), ("PB02", 4), ("PB01", 5), ("PB04", 2), ("PB01", 7),
    ]  # fmt: skip


STARTS = {
    "a collection": (b'<?xml version="1.0"?>\n<!-- made <today> -->\n<pbcoreCollection>', True),
    "a prefix": (b"<pb:pbcoreInstantiationDocument xmlns:pb='x'>", True),
    "UTF-16": ("\ufeff<pbcoreCollection>".encode("utf-16-le"), True),
    "a byte order mark": (b"\xef\xbb\xbf<pbcoreDescriptionDocument>", True),
    "the first edition, which the reader refuses": (b"<PBCoreDescriptionDocument>", True),
    "PBCore within another document": (b"<OAI-PMH><metadata><pbcoreCollection>", False),
    "no XML": (b"pbcoreCollection", False),
    "nothing but instructions": (b"<?a?>" * 800, False),
}


@pytest.mark.parametrize(("start", "expected"), STARTS.values(), ids=STARTS.keys())
def test_files_are_recognised_by_their_first_tag(start: bytes, expected: bool) -> None:
    assert STANDARD.recognise(start, "a.xml") is expected


def test_packed_files_are_read(tmp_path: Path) -> None:
    content = document(HEAD + REST)
    (tmp_path / "a.xml.gz").write_bytes(gzip.compress(content))
    with zipfile.ZipFile(tmp_path / "a.zip", "w") as archive:
        archive.writestr("b.xml", content)
        archive.writestr("a.xml", document("", "pbcoreCollection"))
    assert len(list(read(tmp_path / "a.xml.gz", ReadOptions()))) == 1
    found, record = read(tmp_path / "a.zip", ReadOptions())
    assert isinstance(found, Finding) and found.origin.file.endswith("a.zip!a.xml")
    assert isinstance(record, Asset)


@pytest.mark.parametrize("encoding", ["utf-16", "utf-8-sig", "iso-8859-1", "windows-1252"])
def test_encodings_that_a_document_names_are_read(file: Path, encoding: str) -> None:
    text = document(HEAD + REST.replace(">t<", ">Caf\u00e9<")).decode()
    named = "" if encoding.startswith("utf") else f'<?xml version="1.0" encoding="{encoding}"?>'
    (record,) = read_back(file, (named + text).encode(encoding))
    assert isinstance(record, Asset) and record.titles == (Title("Caf\u00e9"),)


def test_a_collection_within_a_collection_is_said(file: Path) -> None:
    record = f"<pbcoreDescriptionDocument>{HEAD}{REST}</pbcoreDescriptionDocument>"
    content = document(f"{record}<pbcoreCollection>{record}</pbcoreCollection>", "pbcoreCollection")
    record_read, found = read_back(file, content)
    assert isinstance(record_read, Asset) and isinstance(found, Finding) and found.code == "PB02"


def test_lines_are_exact_beyond_65535(file: Path) -> None:
    record = f"<pbcoreDescriptionDocument>{HEAD}{REST}</pbcoreDescriptionDocument>\n"
    inside = "\n" * 70_000 + record * 3 + record.replace("<pbcoreTitle>", "\n<pbcoreTitle lang='eng'>")
    found = [item for item in read_back(file, document(inside, "pbcoreCollection")) if isinstance(item, Finding)]
    assert [(item.origin.line, item.origin.path) for item in found] == [
        (70_005, "/pbcoreCollection/pbcoreDescriptionDocument[4]/pbcoreTitle")
    ]


def test_a_document_within_an_extension_is_no_record(file: Path) -> None:
    inner = f"<pbcoreDescriptionDocument>{HEAD}{REST}</pbcoreDescriptionDocument>"
    extension = f"<pbcoreExtension><extensionEmbedded>{inner}</extensionEmbedded></pbcoreExtension>"
    inside = f"<pbcoreDescriptionDocument>{HEAD}{REST}{extension}</pbcoreDescriptionDocument>"
    assert len(read_back(file, document(inside, "pbcoreCollection"))) == 1

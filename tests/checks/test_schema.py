"""The schema layer: the verdicts of libxml2 and xmlschema, exact lines, and whatever a sender may send."""

from __future__ import annotations

import gzip
import zipfile
from concurrent.futures import ThreadPoolExecutor
from itertools import islice
from pathlib import Path
from typing import cast
from xml.parsers import expat

import pytest
from lxml import etree

from crosswalk.checks.schema import NAMESPACE, TAGS, SchemaCheck, unreadable
from crosswalk.checks.stream import Records, line_of
from crosswalk.errors import CannotContinue, UnreadableInput
from crosswalk.findings import Finding, Severity
from crosswalk.resources import schema_path
from tests.checks.documents import LINES, collection, record, single
from tests.schemas.documents import groups
from tests.schemas.families import family
from tests.schemas.verdicts import by_xmlschema, libxml2

CHECK = SchemaCheck()


def told(content: bytes, check: SchemaCheck = CHECK) -> list[tuple[int, str]]:
    return [(found.origin.line, found.code) for found in check.content(content, "in.xml")]


def refuses(check: SchemaCheck, content: bytes) -> bool:
    return any(found.severity is Severity.ERROR for found in check.content(content))


def test_libxml2_gives_the_same_verdicts_over_the_case_set() -> None:
    """The case set is that of the schema's own tests. Judging record by record, this is not obvious."""
    plain, quick = libxml2(schema_path("pbcore-2.1.xsd")), SchemaCheck(explained=0)
    cases = [case for _, group in groups(family("pbcore")) for case in islice(group, 0, None, 5)]
    assert len(cases) > 500
    differ = [case for case in cases if refuses(quick, case.data) is plain(case.data)]
    assert not differ, f"{len(differ)} differ, such as {differ[0].kind}: {differ[0].data!r}"


def is_uri(kind: str) -> bool:
    """xmlschema takes any text for an anyURI; libxml2 holds it against RFC 3986, and its verdict counts."""
    return kind.startswith(("text 'http://['", "text '2009-03-14T10:20:30+01:00'"))


def test_xmlschema_gives_the_same_verdicts_over_the_case_set() -> None:
    second = by_xmlschema(schema_path("pbcore-2.1.xsd"))
    cases = [case for _, group in groups(family("pbcore")) for case in islice(group, 0, None, 60)]
    assert len(cases) > 100
    differ = [case for case in cases if refuses(CHECK, case.data) is second(case.data) and not is_uri(case.kind)]
    assert not differ, f"{len(differ)} differ, such as {differ[0].kind}: {differ[0].data!r}"


FAULTS = {
    "an element missing": ("    <instantiationLocation>Vault A</instantiationLocation>\n", "", [(13, "SC03")]),
    "an element unknown": ("<instantiationLocation>", "<shelf/><instantiationLocation>", [(13, "SC02")]),
    "an element misplaced": ("  <pbcoreTitle ", "  <pbcoreGenre>Nature</pbcoreGenre><pbcoreTitle ", [(4, "SC02")]),
    "an element unknown where something optional may stand": (
        "  <pbcoreRightsSummary>",
        "  <pbcoreCoverage><coverage>here</coverage><bay/></pbcoreCoverage>\n  <pbcoreRightsSummary>",
        [(6, "SC02")],
    ),
    "an attribute missing": (' source="Merrow programme log"', "", [(3, "SC04")]),
    "an attribute unknown": ("titleType=", "type=", [(4, "SC05")]),
    "a value not allowed": (
        "  <pbcoreRightsSummary>",
        "  <pbcoreCoverage><coverage>here</coverage><coverageType>Place</coverageType></pbcoreCoverage>\n"
        "  <pbcoreRightsSummary>",
        [(6, "SC06")],
    ),
    "text between elements": ("  <pbcoreDescription>", "  words <pbcoreDescription>", [(1, "SC08")]),
    "two faults under one parent": (
        "    <instantiationDate",
        "    <shelf/>\n<bay/>\n    <instantiationDate",
        [(11, "SC02"), (12, "SC02")],
    ),
}


@pytest.mark.parametrize("fault", FAULTS)
def test_a_fault_has_its_code_and_line(fault: str) -> None:
    old, new, expected = FAULTS[fault]
    content = record().replace(old, new, 1)
    assert content != record()
    assert set(expected) <= set(told(single(content)))
    assert {code for _, code in told(single(content))} == {code for _, code in expected}


@pytest.mark.parametrize("fault", FAULTS)
def test_in_a_collection_the_lines_are_those_of_the_file(fault: str) -> None:
    old, new, expected = FAULTS[fault]
    content = collection(record(1), record(2), record(3).replace(old, new, 1), record(4))
    found = told(content)
    assert {(line + 1 + 2 * LINES, code) for line, code in expected} <= set(found)


def test_a_path_leads_to_the_element() -> None:
    content = collection(record(1), record(2).replace("Vault A</inst", "Vault A<b/></inst"))
    [found] = CHECK.content(content, "in.xml")
    root = etree.fromstring(content)
    steps = found.origin.path.replace("/", "/p:")
    [element] = cast("list[etree._Element]", root.xpath(steps, namespaces={"p": NAMESPACE}))
    assert (element.tag, found.origin.record) == (f"{{{NAMESPACE}}}instantiationLocation", "TDLN-0002")


def test_libxml2_alone_names_one_fault_where_xmlschema_names_all() -> None:
    """The pitfall that the explanation is there for."""
    content = single(record().replace("    <instantiationDate", "<a/><b/><c/>\n    <instantiationDate"))
    assert len(told(content, SchemaCheck(explained=0))) == 1
    assert len(told(content)) == 3


MANY_LINES = """<pbcoreDescriptionDocument><a>x</a><b/><c>
 <d>t &amp; u
 more &#228; lines {long}
 end</d><e q="1">y</e><f/>
</c><!-- a
comment -->
<g/><h>{words}
 {umlauts}</h>
 <i><![CDATA[x
y]]>
 z</i>
 </pbcoreDescriptionDocument>{blank}
"""


def many_lines(number: int) -> str:
    texts = {"long": "long " * (number % 200), "words": "word" * (number % 100), "umlauts": "ä" * (number % 400)}
    return MANY_LINES.format(**texts, blank="\n" * (number % 3))


@pytest.mark.parametrize("piece_bytes", [97, 65536])
def test_lines_are_exact_beyond_65_535(piece_bytes: int) -> None:
    """Beside expat, which counts for itself; libxml2 keeps no more than 65,535 and points to a text nearby."""
    content = collection(*(many_lines(number) for number in range(7000)))
    lines: list[int] = []
    reader = expat.ParserCreate()
    reader.StartElementHandler = lambda *_: lines.append(reader.CurrentLineNumber)
    reader.Parse(content, True)
    pieces = (content[at : at + piece_bytes] for at in range(0, len(content), piece_bytes))
    ours = [line_of(element) for r in Records(pieces, TAGS) for element in r.iter(etree.Element)]
    assert lines[-1] > 80_000
    assert ours == lines[1:]


def test_a_fault_beyond_65_535_lines_has_its_line() -> None:
    count = 65_535 // LINES + 100
    records = [record(number) for number in range(count)]
    records[-1] = records[-1].replace(' source="Merrow shelf number"', "")
    assert told(collection(*records)) == [(2 + (count - 1) * LINES + 9, "SC04")]


ENVELOPES = {
    "an attribute unknown": (collection(record(), attributes=' colour="blue"'), [(1, "SC05")]),
    "empty": (collection(), [(1, "SC03")]),
    "a stray element first": (collection("<note/>\n", record()), [(2, "SC02")]),
    "a stray element last": (collection(record(), "<note/>\n"), [(2 + LINES, "SC02")]),
    "a stray element between": (collection(record(1), "<note/>\n", record(2)), [(2 + LINES, "SC02")]),
    "text between": (collection(record(1), "words", record(2)), [(2, "SC08")]),
    "text first": (collection("words", record(1)), [(1, "SC08")]),
    "text last": (collection(record(1), "words"), [(2, "SC08")]),
    "a comment": (collection("<!-- from the lab -->\n", record(1), "<?page 2?>"), []),
    "another root": (f'<records xmlns="{NAMESPACE}"><a/></records>'.encode(), [(1, "SC07")]),
    "no namespace": (record().encode(), [(1, "SC07")]),
    "the first edition's namespace": (single(record()).replace(NAMESPACE.encode(), b"urn:pbcore-1"), [(1, "SC07")]),
}


@pytest.mark.parametrize("case", ENVELOPES)
def test_the_collection_itself(case: str) -> None:
    content, expected = ENVELOPES[case]
    assert told(content) == expected


@pytest.mark.parametrize("case", ENVELOPES)
def test_the_whole_tree_gives_the_same_verdict(case: str) -> None:
    content, expected = ENVELOPES[case]
    assert libxml2(schema_path("pbcore-2.1.xsd"))(content) is not bool(expected)


UNREADABLE = {
    "nothing": (b"", "SC01"),
    "white space": (b" \n ", "SC01"),
    "no XML": (b"Dear archivist,", "SC01"),
    "cut off in a record": (collection(record(1), record(2))[:-300], "SC01"),
    "cut off in the first tag": (b'<pbcoreCollection xmlns="http', "SC01"),
    "a control character": (single(record().replace("spring", "\x0bspring")), "SC01"),
    "not the encoding it says": (single(record()).replace(b"spring", b"\xfcber"), "SC01"),
    "an external entity": (b'<!DOCTYPE a [<!ENTITY x SYSTEM "file:///etc/hostname">]>' + single(record()), "SC10"),
    "entities within entities": (b'<!DOCTYPE a [<!ENTITY x "ha"><!ENTITY y "&x;&x;">]>' + single(record()), "SC10"),
    "an undefined entity": (single(record().replace("spring", "&uuml;")), "SC01"),
    "too deep": (collection("<a>" * 300 + "</a>" * 300), "SC12"),
    "after the end": (single(record()) + b"<more/>", "SC01"),
}


@pytest.mark.parametrize("case", UNREADABLE)
def test_an_unreadable_document_is_one_finding(case: str) -> None:
    content, code = UNREADABLE[case]
    found = CHECK.content(content, "in.xml")
    assert [one.code for one in found if one.severity is Severity.ERROR][-1:] == [code]
    assert all(one.origin.file == "in.xml" and one.next_step for one in found)


def test_what_stands_before_the_cut_is_checked_all_the_same() -> None:
    content = collection(record(1).replace(" titleType", " type"), record(2))[:-300]
    assert [code for _, code in told(content)] == ["SC05", "SC01"]


@pytest.mark.parametrize(
    ("place", "expected"),
    [
        ("in.xml:3", ("in.xml", 3, 0)),
        ("in.xml:3:7", ("in.xml", 3, 7)),
        ("in.xml", ("in.xml", 0, 0)),
        ("a:b.xml", ("in.xml", 0, 0)),
    ],
)
def test_the_place_of_a_refusal_is_that_of_the_finding(place: str, expected: tuple[str, int, int]) -> None:
    origin = unreadable(UnreadableInput(place, "is not well-formed XML"), "in.xml").origin
    assert (origin.file, origin.line, origin.column) == expected


def test_the_address_of_a_schema_is_told_and_not_followed(tmp_path: Path) -> None:
    lax = tmp_path / "lax.xsd"
    lax.write_text('<xs:schema xmlns:xs="http://www.w3.org/2001/XMLSchema"><xs:element name="note"/></xs:schema>')
    xsi = 'xmlns:xsi="http://www.w3.org/2001/XMLSchema-instance"'
    content = collection(
        record().replace("<pbcoreTitle", f'<pbcoreTitle {xsi} xsi:noNamespaceSchemaLocation="{lax}"', 1),
        attributes=f' {xsi} xsi:schemaLocation="{NAMESPACE} http://192.0.2.1/none.xsd"',
    )
    assert told(content) == [(1, "SC11")]


def test_a_file_may_be_packed(tmp_path: Path) -> None:
    packed, zipped = tmp_path / "in.xml.gz", tmp_path / "in.zip"
    packed.write_bytes(gzip.compress(single(record().replace("titleType", "type"))))
    with zipfile.ZipFile(zipped, "w") as archive:
        archive.writestr("a.xml", single(record()))
        archive.writestr("b.xml", single(record().replace("titleType", "type")))
    assert [one.code for one in CHECK.file(packed)] == ["SC05"]
    assert [(one.code, one.origin.file.endswith("b.xml")) for one in CHECK.file(zipped)] == [("SC05", True)]


def test_many_bad_records_are_all_found() -> None:
    content = collection(*(record(number).replace("titleType", "type") for number in range(600)))
    assert [code for _, code in told(content)] == ["SC05"] * 600


def test_threads_get_their_own_messages() -> None:
    """A schema that threads share gives right verdicts and other records' messages."""
    contents = [single(record().replace("titleType", f"kind-{number}")) for number in range(200)]

    def messages(content: bytes) -> list[str]:
        return [found.message for found in SchemaCheck(explained=0).content(content)]

    with ThreadPoolExecutor(8) as pool:
        found = list(pool.map(messages, contents))
    assert found == [[f'pbcoreTitle has no attribute "kind-{number}"'] for number in range(200)]


def test_a_schema_that_is_none(tmp_path: Path) -> None:
    path = tmp_path / "none.xsd"
    path.write_text("<xs:schema/>")
    with pytest.raises(CannotContinue):
        SchemaCheck(str(path)).content(single(record()))


OTHER = (
    '<xs:schema xmlns:xs="http://www.w3.org/2001/XMLSchema"><xs:element name="list"><xs:complexType><xs:sequence>'
    '<xs:element name="item" type="xs:date" maxOccurs="unbounded"/></xs:sequence></xs:complexType></xs:element>'
    "</xs:schema>"
)


@pytest.mark.parametrize("content", [b"", b"<list>", b"<list><item>1987-04-03</item></list", b"<list>&b;</list>"])
@pytest.mark.parametrize("with_schema", [True, False])
def test_what_is_no_xml_is_not_accepted(content: bytes, with_schema: bool, tmp_path: Path) -> None:
    path = tmp_path / "other.xsd"
    path.write_text(OTHER)
    assert not SchemaCheck(str(path) if with_schema else "").accepts(content)


@pytest.mark.parametrize(
    ("content", "expected"),
    [
        (b"<list>\n<item>1987-04-03</item>\n<item>1987-04-04</item></list>", []),
        (b"<list>\n<item>1987-04-03</item>\n<item>3 April</item></list>", [(3, "SC06")]),
        (b"<list>\n</list>", [(1, "SC03")]),
        (b"<item>1987-04-03</item>", [(1, "SC07")]),
    ],
)
def test_a_schema_of_another_standard_checks_the_whole(
    content: bytes, expected: list[tuple[int, str]], tmp_path: Path
) -> None:
    path = tmp_path / "other.xsd"
    path.write_text(OTHER)
    check = SchemaCheck(str(path))
    assert told(content, check) == expected
    assert check.accepts(content) is not bool(expected)


def test_without_a_schema_only_well_formedness_counts() -> None:
    check = SchemaCheck("")
    assert told(single(record().replace("titleType", "type")), check) == []
    assert told(b"<a><b></a>", check) == [(1, "SC01")]


def messages(found: list[Finding]) -> list[str]:
    return [str(one) for one in found]


@pytest.mark.parametrize("content", [collection(record().replace("titleType", "type")), b"<a>", collection()])
def test_the_same_document_gives_the_same_findings(content: bytes) -> None:
    assert messages(CHECK.content(content, "a")) == messages(CHECK.content(content, "a"))


CORRECT_BESIDE = {
    "an element with a prefix": (
        "pbcore-2.1.xsd",
        f'<pbcoreDescriptionDocument xmlns="{NAMESPACE}"><pbcoreIdentifier source="Merrow">TDLN-1</pbcoreIdentifier>'
        '<x:note xmlns:x="urn:x"/><pbcoreTitle>Tideline</pbcoreTitle><pbcoreDescription>d</pbcoreDescription>'
        "</pbcoreDescriptionDocument>",
        "/pbcoreDescriptionDocument/note SC02",
    ),
    "an empty list under a prefix": (
        "oai-pmh.xsd",
        '<o:OAI-PMH xmlns:o="http://www.openarchives.org/OAI/2.0/"><o:responseDate>2023-11-14T22:13:20Z</o:responseDate>'
        '<o:request verb="ListRecords" metadataPrefix="oai_dc">https://example.org/</o:request><o:ListRecords/>'
        "</o:OAI-PMH>",
        "/OAI-PMH/ListRecords SC03",
    ),
}  # fmt: skip


@pytest.mark.parametrize(("schema", "content", "wanted"), CORRECT_BESIDE.values(), ids=CORRECT_BESIDE.keys())
def test_only_the_wrong_element_is_blamed_whatever_its_prefix(schema: str, content: str, wanted: str) -> None:
    found = SchemaCheck(schema, tags=TAGS if schema.startswith("pbcore") else ()).content(content.encode())
    assert [f"{one.origin.path} {one.code}" for one in found] == [wanted]

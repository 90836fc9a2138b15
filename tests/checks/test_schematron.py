"""ISO Schematron: small conformance cases, each written from the clause of ISO/IEC 19757-3:2006 that it names."""

from __future__ import annotations

from pathlib import Path

import pytest
from lxml import etree

from crosswalk.checks.place import Place
from crosswalk.checks.schema import NAMESPACE, TAGS
from crosswalk.checks.schematron import Schematron
from crosswalk.checks.stream import Records
from crosswalk.errors import MappingError
from crosswalk.findings import Severity
from tests.checks.documents import LINES, collection, record

HEAD = (
    '<schema xmlns="http://purl.oclc.org/dsdl/schematron" queryBinding="xslt">'
    f'<title>a profile</title><ns prefix="p" uri="{NAMESPACE}"/>'
)
TITLE = "p:pbcoreTitle"
# clause: (rules, codes found in the usual record, which has one title "The spring tide" and one identifier)
CLAUSES: dict[str, tuple[str, list[str]]] = {
    "5.4.1 active, assert: a test that holds": (
        f'<pattern><rule context="{TITLE}"><assert test="@titleType">t</assert></rule></pattern>',
        [],
    ),
    "5.4.2 assert: a test that does not hold": (
        f'<pattern><rule context="{TITLE}"><assert test="@none">t</assert></rule></pattern>',
        ["PF06"],
    ),
    "5.4.14 report: a test that holds": (
        f'<pattern><rule context="{TITLE}"><report test="@titleType">t</report></rule></pattern>',
        ["PF07"],
    ),
    "5.4.14 report: a test that does not hold": (
        f'<pattern><rule context="{TITLE}"><report test="@none">t</report></rule></pattern>',
        [],
    ),
    "5.4.13 rule: a context that matches nothing": (
        '<pattern><rule context="p:none"><assert test="false()">t</assert></rule></pattern>',
        [],
    ),
    "6.5 one rule of a pattern fires for a node, the first": (
        f'<pattern><rule context="{TITLE}"><assert test="true()">a</assert></rule>'
        '<rule context="p:*"><assert test="not(self::p:pbcoreTitle)">b</assert></rule></pattern>',
        [],
    ),
    "6.5 rules of different patterns both fire": (
        f'<pattern><rule context="{TITLE}"><assert test="false()">a</assert></rule></pattern>'
        f'<pattern><rule context="{TITLE}"><assert test="false()">b</assert></rule></pattern>',
        ["PF06", "PF06"],
    ),
    "5.4.10 let: a variable of a rule": (
        f'<pattern><rule context="{TITLE}"><let name="kind" value="@titleType"/>'
        "<assert test=\"$kind = 'Episode'\">t</assert></rule></pattern>",
        [],
    ),
    "5.4.12 abstract rule, extended": (
        '<pattern><rule abstract="true" id="said"><assert test="normalize-space(.)">t</assert>'
        '<assert test="@none">n</assert></rule>'
        f'<rule context="{TITLE}"><extends rule="said"/></rule></pattern>',
        ["PF06"],
    ),
    "6.3 abstract pattern, instantiated": (
        '<pattern abstract="true" id="needs"><rule context="$what"><assert test="$which">t</assert></rule></pattern>'
        f'<pattern is-a="needs"><param name="what" value="{TITLE}"/><param name="which" value="@none"/></pattern>',
        ["PF06"],
    ),
    "a context that is an attribute": (
        '<pattern><rule context="@source"><assert test="false()">t</assert></rule></pattern>',
        ["PF06", "PF06"],
    ),
    "key and current, of XSLT": (
        f'<pattern><rule context="{TITLE}">'
        '<assert test="count(//p:pbcoreTitle[. = current()]) = 1">t</assert></rule></pattern>',
        [],
    ),
}


def written(folder: Path, rules: str, head: str = HEAD) -> Path:
    path = folder / "p.sch"
    path.write_text(f"{head}{rules}</schema>", encoding="utf-8")
    return path


def places(*records: str) -> list[Place]:
    elements = etree.fromstring(collection(*records))
    return [Place("in.xml", element, number) for number, element in enumerate(elements, 1)]


@pytest.mark.parametrize("clause", CLAUSES)
def test_a_clause(clause: str, tmp_path: Path) -> None:
    rules, expected = CLAUSES[clause]
    checker = Schematron(written(tmp_path, rules))
    assert [one.code for one in checker.check(places(record())[0])] == expected


def test_text_with_name_and_value_of(tmp_path: Path) -> None:
    """5.4.11 name, 5.4.17 value-of (ISO/IEC 19757-3:2006, annex clause on rich text)."""
    text = '\n<name/> says <value-of select="."/>'
    rules = f'<pattern><rule context="{TITLE}"><assert test="@none" id="need-none">{text}</assert></rule></pattern>'
    [found] = Schematron(written(tmp_path, rules)).check(places(record())[0])
    assert (found.message, found.value) == ("pbcoreTitle says The spring tide", "need-none")


def test_a_diagnostic_is_the_next_step(tmp_path: Path) -> None:
    """5.4.4 diagnostic: advice to the reader of the report."""
    rules = (
        f'<pattern><rule context="{TITLE}"><assert test="@none" diagnostics="d">t</assert></rule></pattern>'
        '<diagnostics><diagnostic id="d">write "<value-of select="@titleType"/>" elsewhere</diagnostic></diagnostics>'
    )
    [found] = Schematron(written(tmp_path, rules)).check(places(record())[0])
    assert found.next_step == 'write "Episode" elsewhere'


@pytest.mark.parametrize(
    ("role", "severity"),
    [
        ("error", Severity.ERROR),
        ("warning", Severity.WARNING),
        ("info", Severity.NOTE),
        ("WARN", Severity.WARNING),
        ("other", Severity.ERROR),
    ],
)
@pytest.mark.parametrize("attribute", ["role", "flag"])
def test_role_and_flag_are_the_severity(attribute: str, role: str, severity: Severity, tmp_path: Path) -> None:
    rules = f'<pattern><rule context="{TITLE}"><assert test="@none" {attribute}="{role}">t</assert></rule></pattern>'
    [found] = Schematron(written(tmp_path, rules)).check(places(record())[0])
    assert found.severity is severity


def test_phases(tmp_path: Path) -> None:
    """5.4.9 phase: only the patterns that it names are active."""
    rules = (
        '<phase id="first"><active pattern="a"/></phase>'
        f'<pattern id="a"><rule context="{TITLE}"><assert test="@none">a</assert></rule></pattern>'
        f'<pattern id="b"><rule context="{TITLE}"><assert test="@none">b</assert></rule></pattern>'
    )
    path = written(tmp_path, rules)
    assert [one.message for one in Schematron(path, "first").check(places(record())[0])] == ["a"]
    assert [one.message for one in Schematron(path).check(places(record())[0])] == ["a", "b"]


def test_line_and_path_in_a_collection(tmp_path: Path) -> None:
    rules = '<pattern><rule context="p:instantiationIdentifier"><assert test=". = 1">t</assert></rule></pattern>'
    checker = Schematron(written(tmp_path, rules))
    found = []
    for number, element in enumerate(Records([collection(record(1), record(2))], TAGS), 1):
        found += checker.check(Place("in.xml", element, number, root="pbcoreDescriptionDocument"))
    [one] = found
    path = "/pbcoreCollection/pbcoreDescriptionDocument[2]/pbcoreInstantiation/instantiationIdentifier"
    assert (one.origin.line, one.origin.path) == (1 + LINES + 10, path)


NOT_COMPILED = {
    "an XPath that is none": (HEAD, f'<pattern><rule context="{TITLE}"><assert test="a[">t</assert></rule></pattern>'),
    "a context that is none": (HEAD, '<pattern><rule context="]"><assert test="a">t</assert></rule></pattern>'),
    "an element that is none of Schematron's": (HEAD, "<patern/>"),
    "another query binding": (HEAD.replace('"xslt"', '"xslt2"'), "<pattern/>"),
    "no Schematron": ('<schema xmlns="http://www.w3.org/2001/XMLSchema">', ""),
}


@pytest.mark.parametrize("case", NOT_COMPILED)
def test_a_file_that_does_not_compile(case: str, tmp_path: Path) -> None:
    head, rules = NOT_COMPILED[case]
    with pytest.raises(MappingError, match=r"p\.sch"):
        Schematron(written(tmp_path, rules, head)).check(places(record())[0])


@pytest.mark.parametrize("content", [b"", b"<schema", b'<!DOCTYPE a SYSTEM "x"><a>&b;</a>'])
def test_a_file_that_is_not_well_formed(content: bytes, tmp_path: Path) -> None:
    path = tmp_path / "p.sch"
    path.write_bytes(content)
    with pytest.raises(MappingError, match=r"p\.sch"):
        Schematron(path)


def test_a_file_that_is_not_there(tmp_path: Path) -> None:
    with pytest.raises(MappingError, match="check the name"):
        Schematron(tmp_path / "none.sch")


def test_a_rule_that_fails_on_one_record_is_told_once_and_the_rest_goes_on(tmp_path: Path) -> None:
    rules = (
        '<pattern><rule context="p:pbcoreGenre"><assert test="none-such(.)">g</assert></rule></pattern>'
        f'<pattern><rule context="{TITLE}"><assert test="@none">t</assert></rule></pattern>'
    )
    odd = record(2).replace("  <pbcoreRightsSummary>", "  <pbcoreGenre>Nature</pbcoreGenre>\n  <pbcoreRightsSummary>")
    checker = Schematron(written(tmp_path, rules))
    found = [[one.code for one in checker.check(place)] for place in places(record(1), odd, record(3))]
    assert found == [["PF06"], ["PF08"], ["PF06"]]


@pytest.mark.parametrize("address", ["{file}", "http://192.0.2.1/x.xml"])
def test_rules_read_neither_files_nor_the_network(address: str, tmp_path: Path) -> None:
    secret = tmp_path / "secret.xml"
    secret.write_text("<secret>tide</secret>")
    where = address.format(file=secret.as_uri())
    rules = f'<pattern><rule context="{TITLE}"><assert test="document(\'{where}\')/secret">t</assert></rule></pattern>'
    found = Schematron(written(tmp_path, rules)).check(places(record())[0])
    assert [one.code for one in found] in (["PF08"], ["PF06"])

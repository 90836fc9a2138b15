"""All kinds of report: same input, same bytes; nothing in the data breaks one; each is read back by someone else."""

from __future__ import annotations

import csv
import io
import json
from html.parser import HTMLParser
from pathlib import Path
from typing import Any

import jsonschema
import junitparser
import pytest
from lxml import etree

from crosswalk.errors import MappingError, UnwritableOutput
from crosswalk.findings import Origin, codes, finding
from crosswalk.reports.html import BARS, LISTED, as_html
from crosswalk.reports.junit import as_junit
from crosswalk.reports.kinds import KINDS, render, requests, write_reports
from crosswalk.reports.model import Report, exit_status
from crosswalk.reports.sarif import as_sarif, fingerprint
from crosswalk.reports.tables import SVRL, as_csv, as_svrl
from tests.reports.reports import EMPTY, FINDINGS, FULL, NASTY, nasty

SHARED = Path(__file__).parents[3] / "shared" / "standards" / "reports"
live = pytest.mark.skipif(not SHARED.is_dir(), reason="the published schemas of reports are not beside the checkout")
SUBSET = json.loads(
    (Path(__file__).parent.parent / "data" / "reports" / "sarif-subset.json").read_text(encoding="utf-8")
)
REPORTS = {"full": FULL, "empty": EMPTY} | {f"nasty {number}": nasty(text) for number, text in enumerate(NASTY)}


@pytest.mark.parametrize("kind", KINDS)
@pytest.mark.parametrize("name", REPORTS)
def test_the_same_report_gives_the_same_bytes(kind: str, name: str, tmp_path: Path) -> None:
    write_reports(REPORTS[name], [(kind, tmp_path / "a"), (kind, tmp_path / "b")])
    assert (tmp_path / "a").read_bytes() == (tmp_path / "b").read_bytes()


@pytest.mark.parametrize("kind", [kind for kind in KINDS if kind not in ("text", "lines")])
def test_every_finding_is_in_it(kind: str) -> None:
    text = render(kind, FULL)
    for found in FINDINGS:
        assert found.code in text
        assert found.value in text


@pytest.mark.parametrize("name", REPORTS)
@pytest.mark.parametrize("schema", ["JUnit.xsd", "junit-10.xsd"])
@pytest.mark.live
@live
def test_junit_is_valid_against_the_published_schemas(schema: str, name: str) -> None:
    """The schema of Ant's reports, and that of Jenkins' xUnit reader."""
    checker = etree.XMLSchema(etree.parse(str(SHARED / schema)))
    checker.assertValid(etree.fromstring(as_junit(REPORTS[name]).encode("utf-8")))


@pytest.mark.parametrize(
    ("fail_on", "failures", "skipped"), [("error", 2, 3), ("warning", 3, 2), ("note", 5, 0), ("never", 0, 5)]
)
def test_junitparser_reads_the_same_counts(fail_on: str, failures: int, skipped: int) -> None:
    """A reader that is not ours: junitparser."""
    read = junitparser.JUnitXml.fromstring(as_junit(FULL, fail_on).encode())
    suites = list(read)
    assert [suite.name for suite in suites] == list(FULL.files)
    cases = [case for suite in suites for case in suite]
    results = [type(result).__name__ for case in cases for result in case.result]
    assert (results.count("Failure"), results.count("Skipped")) == (failures, skipped)
    assert len(cases) == len(FINDINGS) + 1, "the clean file is one passed case"
    assert [sum(getattr(suite, count) for suite in suites) for count in ("tests", "failures", "skipped")] == [
        len(cases),
        failures,
        skipped,
    ]


@pytest.mark.parametrize("name", REPORTS)
@pytest.mark.live
@live
def test_sarif_is_valid_against_the_published_schema(name: str) -> None:
    """OASIS, SARIF 2.1.0."""
    schema = json.loads((SHARED / "sarif-schema-2.1.0.json").read_text(encoding="utf-8"))
    jsonschema.validate(json.loads(as_sarif(REPORTS[name])), schema)


@pytest.mark.parametrize("name", REPORTS)
def test_sarif_is_valid_against_our_own_account_of_it(name: str) -> None:
    jsonschema.validate(json.loads(as_sarif(REPORTS[name])), SUBSET)


def test_our_account_of_sarif_refuses_what_is_wrong() -> None:
    log: dict[str, Any] = json.loads(as_sarif(FULL))
    log["runs"][0]["results"][0]["level"] = "bad"
    with pytest.raises(jsonschema.ValidationError):
        jsonschema.validate(log, SUBSET)


def test_sarif_results_point_to_their_rules() -> None:
    run = json.loads(as_sarif(FULL))["runs"][0]
    rules = [rule["id"] for rule in run["tool"]["driver"]["rules"]]
    assert [rules[result["ruleIndex"]] for result in run["results"]] == [found.code for found in FINDINGS]
    region = run["results"][0]["locations"][0]["physicalLocation"]["region"]
    assert region == {"startLine": 12, "startColumn": 3}


def test_a_fingerprint_outlives_a_change_of_lines() -> None:
    first, second = (finding("RC50", Origin(file="a", line=line, record="A"), "m") for line in (1, 99))
    assert fingerprint(first) == fingerprint(second) != fingerprint(FINDINGS[0])


def test_json_says_all() -> None:
    data = json.loads(render("json", FULL))
    assert (data["format"], data["records"], data["known"]) == (1, 3, 2)
    assert data["counts"] == {"error": 2, "warning": 1, "note": 2}
    assert data["sums"] == FULL.sums
    assert [row["code"] for row in data["findings"]] == [found.code for found in FINDINGS]
    assert data["findings"][0] == {
        "code": "RC30",
        "name": "date.before-carrier",
        "severity": "error",
        "file": "in/records.xml",
        "line": 12,
        "column": 3,
        "path": FINDINGS[0].origin.path,
        "record": "TDLN-0423",
        "message": FINDINGS[0].message,
        "value": "1969",
        "next_step": codes()["RC30"].mend,
    }


@pytest.mark.parametrize("name", REPORTS)
def test_csv_is_read_back(name: str) -> None:
    rows = list(csv.DictReader(io.StringIO(as_csv(REPORTS[name]), newline="")))
    assert len(rows) == len(REPORTS[name].findings)
    assert all(not (value or "").startswith(("=", "+", "-", "@")) for row in rows for value in row.values())


@pytest.mark.parametrize("name", REPORTS)
def test_svrl_is_well_formed_and_whole(name: str) -> None:
    """ISO/IEC 19757-3:2006, annex D: pattern, rule, then its results; a result has a test, a location and a text."""
    root = etree.fromstring(as_svrl(REPORTS[name]).encode("utf-8"))
    results = [child for child in root if child.tag in (f"{{{SVRL}}}failed-assert", f"{{{SVRL}}}successful-report")]
    assert len(results) == len(REPORTS[name].findings)
    assert all(r.get("test") and r.get("location") and r.find(f"{{{SVRL}}}text") is not None for r in results)


class Page(HTMLParser):
    """What a browser would see: tags with their attributes, and the texts outside scripts and styles."""

    def __init__(self, page: str) -> None:
        super().__init__()
        self.tags: list[tuple[str, dict[str, str | None]]] = []
        self.texts: list[str] = []
        self._quiet = False
        self.feed(page)

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.tags.append((tag, dict(attrs)))
        self._quiet = tag in ("script", "style")

    def handle_endtag(self, tag: str) -> None:
        self._quiet = False

    def handle_data(self, data: str) -> None:
        if not self._quiet:
            self.texts.append(data)


@pytest.mark.parametrize("name", REPORTS)
def test_the_page_is_self_contained(name: str) -> None:
    page = Page(as_html(REPORTS[name]))
    names = [tag for tag, _ in page.tags]
    assert not {"link", "img", "iframe", "object", "embed", "base", "form"} & set(names)
    assert (names.count("script"), names.count("style")) == (1, 1)
    for tag, attributes in page.tags:
        assert "src" not in attributes
        assert (attributes.get("href") or "#").startswith("#"), tag
        assert not any(key.startswith("on") for key in attributes)
    policy = next(
        a["content"] for t, a in page.tags if t == "meta" and a.get("http-equiv") == "Content-Security-Policy"
    )
    assert (policy or "").startswith("default-src 'none'")


def test_the_page_lists_and_charts_all() -> None:
    page = Page(as_html(FULL))
    listed = [attributes for tag, attributes in page.tags if tag == "li" and "data-code" in attributes]
    assert sorted(str(item["data-code"]) for item in listed) == sorted(found.code for found in FINDINGS)
    assert listed[0]["data-severity"] == "error", "the worst first"
    bars = {(a["data-kind"], a["data-key"]) for t, a in page.tags if t == "button" and a.get("class") == "bar"}
    assert {("code", "RC30"), ("file", "in/radio.csv"), ("field", "instantiationDate")} <= bars
    assert "date.before-carrier" in " ".join(page.texts)
    assert codes()["RC30"].why in page.texts


def test_the_page_escapes_what_comes_from_the_data() -> None:
    assert "<script>alert(1)" not in as_html(nasty("<script>alert(1)</script>"))


def test_the_page_stays_small() -> None:
    many = tuple(finding("RC50", Origin(file=f"{n}.xml", path=f"/a/b{n}"), "m") for n in range(LISTED + 50))
    page = Page(as_html(Report(findings=many)))
    assert sum("data-code" in attributes for _, attributes in page.tags) == LISTED
    assert sum(a.get("data-kind") == "file" for _, a in page.tags) == BARS + 1
    assert any("50 more" in text for text in page.texts)


@pytest.mark.parametrize(("word", "kind"), [("json=a/b.json", "json"), ("html=r=1.html", "html")])
def test_requests(word: str, kind: str) -> None:
    assert requests([word]) == [(kind, Path(word.partition("=")[2]))]


@pytest.mark.parametrize("word", ["json", "json=", "pdf=a.pdf", "=a"])
def test_requests_that_make_no_sense(word: str) -> None:
    with pytest.raises(MappingError, match="kinds are"):
        requests([word])


def test_a_kind_that_there_is_not() -> None:
    with pytest.raises(MappingError, match="use one of"):
        render("pdf", FULL)


def test_a_place_that_cannot_be_written(tmp_path: Path) -> None:
    (tmp_path / "file").write_text("x")
    with pytest.raises(UnwritableOutput):
        write_reports(FULL, [("json", tmp_path / "file" / "r.json")])


@pytest.mark.parametrize(
    ("fail_on", "status"),
    [("error", 1), ("warning", 1), ("note", 1), ("never", 0)],
)
def test_exit_status(fail_on: str, status: int) -> None:
    assert (exit_status(FULL, fail_on), exit_status(EMPTY, fail_on)) == (status, 0)


def test_exit_status_below_the_threshold() -> None:
    notes = Report(findings=(FINDINGS[4],))
    assert [exit_status(notes, word) for word in ("error", "warning", "note")] == [0, 0, 1]

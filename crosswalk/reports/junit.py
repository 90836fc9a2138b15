"""The report as JUnit XML, which continuous-integration services read: a suite a file, a case a finding.

Valid against both schemas in use (the one of Ant's reports and that of Jenkins' xUnit reader)."""

from __future__ import annotations

from collections.abc import Sequence

from lxml import etree

from crosswalk.findings import Finding, Severity
from crosswalk.reports.model import Report
from crosswalk.reports.terminal import place
from crosswalk.xmlio import FORBIDDEN

NO_CLOCK = "1970-01-01T00:00:00"  # the schema wants a time; without an injected clock there is none to give


def as_junit(report: Report, fail_on: str = "error") -> str:
    """The report as JUnit XML. Findings at or above `fail_on` are failures, those below are skipped cases; a file
    without findings is one passed case.

    >>> 'failures="0"' in as_junit(Report(files=("a.xml",)))
    True
    """
    threshold = Severity.ERROR + 1 if fail_on == "never" else Severity[fail_on.upper()]
    root = etree.Element("testsuites")
    for number, (file, findings) in enumerate(report.by_file().items()):
        root.append(_suite(number, file or "(no file)", findings, threshold, report))
    return etree.tostring(root, pretty_print=True, encoding="unicode")


def _suite(number: int, file: str, findings: Sequence[Finding], threshold: int, report: Report) -> etree._Element:
    cases = [_case(found, file, threshold) for found in findings] or [_passed(file)]
    suite = etree.Element(
        "testsuite",
        package="crosswalk",
        id=str(number),
        name=_clean(file),
        timestamp=report.stamp[:19] or NO_CLOCK,
        hostname="localhost",
        tests=str(len(cases)),
        failures=str(sum(case.find("failure") is not None for case in cases)),
        errors="0",
        skipped=str(sum(case.find("skipped") is not None for case in cases)),
        time="0",
    )
    properties = etree.SubElement(suite, "properties")
    etree.SubElement(properties, "property", name="version", value=report.version or "unknown")
    suite.extend(cases)
    etree.SubElement(suite, "system-out")
    etree.SubElement(suite, "system-err")
    return suite


def _passed(file: str) -> etree._Element:
    return etree.Element("testcase", name="no findings", classname=_clean(file), time="0")


def _case(found: Finding, file: str, threshold: int) -> etree._Element:
    where = place(found.origin)
    case = etree.Element("testcase", name=_clean(f"{found.code} {where}".strip()), classname=_clean(file), time="0")
    failed = found.severity >= threshold
    result = etree.SubElement(case, "failure" if failed else "skipped", message=_clean(found.message))
    if failed:
        result.set("type", found.severity.word)
        lines = (found.name, where, found.origin.path, found.value, found.next_step)
        result.text = _clean("\n".join(line for line in lines if line))
    return case


def _clean(text: str) -> str:
    """The text without the characters that XML forbids; never empty, since a name may not be."""
    return FORBIDDEN.sub("\N{REPLACEMENT CHARACTER}", text).strip() or "-"

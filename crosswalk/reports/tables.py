"""The report as a table (CSV) and as SVRL, the report language of ISO Schematron."""

from __future__ import annotations

import csv
import io

from lxml import etree

from crosswalk.findings import Finding
from crosswalk.reports.model import Report
from crosswalk.xmlio import FORBIDDEN

COLUMNS = ("severity", "code", "name", "file", "cell", "line", "column", "path", "record", "value", "message",
           "suggestions", "next step")  # fmt: skip
SVRL = "http://purl.oclc.org/dsdl/svrl"


def as_csv(report: Report) -> str:
    """The findings as CSV, one a row, safe to open in a spreadsheet program.

    >>> as_csv(Report()).startswith("severity,code,name,file")
    True
    """
    out = io.StringIO()
    writer = csv.writer(out, lineterminator="\n")
    writer.writerow(COLUMNS)
    for found in report.findings:
        writer.writerow([_safe(text) for text in _row(found)])
    return out.getvalue()


def _row(found: Finding) -> list[str]:
    origin = found.origin
    return [
        found.severity.word, found.code, found.name, origin.file, origin.cell, str(origin.line or ""),
        str(origin.column or ""), origin.path, origin.record, found.value, found.message,
        " | ".join(found.suggestions), found.next_step,
    ]  # fmt: skip


def _safe(text: str) -> str:
    """A text that no spreadsheet program takes for a formula."""
    return "'" + text if text[:1] in ("=", "+", "-", "@", "\t", "\r") else text


def as_svrl(report: Report) -> str:
    """The findings as SVRL: an active pattern a code, a failed assert a finding (a report, where it is a note).

    >>> "schematron-output" in as_svrl(Report())
    True
    """
    root = etree.Element(f"{{{SVRL}}}schematron-output", title=_clean(report.title), nsmap={"svrl": SVRL})
    for code, findings in report.by_code().items():
        pattern = etree.SubElement(root, f"{{{SVRL}}}active-pattern", id=code, name=findings[0].name)
        documents = sorted({found.origin.file.replace(" ", "%20") for found in findings})
        pattern.set("documents", _clean(" ".join(documents)))
        etree.SubElement(root, f"{{{SVRL}}}fired-rule", context="/")
        for found in findings:
            root.append(_assert(found))
    return etree.tostring(root, pretty_print=True, encoding="unicode")


def _assert(found: Finding) -> etree._Element:
    name = "successful-report" if found.severity.word == "note" else "failed-assert"
    origin = found.origin
    result = etree.Element(f"{{{SVRL}}}{name}", id=found.code, role=found.severity.word, test=found.name)
    result.set("location", _clean(origin.path or origin.cell or "/"))
    if found.next_step:
        step = etree.SubElement(result, f"{{{SVRL}}}diagnostic-reference", diagnostic=found.code)
        step.text = _clean(found.next_step)
    etree.SubElement(result, f"{{{SVRL}}}text").text = _clean(found.message)
    return result


def _clean(text: str) -> str:
    return FORBIDDEN.sub("\N{REPLACEMENT CHARACTER}", text)

"""The report as JSON, for programs: every finding with its place, the counts, the sums of the ledger."""

from __future__ import annotations

from typing import Any

from crosswalk.findings import Finding, Origin
from crosswalk.reports.model import Report, as_json_text

FORMAT = 1  # raised when a reader of the older form would go wrong


def as_json(report: Report) -> str:
    """The report as indented JSON; empty fields are left out, keys stand in a fixed order.

    >>> '"records": 2' in as_json(Report(records=2))
    True
    """
    return as_json_text(as_data(report))


def as_data(report: Report) -> dict[str, Any]:
    """The report as plain data."""
    return {
        "format": FORMAT,
        "title": report.title,
        **_filled({"version": report.version, "stamp": report.stamp}),
        "files": list(report.files),
        "records": report.records,
        "carriers": report.carriers,
        **({} if report.delivered is None else {"delivered": report.delivered}),
        "counts": report.by_severity,
        "known": report.known,
        "codes": {code: report.count(code, found) for code, found in report.by_code().items()},
        **_filled({"sums": dict(report.sums), "cells_read": report.cells_read, "held": dict(report.held)}),
        **_filled({"written": list(report.written), "schemas": dict(report.schemas)}),
        "findings": [finding_data(found) for found in report.findings],
    }


def finding_data(found: Finding) -> dict[str, Any]:
    """One finding as plain data, with the readable name of its code.

    >>> from crosswalk.findings import finding
    >>> finding_data(finding("RL03", Origin(file="a.xml", line=7), "related to itself"))["line"]
    7
    """
    origin = {field: getattr(found.origin, field) for field in Origin.__struct_fields__}
    rest = {"value": found.value, "next_step": found.next_step, "suggestions": list(found.suggestions)}
    return {
        "code": found.code,
        "name": found.name,
        "severity": found.severity.word,
        **_filled(origin),
        "message": found.message,
        **_filled(rest),
    }


def _filled(values: dict[str, Any]) -> dict[str, Any]:
    return {key: value for key, value in values.items() if value}

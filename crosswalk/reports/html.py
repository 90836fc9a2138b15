"""The report as one self-contained page: charts, a list that can be searched, what the codes mean. No network."""

from __future__ import annotations

import re
from collections import Counter
from functools import cache
from importlib.resources import files
from typing import Any

import msgspec

from crosswalk.findings import Code, Finding, codes
from crosswalk.reports.model import Report
from crosswalk.reports.terminal import place

LISTED = 5000  # findings in the list; more would make the page slow, and nobody reads them
BARS = 12  # bars in one chart; the rest is one bar together


class Bar(msgspec.Struct, frozen=True):
    """One bar: what it counts, what the list is searched for when it is chosen, how long its parts are (percent)."""

    label: str
    key: str
    count: int
    parts: tuple[tuple[str, float], ...]  # severity, width


class Line(msgspec.Struct, frozen=True):
    """One finding as the page shows it."""

    severity: str
    code: str
    name: str
    place: str
    path: str
    record: str
    value: str
    message: str
    next_step: str
    suggestions: tuple[str, ...]
    field: str
    file: str


def as_html(report: Report) -> str:
    """The page. Everything that comes from the data is escaped; nothing is loaded from anywhere.

    >>> "<!doctype html>" in as_html(Report())
    True
    """
    shown = sorted(report.findings, key=lambda found: -found.severity)[:LISTED]
    total = sum(report.by_severity.values())
    context: dict[str, Any] = {
        "report": report,
        "total": total,
        "charts": _charts(report.findings),
        "lines": [_line(found) for found in shown],
        "unlisted": total - len(shown),
        "codes": _codes(report.findings),
        "sums": _shares(report.sums),
        "names": {code: row.name for code, row in codes().items()},
    }
    return str(_template().render(context))


@cache
def _template() -> Any:
    from jinja2 import Environment, StrictUndefined  # late: only this kind needs it

    environment = Environment(autoescape=True, undefined=StrictUndefined, trim_blocks=True, lstrip_blocks=True)
    environment.filters["count"] = lambda number: f"{number:,}"
    return environment.from_string(files("crosswalk.reports").joinpath("page.html").read_text(encoding="utf-8"))


def _line(found: Finding) -> Line:
    origin = found.origin
    return Line(
        found.severity.word, found.code, found.name, place(origin), origin.path, origin.record, found.value,
        found.message, found.next_step, found.suggestions, field_of(found), origin.file,
    )  # fmt: skip


def field_of(found: Finding) -> str:
    """The field that a finding is about: the last step of its path, without numbers.

    >>> from crosswalk.findings import Origin, finding
    >>> field_of(finding("RC50", Origin(path="/pbcoreCollection/pbcoreDescriptionDocument[3]/pbcoreTitle[1]"), ""))
    'pbcoreTitle'
    """
    last = re.sub(r"\[\d+\]", "", found.origin.path.rstrip("/").rpartition("/")[2])
    return "(the whole record)" if not last or last.endswith("Document") else last


def _charts(findings: tuple[Finding, ...]) -> list[tuple[str, str, list[Bar]]]:
    by_code = [(found.code, found) for found in findings]
    by_file = [(found.origin.file or "(no file)", found) for found in findings]
    by_field = [(field_of(found), found) for found in findings]
    kinds = (("by code", "code", by_code), ("by file", "file", by_file), ("by field", "field", by_field))
    return [(title, kind, _bars(keyed)) for title, kind, keyed in kinds]


def _bars(keyed: list[tuple[str, Finding]]) -> list[Bar]:
    counts = Counter(key for key, _ in keyed)
    severities = Counter((key, found.severity.word) for key, found in keyed)
    longest = max(counts.values(), default=1)
    bars = [_bar(key, count, severities, longest) for key, count in counts.most_common(BARS)]
    rest = sum(counts.values()) - sum(bar.count for bar in bars)
    if rest:
        bars.append(Bar(f"{len(counts) - BARS} others", "", rest, (("other", min(100.0, 100 * rest / longest)),)))
    return bars


def _bar(key: str, count: int, severities: Counter[tuple[str, str]], longest: int) -> Bar:
    words = ("error", "warning", "note")
    parts = tuple((word, round(100 * severities[key, word] / longest, 2)) for word in words if severities[key, word])
    return Bar(f"{key} {codes()[key].name}" if key in codes() else key, key, count, parts)


def _codes(findings: tuple[Finding, ...]) -> list[Code]:
    return [codes()[code] for code in sorted({found.code for found in findings})]


def _shares(sums: Any) -> list[tuple[str, int, float]]:
    total = sum(sums.values())
    return [(name, count, round(100 * count / total, 2)) for name, count in sums.items()] if total else []

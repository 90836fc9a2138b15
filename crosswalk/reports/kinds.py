"""All kinds of report, by the names that `--report KIND=FILE` takes."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from pathlib import Path

from crosswalk.errors import MappingError
from crosswalk.reports.html import as_html
from crosswalk.reports.json_report import as_json
from crosswalk.reports.junit import as_junit
from crosswalk.reports.model import Report
from crosswalk.reports.sarif import as_sarif
from crosswalk.reports.tables import as_csv, as_svrl
from crosswalk.reports.terminal import lines, summary
from crosswalk.writing import SHOWN, write_whole

KINDS: dict[str, Callable[[Report], str]] = {
    "text": summary,
    "lines": lines,
    "json": as_json,
    "junit": as_junit,
    "sarif": as_sarif,
    "html": as_html,
    "csv": as_csv,
    "svrl": as_svrl,
}


def render(kind: str, report: Report, fail_on: str = "error") -> str:
    """The report in one kind; raises MappingError for a kind that there is not.

    >>> render("lines", Report())
    ''
    """
    if kind not in KINDS:
        raise MappingError(f"--report {kind}", "is no kind of report", f"use one of: {', '.join(KINDS)}")
    return as_junit(report, fail_on) if kind == "junit" else KINDS[kind](report)


def requests(words: Iterable[str]) -> list[tuple[str, Path]]:
    """What `--report KIND=FILE` asks for; raises MappingError where a word is not of that form.

    >>> requests(["json=out.json"])
    [('json', PosixPath('out.json'))]
    """
    wanted = []
    for word in words:
        kind, mark, file = word.partition("=")
        if not mark or not file or kind not in KINDS:
            raise MappingError(f"--report {word}", "is not KIND=FILE", f"kinds are: {', '.join(KINDS)}")
        wanted.append((kind, Path(file)))
    return wanted


def write_reports(report: Report, wanted: Iterable[tuple[str, Path]], fail_on: str = "error") -> None:
    """Writes the report in each kind asked for, whole or not at all."""
    for kind, path in wanted:
        write_whole(path, render(kind, report, fail_on).encode("utf-8", SHOWN))

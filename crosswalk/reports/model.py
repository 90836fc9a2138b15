"""What a report is made of: one immutable account of a run, rendered many ways."""

from __future__ import annotations

from collections import Counter
from collections.abc import Mapping
from typing import Any

import msgspec

from crosswalk.findings import Finding, Severity
from crosswalk.writing import shown


class Report(msgspec.Struct, frozen=True, kw_only=True):
    """What a run read, found and wrote. Everything has a default, so that each command fills what it knows.

    >>> Report(findings=()).worst is None
    True
    """

    title: str = "validate"  # what was done, in one word or a few
    files: tuple[str, ...] = ()  # what was read
    records: int = 0
    carriers: int = 0
    findings: tuple[Finding, ...] = ()
    known: int = 0  # findings that are accepted for now and therefore not among `findings`
    sums: Mapping[str, int] = {}  # the ledger's four sums, by name
    cells_read: int = 0
    written: tuple[str, ...] = ()  # where things were written
    schemas: Mapping[str, str] = {}  # schema: where it came from
    held: Mapping[str, int] = {}  # reason: how many records are held for it
    stamp: str = ""  # the run's clock, ISO 8601 in UTC; empty leaves it out
    version: str = ""  # of this package
    delivered: int | None = None  # records that went out, where that is the question
    code_counts: Mapping[str, int] = {}  # all findings by code, where `findings` holds only the first ones
    severity_counts: Mapping[str, int] = {}  # all findings by severity, likewise

    @property
    def worst(self) -> Severity | None:
        """The highest severity among the findings; None where there are none."""
        there = [Severity[word.upper()] for word, count in self.by_severity.items() if count]
        return max(there, default=None)

    @property
    def by_severity(self) -> dict[str, int]:
        """How many findings there are of each severity, the worst first."""
        counts = self.severity_counts or Counter(found.severity.word for found in self.findings)
        return {severity.word: counts.get(severity.word, 0) for severity in sorted(Severity, reverse=True)}

    def count(self, code: str, found: list[Finding]) -> int:
        """How many findings of a code there are in all, given those that are kept."""
        return self.code_counts.get(code, len(found))

    def by_code(self) -> dict[str, list[Finding]]:
        """The findings by code: errors before warnings before notes, then the most frequent first."""
        groups: dict[str, list[Finding]] = {}
        for found in self.findings:
            groups.setdefault(found.code, []).append(found)
        return dict(sorted(groups.items(), key=lambda item: (-_worst(item[1]), -len(item[1]), item[0])))

    def by_file(self) -> dict[str, list[Finding]]:
        """The findings by the file that they point to, in the order of the files read, others after them."""
        groups: dict[str, list[Finding]] = {file: [] for file in self.files}
        for found in self.findings:
            groups.setdefault(found.origin.file, []).append(found)
        return groups


def _worst(findings: list[Finding]) -> int:
    return max(found.severity for found in findings)


def plural(count: int, one: str, many: str = "") -> str:
    """A count with its noun.

    >>> plural(1, "record"), plural(1200, "record"), plural(0, "entry", "entries")
    ('1 record', '1,200 records', '0 entries')
    """
    return f"{count:,} {one if count == 1 else many or one + 's'}"


def exit_status(report: Report, fail_on: str = "error") -> int:
    """1 where there is a finding at or above the severity, else 0; `never` always gives 0.

    >>> exit_status(Report()), exit_status(Report(), "never")
    (0, 0)
    """
    if fail_on == "never" or report.worst is None:
        return 0
    return int(report.worst >= Severity[fail_on.upper()])


def as_json_text(data: Any) -> str:
    """Plain data as indented JSON. What is no Unicode, as in a file name in another encoding, is shown as such.

    >>> chr(0xFFFD) in as_json_text({"file": chr(0xDCFC)})
    True
    """
    try:
        encoded = msgspec.json.encode(data)
    except UnicodeEncodeError:
        encoded = msgspec.json.encode(_shown(data))
    return msgspec.json.format(encoded, indent=2).decode() + "\n"


def _shown(data: Any) -> Any:
    if isinstance(data, str):
        return shown(data)
    if isinstance(data, Mapping):
        return {_shown(key): _shown(value) for key, value in data.items()}
    return [_shown(item) for item in data] if isinstance(data, list | tuple) else data

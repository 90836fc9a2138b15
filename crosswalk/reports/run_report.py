"""The report on a run that converts or delivers: as text for people, as JSON for programs."""

from __future__ import annotations

from collections import Counter
from collections.abc import Mapping, Sequence
from typing import Protocol

from crosswalk.findings import Finding
from crosswalk.reports.json_report import as_data
from crosswalk.reports.model import Report, as_json_text
from crosswalk.reports.terminal import summary


class HeldRecord(Protocol):
    """One record that did not go out, and why."""

    @property
    def record(self) -> str: ...  # noqa: D102
    @property
    def title(self) -> str: ...  # noqa: D102
    @property
    def why(self) -> str: ...  # noqa: D102
    @property
    def reason(self) -> str: ...  # noqa: D102
    @property
    def cell(self) -> str: ...  # noqa: D102


class RunOutcome(Protocol):
    """What a run came to, as the pipeline tells it."""

    records: int
    carriers: int
    delivered: int
    documents: list[str]
    cells_read: int
    sums: dict[str, int]
    counts: dict[str, int]
    severities: dict[str, int]
    findings: list[Finding]
    losses: dict[str, dict[str, int]]
    validated_with: str
    out: str

    @property
    def held(self) -> Sequence[HeldRecord]: ...  # noqa: D102


def report_of(outcome: RunOutcome, title: str = "run") -> Report:
    """The outcome as a report."""
    return Report(
        title=title,
        records=outcome.records,
        carriers=outcome.carriers,
        delivered=outcome.delivered,
        findings=tuple(outcome.findings),
        sums=outcome.sums,
        cells_read=outcome.cells_read,
        held=_held(outcome.held),
        written=_written(outcome),
        schemas={"pbcore": outcome.validated_with} if outcome.validated_with else {},
        code_counts=outcome.counts,
        severity_counts=outcome.severities,
    )


def as_text(outcome: RunOutcome, *, color: bool = False) -> str:
    """The report for people, without a line feed at its end."""
    return (summary(report_of(outcome), colour=color) + _losses(outcome.losses)).rstrip("\n")


def as_json(outcome: RunOutcome) -> str:
    """The report for programs, with every held record by name."""
    data = as_data(report_of(outcome))
    data["held"] = [
        {"record": h.record, "title": h.title, "why": h.why, "reason": h.reason, "cell": h.cell} for h in outcome.held
    ]
    data["written"] = list(outcome.documents)
    data["losses"] = outcome.losses
    return as_json_text(data)


def _held(held: Sequence[HeldRecord]) -> Mapping[str, int]:
    return dict(
        Counter(
            f"{one.why}: {one.reason}" if one.reason and one.reason != one.why else one.why for one in held
        ).most_common()
    )


def _written(outcome: RunOutcome) -> tuple[str, ...]:
    if len(outcome.documents) <= 3:
        return tuple(f"{outcome.out}/{name}" for name in outcome.documents)
    first, last = outcome.documents[0], outcome.documents[-1]
    return (f"{outcome.out}: {len(outcome.documents):,} documents, {first} to {last}",)


def _losses(losses: dict[str, dict[str, int]]) -> str:
    lines = [
        f"  {count:>9,}  {field}, {carried}"
        for field, kinds in losses.items()
        for carried, count in kinds.items()
        if carried != "whole"
    ]
    return "\nnot carried whole by the standard\n" + "\n".join(lines) + "\n" if lines else ""

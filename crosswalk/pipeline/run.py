"""What one run carries along: options, progress, the findings so far, the ledger; and what comes out of it."""

from __future__ import annotations

import csv
import gc
from collections import Counter
from collections.abc import Callable, Iterable, Iterator
from contextlib import contextmanager
from datetime import datetime
from pathlib import Path
from typing import Protocol, TextIO, TypeAlias

import msgspec

from crosswalk.errors import CannotContinue
from crosswalk.findings import Finding, Severity
from crosswalk.ledger import Ledger
from crosswalk.standards.base import Lost
from crosswalk.tables import as_text
from crosswalk.values.decisions import load_decisions


class Writer(Protocol):
    """Writes rows of a delimited file."""

    def writerow(self, row: Iterable[object], /) -> object:
        """Writes one row."""


Progress: TypeAlias = Callable[[str, int], None]  # the stage, and how many rows or records it has done
KEPT_FINDINGS = 10_000  # in memory; all of them go to the findings file


class Options(msgspec.Struct, frozen=True, kw_only=True):
    """How to run. `stamp` is the clock, injected: ISO 8601 in UTC."""

    out: str | Path
    to: str = "pbcore"
    mappings: tuple[str, ...] = ()
    public: bool = False  # of convert: leave out what the mapping keeps in the house
    one_each: bool = False
    batch: int = 500
    ledger: bool = True
    workers: int = 1  # processes, for large sheets
    strict: bool = False
    decisions: str = ""
    base_uri: str = "https://example.org/"
    table: str = ""
    losses: str = ""  # where to list what the standard cannot carry, value by value; "" does not count it
    repair: bool = False
    template: str = ""
    language: str = ""  # BCP 47, of titles and descriptions
    contact: str = "records@example.org"  # whom a harvester writes to
    stamp: str = "2000-01-01T00:00:00Z"
    progress: Progress | None = None

    def __post_init__(self) -> None:
        """Raises `CannotContinue` where an option makes no sense."""
        for name in ("batch", "workers"):
            if getattr(self, name) < 1:
                raise CannotContinue(f"{name} {getattr(self, name)}", "is less than one", "give a number from 1 on")
        try:
            datetime.strptime(self.stamp, "%Y-%m-%dT%H:%M:%SZ")
        except ValueError as error:
            step = "give it as 2023-11-14T22:13:20Z"
            raise CannotContinue(f'stamp "{self.stamp}"', "is no time in UTC, ISO 8601", step) from error


class Held(msgspec.Struct, frozen=True):
    """One record that did not go out, and why."""

    record: str
    title: str
    why: str
    reason: str
    cell: str = ""


class Outcome(msgspec.Struct, kw_only=True):
    """What a run came to. `sums` are the ledger's four sums by name; empty where the input was no sheet."""

    records: int = 0
    carriers: int = 0
    delivered: int = 0
    held: list[Held] = []
    documents: list[str] = []
    cells_read: int = 0
    sums: dict[str, int] = {}
    counts: dict[str, int] = {}  # findings by code
    severities: dict[str, int] = {}
    findings: list[Finding] = []
    losses: dict[str, dict[str, int]] = {}  # field -> carried (whole, part, none) -> values
    validated_with: str = ""
    out: str = ""

    def worst(self) -> Severity | None:
        """The highest severity among the findings, None where there are none."""
        return max((Severity[name.upper()] for name, count in self.severities.items() if count), default=None)


class FindingLog:
    """Takes findings as they come: counts all, keeps the first ones, writes all to a file where it is given one."""

    def __init__(self, out: TextIO | None = None, kept: int | None = KEPT_FINDINGS) -> None:
        self._most = kept
        self.counts: Counter[str] = Counter()
        self.severities: Counter[str] = Counter()
        self.kept: list[Finding] = []
        self._writer = csv.writer(out, lineterminator="\n") if out is not None else None
        if self._writer is not None:
            self._writer.writerow(("severity", "code", "name", "place", "record", "value", "message", "next step"))

    def add(self, found: Iterable[Finding]) -> None:
        """Takes some findings."""
        for one in found:
            self.counts[one.code] += 1
            self.severities[one.severity.word] += 1
            if self._most is None or len(self.kept) < self._most:
                self.kept.append(one)
            if self._writer is not None:
                self._writer.writerow(_row(one))


def _row(one: Finding) -> tuple[str, ...]:
    meant = f"did you mean {' or '.join(one.suggestions)}?" if one.suggestions else one.next_step
    place = str(one.origin)
    said = as_text(one.value), as_text(one.message), meant
    return one.severity.word, one.code, one.name, place, one.origin.record, *said



@contextmanager
def steady_memory() -> Iterator[None]:
    """Switches the cycle collector off for a run: records and rows hold no cycles, so that counting references frees
    them, and looking for cycles among them would cost a fifth of the time."""
    was_on = gc.isenabled()
    gc.disable()
    try:
        yield
    finally:
        if was_on:
            gc.enable()


class Run:
    """One run under way."""

    def __init__(self, options: Options, ledger: Ledger, log: FindingLog) -> None:
        self.options = options
        self.ledger = ledger
        self.log = log
        self.outcome = Outcome(out=str(options.out))
        self.decisions = load_decisions(options.decisions) if options.decisions else None
        self.losses: Writer | None = None
        self.tried: set[str] = set()  # mappings whose examples have been run
        self.also_read: set[tuple[str, str]] = set()  # (file, sheet) that is read for another purpose, as a review is

    def beside(self, ledger: Ledger, log: FindingLog) -> Run:
        """A run of the same kind, with an account of its own and without anybody who watches."""
        plain = msgspec.structs.replace(self.options, progress=None, decisions="")
        other = Run(plain, ledger, log)
        other.decisions = self.decisions
        return other

    def progress(self, stage: str, done: int) -> None:
        """Tells whoever watches."""
        if self.options.progress is not None:
            self.options.progress(stage, done)

    def lost(self, one: Lost) -> None:
        """Counts one value that a standard could not carry whole."""
        by_kind = self.outcome.losses.setdefault(one.field, {})
        by_kind[one.carried] = by_kind.get(one.carried, 0) + 1
        if self.losses is not None and one.carried != "whole":
            self.losses.writerow((as_text(one.record), one.field, as_text(one.value), one.carried, one.gone))

    def finish(self, is_sheet: bool) -> Outcome:
        """The outcome. Raises `AccountsDiffer` where the ledger's sums do not add up."""
        self.ledger.check()
        if self.decisions is not None:
            self.log.add(self.decisions.check())
            self.log.add(self.decisions.unused())
        self.outcome.findings = self.log.kept
        self.outcome.counts = dict(sorted(self.log.counts.items()))
        self.outcome.severities = dict(self.log.severities)
        if is_sheet:
            self.outcome.cells_read = self.ledger.cells_read
            self.outcome.sums = {account.value: count for account, count in self.ledger.sums().items()}
        return self.outcome

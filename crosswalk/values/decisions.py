"""Decisions: what people settled once, kept in a CSV (kind, text, decided, by, on, note), applied before all rules."""

from __future__ import annotations

import csv
from collections.abc import Iterable
from pathlib import Path

import msgspec

from crosswalk.errors import MappingError
from crosswalk.findings import Finding, Origin, finding
from crosswalk.values.reading import NO_CONTEXT, Context, How, Parser, Reading
from crosswalk.values.registry import PARSERS, parser
from crosswalk.vocabularies import load

COLUMNS = ("kind", "text", "decided", "by", "on", "note")


class Decision(msgspec.Struct, frozen=True, kw_only=True):
    """One row: the wording `text` of this kind means `decided`; empty where it means nothing at all."""

    kind: str
    text: str
    decided: str
    by: str = ""
    on: str = ""
    note: str = ""
    line: int = 0


class Decisions:
    """The decisions of a house, and which of them have been used.

    >>> settled = Decisions([Decision(kind="carrier", text="blu box", decided="U-matic")])
    >>> settled.reading("carrier", " Blu  Box").value, settled.reading("carrier", "red box")
    ('U-matic', None)
    """

    def __init__(self, rows: Iterable[Decision], file: str = "decisions.csv") -> None:
        self.file = file
        self.rows = tuple(rows)
        self._by_text: dict[tuple[str, str], Decision] = {}
        for row in self.rows:
            self._by_text.setdefault((row.kind, _same(row.text)), row)
        self.used: set[tuple[str, str]] = set()

    def reading(self, kind: str, text: str) -> Reading | None:
        """The decided reading of a wording, None where nobody decided it. A decision for no value (`decided` empty)
        is a reading without value and without doubt."""
        if not self._by_text:
            return None
        key = (kind, _same(text))
        row = self._by_text.get(key)
        if row is None:
            return None
        self.used.add(key)
        return Reading(row.decided or None, How.DECISION, rule=f"{self.file}:{row.line}" if row.line else self.file)

    def apply(self, kind: str, text: str, context: Context) -> Reading:
        """The decided reading, or what the parser of that kind makes of the text."""
        return self.reading(kind, text) or parser(kind)(text, context)

    def applied(self, kind: str, read: Parser) -> Parser:
        """The parser with the decisions of that kind before it."""
        if not any(row.kind == kind for row in self.rows):
            return read
        return lambda text, context: self.reading(kind, text) or read(text, context)

    def check(self, context: Context = NO_CONTEXT) -> list[Finding]:
        """Rows that cannot be right: of no known kind, contradicting, deciding what no reading accepts, unsigned."""
        return [found for row in self.rows for found in self._checked(row, context)]

    def unused(self) -> list[Finding]:
        """Rows whose wording did not occur; ask after the run."""
        return [
            self._finding("DE01", row, f'nothing reads "{row.text}" as {row.kind}')
            for key, row in self._by_text.items()
            if key not in self.used
        ]

    def _checked(self, row: Decision, context: Context) -> list[Finding]:
        if row.kind not in PARSERS:
            return [self._finding("DE05", row, f'"{row.kind}" is not a kind of reading', *_near_kinds(row.kind))]
        found: list[Finding] = []
        first = self._by_text[(row.kind, _same(row.text))]
        if first is not row and first.decided != row.decided:
            found.append(self._finding("DE02", row, f'"{row.text}" is decided as {first.decided} in line {first.line}'))
        if row.decided:
            found.extend(self._unaccepted(row, context))
        if not row.by or not row.on:
            found.append(self._finding("DE04", row, f'the decision on "{row.text}" has no name or no date'))
        return found

    def _unaccepted(self, row: Decision, context: Context) -> list[Finding]:
        reading = parser(row.kind)(row.decided, context)
        if reading.value == row.decided or _detailed(row, context):
            return []
        meant = (reading.value,) if reading.value else tuple(s for doubt in reading.doubts for s in doubt.suggestions)
        return [self._finding("DE03", row, f'"{row.decided}" is no {row.kind} as it stands', *meant)]

    def _finding(self, code: str, row: Decision, message: str, *suggestions: str) -> Finding:
        origin = Origin(file=self.file, line=row.line)
        return finding(code, origin, message, value=row.decided or row.text, suggestions=suggestions)


def load_decisions(path: str | Path) -> Decisions:
    """The decisions in a CSV file (UTF-8, with the header kind, text, decided and, as far as known, by, on, note).
    Raises MappingError, naming file and line, where the file is not such a table."""
    path = Path(path)
    try:
        text = path.read_text(encoding="utf-8-sig")
    except (OSError, UnicodeDecodeError) as error:
        raise MappingError(
            path, f"cannot be read ({type(error).__name__})", "check the name, and save as UTF-8"
        ) from None
    reader = csv.DictReader(text.splitlines(keepends=True), restkey="")
    missing = [column for column in COLUMNS[:3] if column not in (reader.fieldnames or ())]
    if missing:
        raise MappingError(f"{path}:1", f"has no column {', '.join(missing)}", f"write the header {','.join(COLUMNS)}")
    return Decisions(list(_rows(reader)), path.name)


def _rows(reader: csv.DictReader[str]) -> Iterable[Decision]:
    for row in reader:
        values = {column: (row.get(column) or "").strip() for column in COLUMNS}
        if values["kind"] and values["text"]:
            yield Decision(**values, line=reader.line_num)


def _detailed(row: Decision, context: Context) -> bool:
    """Whether a carrier is decided as a term of the list with a detail after the colon, as the list advises."""
    term, colon, detail = row.decided.partition(": ")
    return row.kind == "carrier" and bool(colon and detail) and term in load("carriers", *context.house_files).by_name


def _same(text: str) -> str:
    """The spelling under which a decided wording is found again: case and spaces do not count."""
    return " ".join(text.casefold().split())


def _near_kinds(kind: str) -> tuple[str, ...]:
    from rapidfuzz import process  # late: only a misspelt kind needs it

    return tuple(found[0] for found in process.extract(kind, PARSERS.keys(), limit=2, score_cutoff=70))

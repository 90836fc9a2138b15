"""Decisions: what people settled once, kept in a CSV (kind, text, decided, by, on, note), applied before all rules."""

from __future__ import annotations

import csv
from collections.abc import Callable, Iterable
from pathlib import Path

import msgspec

from crosswalk.errors import MappingError
from crosswalk.findings import Finding, Origin, finding
from crosswalk.values.language_words import is_code
from crosswalk.values.reading import NO_CONTEXT, Context, How, Parser, Reading
from crosswalk.values.registry import PARSERS, parser
from crosswalk.vocabularies import load

COLUMNS = ("kind", "text", "decided", "by", "on", "note")
_WAIVER = "waiver"  # rows of that kind are for the checks


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
        self._asked: dict[str, set[Context | None]] = {}  # kind: where it is read; None by a house's own parser
        self._allowed: dict[tuple[Decision, Context], bool] = {}

    def reading(
        self, kind: str, text: str, context: Context = NO_CONTEXT, read: Parser | None = None
    ) -> Reading | None:
        """The decided reading of a wording, None where nobody decided it, or decided what the kind does not allow. A
        decision for no value (`decided` empty) is a reading without value and without doubt. `read` is the parser where
        it may be a house's own: what that one allows, only the house knows."""
        if not self._by_text:
            return None
        key = (kind, _same(text))
        row = self._by_text.get(key)
        if row is None:
            return None
        self.used.add(key)
        if not (_is_own(kind, read) or self._allows(row, _judging(context))):
            return None
        return Reading(row.decided or None, How.DECISION, rule=f"{self.file}:{row.line}" if row.line else self.file)

    def apply(self, kind: str, text: str, context: Context) -> Reading:
        """The decided reading, or what the parser of that kind makes of the text."""
        return self.reading(kind, text, context) or parser(kind)(text, context)

    def applied(self, kind: str, read: Parser) -> Parser:
        """The parser with the decisions of that kind before it."""
        if not any(row.kind == kind for row in self.rows):
            return read
        return lambda text, context: self.reading(kind, text, context, read) or read(text, context)

    def asked(self, kind: str, context: Context, read: Parser | None = None) -> None:
        """Remembers for `check` that a kind is read in that context, and whether by a house's own parser."""
        self._asked.setdefault(kind, set()).add(None if _is_own(kind, read) else _judging(context))

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
        if row.kind not in PARSERS and row.kind not in self._asked:
            return [self._finding("DE05", row, f'"{row.kind}" is not a kind of reading', *_near_kinds(row.kind))]
        found: list[Finding] = []
        first = self._by_text[(row.kind, _same(row.text))]
        if first is not row and first.decided != row.decided:
            found.append(self._finding("DE02", row, f'"{row.text}" is decided as {first.decided} in line {first.line}'))
        places = self._asked.get(row.kind, {_judging(context)})
        if not any(place is None or self._allows(row, place) for place in places):
            found.append(self._not_allowed(row, context))
        if not row.by or not row.on:
            found.append(self._finding("DE04", row, f'the decision on "{row.text}" has no name or no date'))
        return found

    def _allows(self, row: Decision, context: Context) -> bool:
        known = self._allowed.get((row, context))
        if known is None:
            known = self._allowed[row, context] = not row.decided or _is_allowed(row, context)
        return known

    def _not_allowed(self, row: Decision, context: Context) -> Finding:
        reading = parser(row.kind)(row.decided, context)
        told = tuple(suggestion for doubt in reading.doubts for suggestion in doubt.suggestions)
        if _is_several(reading):
            return self._finding("DE03", row, f'"{row.decided}": one decision decides one name', *told)
        meant = (reading.value,) if reading.value else told
        return self._finding("DE03", row, f'"{row.decided}" is no {row.kind} as it stands', *meant)

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
        if values["kind"] and values["text"] and values["kind"] != _WAIVER:
            yield Decision(**values, line=reader.line_num)


def _is_allowed(row: Decision, context: Context) -> bool:
    """Whether the decided value is one that the kind allows: its parser takes it as it stands, or it is of the
    published form although a bare wording like it would leave doubts."""
    reading = parser(row.kind)(row.decided, context)
    if reading.value == row.decided:
        return not _is_several(reading)
    published = _PUBLISHED.get(row.kind)
    return published is not None and published(row.decided, context)


def _is_several(reading: Reading) -> bool:
    return any(doubt.code == "NM02" for doubt in reading.doubts)


def _is_own(kind: str, read: Parser | None) -> bool:
    """Whether a house's own code reads that kind."""
    return kind not in PARSERS or (read is not None and read is not parser(kind))


def _judging(context: Context) -> Context:
    """What of a context says which values there are; the rest concerns other wordings."""
    return Context(house_files=context.house_files, episode_pattern=context.episode_pattern, fps=context.fps)


def _carrier(decided: str, context: Context) -> bool:
    """A term of the list with a detail after the colon, as the list advises."""
    term, colon, detail = decided.partition(": ")
    return bool(colon and detail) and term in load("carriers", *context.house_files).by_name


def _date(decided: str, context: Context) -> bool:
    from crosswalk.values.dates import is_edtf  # late: only decided dates need it

    return is_edtf(decided)


def _language(decided: str, context: Context) -> bool:
    """Codes, bibliographic where there are two (ger, not deu)."""
    terms = [load("languages").find(code) for code in decided.split(";")]
    terminological = [entry.facts.get("alpha_3") for entry in terms if entry is not None]
    return all(is_code(code, *context.house_files) and code not in terminological for code in decided.split(";"))


_PUBLISHED: dict[str, Callable[[str, Context], bool]] = {"carrier": _carrier, "date": _date, "language": _language}


def _same(text: str) -> str:
    """The spelling under which a decided wording is found again: case and spaces do not count."""
    return " ".join(text.casefold().split())


def _near_kinds(kind: str) -> tuple[str, ...]:
    from rapidfuzz import process  # late: only a misspelt kind needs it

    return tuple(found[0] for found in process.extract(kind, PARSERS.keys(), limit=2, score_cutoff=70))

"""A mapping file, read and proved: all its mistakes that can be found without a sheet are told at once."""

from __future__ import annotations

import re
from collections.abc import Iterator
from pathlib import Path

import msgspec

from crosswalk.errors import MappingError, raise_all
from crosswalk.mapping.model import Column, Constant, Mapping, MarkRule, Skip
from crosswalk.mapping.places import misplaced
from crosswalk.mapping.readers import known_parsers
from crosswalk.mapping.templates import Template
from crosswalk.tomlio import Mistake, complaint, near, read_toml
from crosswalk.values.folding import fold
from crosswalk.values.text import repair

ROWS = ("asset", "carrier", "file")


def load_mapping(path: str | Path) -> Mapping:
    """The mapping in a file. Raises one `MappingError` that names all mistakes, each with file, line and key."""
    mapping, mistakes = read_toml(path, Mapping)
    if mapping is None:
        raise_all(one.error for one in mistakes)
        raise MappingError(path, "is no mapping", "see the description of mapping files")
    mapping = msgspec.structs.replace(mapping, path=str(path))
    told = {one.table for one in mistakes if one.table}
    mistakes += [one for one in _Proof(mapping).mistakes() if one.table not in told]
    raise_all(one.error for one in mistakes)
    return mapping


class _Proof:
    """Whether a mapping makes sense. A table whose form is wrong is judged too; whoever asks leaves that out."""

    def __init__(self, mapping: Mapping) -> None:
        self.mapping = mapping

    def mistakes(self) -> Iterator[Mistake]:
        """What does not, table by table."""
        yield from self._top()
        yield from self._reading()
        serving = _serving(self.mapping)
        for number, column in enumerate(self.mapping.column):
            yield from self._column(f"column[{number}]", column, serving)
        for number, constant in enumerate(self.mapping.constant):
            yield from self._said(f"constant[{number}]", constant)
        for number, skip in enumerate(self.mapping.skip):
            yield from self._skip(f"skip[{number}]", skip)
        for number, mark in enumerate(self.mapping.mark):
            yield from self._mark(f"mark[{number}]", mark)

    def _mistake(self, table: str, key: str, problem: str, step: str) -> Mistake:
        return Mistake(table, complaint(self.mapping.path, key, problem, step, table))

    def _top(self) -> Iterator[Mistake]:
        mapping = self.mapping
        if mapping.row not in ROWS:
            yield self._mistake("", "row", f'"{mapping.row}" is no kind of row', f"use {', '.join(ROWS)}")
        if not mapping.column:
            step = "add a [[column]] with a heading and a `to` or an `aside`"
            yield Mistake("", MappingError(mapping.path, "names no column", step))
        for name in mapping.vocabularies:
            if not (Path(mapping.path).parent / name).is_file():
                step = "check the name; it is relative to the mapping"
                yield self._mistake("", name, f'there is no file "{name}" beside it', step)

    def _reading(self) -> Iterator[Mistake]:
        """The parsers. Where the house's own module makes no sense, nobody knows what it would have given."""
        try:
            parsers = known_parsers(self.mapping)
        except MappingError as error:
            yield Mistake("", error)
            return
        for number, column in enumerate(self.mapping.column):
            name = column.read
            if name not in parsers and name.replace("_", "-") not in parsers:
                yield self._mistake(f"column[{number}]", name, f'there is no parser "{name}"', near(name, parsers))

    def _column(self, table: str, column: Column, serving: set[str]) -> Iterator[Mistake]:
        heading = column.headings[0] if column.headings else ""
        if not all(spelling.strip() for spelling in column.headings) or not heading:
            yield self._mistake(table, "heading", "a [[column]] has an empty heading", "write it as the sheet does")
        elif column.to and column.aside:
            yield self._mistake(table, heading, f'"{heading}" has a `to` and an `aside`', "keep one of the two")
        elif not (column.to or column.aside.strip() or serving.intersection(map(fold, column.headings))):
            step = "add a `to`, or an `aside` with the reason"
            yield self._mistake(table, heading, f'"{heading}" goes nowhere, and nothing else uses it', step)
        elif column.to:
            yield from (Mistake(table, error) for error in misplaced(self.mapping, column, table))

    def _said(self, table: str, said: Constant | MarkRule) -> Iterator[Mistake]:
        """What constants and marks have in common."""
        for text in (said.value, said.source, said.type, said.role, said.annotation):
            if text and any(letter < " " and letter not in "\t\n\r" for letter in text):
                problem = f"{text!a} has control characters, which XML forbids"
                yield self._mistake(table, said.to, problem, f"write {repair(text)[0]!a}")
        yield from (Mistake(table, error) for error in misplaced(self.mapping, said, table))

    def _skip(self, table: str, skip: Skip) -> Iterator[Mistake]:
        of = f'the [[skip]] of "{skip.heading}"'
        if not skip.reason.strip():
            yield self._mistake(table, "skip", f"{of} gives no reason", "say why rows are left out")
        if not skip.texts and not skip.pattern:
            yield self._mistake(table, "skip", f"{of} fits no row", "give `texts` or a `pattern`")
        try:
            re.compile(skip.pattern)
        except re.error as error:
            yield self._mistake(table, "pattern", f"is no regular expression: {error}", "mend it")

    def _mark(self, table: str, mark: MarkRule) -> Iterator[Mistake]:
        if not (mark.fill or mark.struck or mark.note):
            step = "give one of the three"
            yield self._mistake(table, "mark", "a [[mark]] names no fill, strike-out or note", step)
        elif mark.fill and not re.fullmatch("[0-9A-Fa-f]{6}", mark.fill):
            step = "write six hexadecimal digits, such as FFFF00"
            yield self._mistake(table, mark.fill, f'"{mark.fill}" is no colour', step)
        elif not mark.note and not mark.value:
            yield self._mistake(table, "mark", "a [[mark]] of a fill or strike-out says nothing", "give its `value`")
        yield from self._said(table, mark)


def _serving(mapping: Mapping) -> set[str]:
    """The folded headings of columns that something else in the mapping uses."""
    serving = {fold(name) for name in mapping.key_headings} | {fold(skip.heading) for skip in mapping.skip}
    serving |= {fold(name) for spec in mapping.constant for name in Template.parse(spec.value).headings}
    return serving | {fold(name) for column in mapping.column for name in column.taken_from}

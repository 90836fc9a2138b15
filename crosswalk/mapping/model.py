"""The mapping file: how the columns of a sheet become records. Read strictly; errors name file, line and key."""

from __future__ import annotations

import re
from pathlib import Path

import msgspec

from crosswalk.errors import MappingError
from crosswalk.mapping.templates import Template
from crosswalk.tomlio import complaint, load_toml
from crosswalk.values.folding import fold
from crosswalk.values.text import repair


class Lookup(msgspec.Struct, frozen=True, forbid_unknown_fields=True, rename="kebab"):
    """A second sheet of the same workbook that says what a code stands for."""

    sheet: str
    key: str
    value: str


class Contents(msgspec.Struct, frozen=True, forbid_unknown_fields=True, rename="kebab", kw_only=True):
    """What goes into an element beside its text: attributes and, for containers, the companion elements."""

    to: str = ""
    source: str | None = None
    ref: str | None = None
    version: str | None = None
    annotation: str | None = None
    type: str | None = None
    role: str | None = None
    unit: str | None = None
    attributes: dict[str, str] = {}
    track: int = 1  # which essence track of the row, for `track.*`
    public: bool = True  # false: never in an output meant for the public


class Column(Contents, frozen=True, forbid_unknown_fields=True, rename="kebab", kw_only=True):
    """What one column means. `X-from` takes X from another column of the same row; a `*` in headings pairs them up."""

    heading: str | list[str]
    read: str = "text"
    split: str | list[str] = []
    aside: str = ""
    lookup: Lookup | None = None
    role_from: str = ""
    type_from: str = ""
    unit_from: str = ""
    source_from: str = ""
    annotation_from: str = ""
    day_first: bool | None = None
    minutes_first: bool | None = None
    episode_pattern: str = ""
    fps: str = ""
    bare_unit: str = ""  # of a bare number in a column of lengths: h, min or s
    point_is_clock: bool | None = None  # 12.30 min is 12 min 30 s
    day_counts: bool | None = None  # bare numbers in a column of dates are a workbook's day counts
    options: dict[str, str] = {}  # further options of the parser, or of a house's own converter
    sure: bool = True  # false: a doubtful reading is carried as written, with an annotation that says so

    @property
    def headings(self) -> list[str]:
        """All spellings of the heading."""
        return [self.heading] if isinstance(self.heading, str) else self.heading

    @property
    def taken_from(self) -> list[str]:
        """The headings of the columns that fill attributes of this one's elements."""
        named = (self.role_from, self.type_from, self.unit_from, self.source_from, self.annotation_from)
        return [heading for heading in named if heading]

    @property
    def separators(self) -> list[str]:
        """The texts that part several values in one cell."""
        return [self.split] if isinstance(self.split, str) else self.split


class Constant(Contents, frozen=True, forbid_unknown_fields=True, rename="kebab", kw_only=True):
    """A value that every record has, or (`when-missing`) every record that has none. `{Heading}` quotes a column."""

    value: str
    when_missing: bool = False

    @property
    def quotes(self) -> bool:
        """Whether the value quotes columns."""
        return "{" in self.value


class MarkRule(Contents, frozen=True, forbid_unknown_fields=True, rename="kebab", kw_only=True):
    """Meaning that a sheet carries by fill colour, strike-out or cell note."""

    fill: str = ""
    struck: bool = False
    note: bool = False
    heading: str = ""  # only in this column
    value: str = ""  # for a note: "" is the note's own text


class Skip(msgspec.Struct, frozen=True, forbid_unknown_fields=True, rename="kebab"):
    """Rows to leave out: those whose cell in that column is one of the texts, or matches the pattern."""

    heading: str
    reason: str
    texts: list[str] = []
    pattern: str = ""


class Example(msgspec.Struct, frozen=True, forbid_unknown_fields=True, rename="kebab"):
    """The mapping's own test: a row, and what must come of it. `lookup` has what look-up sheets would say."""

    row: dict[str, str]
    expect: dict[str, str | list[str]]
    lookup: dict[str, dict[str, str]] = {}


class Mapping(msgspec.Struct, frozen=True, forbid_unknown_fields=True, rename="kebab", kw_only=True):
    """One mapping file."""

    title: str = ""
    row: str = "carrier"  # what one row describes: asset, carrier or file
    sheets: list[str] = []
    header_row: int | None = None
    header_rows: int | None = None
    encoding: str = ""  # of a delimited file, where it is not found out rightly
    delimiter: str = ""
    blank: list[str] = []
    ditto: list[str] = []
    totals: list[str] = []
    asset_key: list[str] = []
    day_first: bool | None = None
    minutes_first: bool | None = None
    episode_pattern: str = ""
    century_pivot: int | None = None
    fps: str = ""
    converters: str = ""  # a Python module beside the mapping that registers parsers
    vocabularies: list[str] = []  # the house's own terms and aliases, beside the mapping
    skip: list[Skip] = []
    column: list[Column] = []
    constant: list[Constant] = []
    mark: list[MarkRule] = []
    example: list[Example] = []
    path: str = ""  # filled by the loader


def named(mapping: Mapping) -> list[tuple[list[str], str]]:
    """The spellings of all headings that a mapping names, each with what names it where that is no [[column]]."""
    entered = [(column.headings, "") for column in mapping.column]
    known = {fold(spelling) for spellings, _ in entered for spelling in spellings}
    used = [(name, "the asset key") for name in mapping.asset_key]
    used += [(name, "a constant") for spec in mapping.constant for name in Template.parse(spec.value).headings]
    used += [(skip.heading, "a [[skip]]") for skip in mapping.skip]
    used += [(mark.heading, "a [[mark]]") for mark in mapping.mark if mark.heading]
    used += [(name, "`role-from` or the like") for column in mapping.column for name in column.taken_from]
    return entered + [([name], use) for name, use in dict(used).items() if fold(name) not in known]


def _check_columns(path: str | Path, mapping: Mapping) -> None:
    serving = {fold(name) for name in mapping.asset_key} | {fold(skip.heading) for skip in mapping.skip}
    serving |= {fold(name) for spec in mapping.constant for name in Template.parse(spec.value).headings}
    serving |= {fold(name) for column in mapping.column for name in column.taken_from}
    for column in mapping.column:
        heading = column.headings[0] if column.headings else ""
        if not all(spelling.strip() for spelling in column.headings) or not heading:
            raise complaint(path, "heading", "a [[column]] has an empty heading", "write the heading as the sheet does")
        if column.to and column.aside:
            raise complaint(path, heading, f'"{heading}" has a `to` and an `aside`', "keep one of the two")
        if not (column.to or column.aside.strip() or serving.intersection(map(fold, column.headings))):
            step = "add a `to`, or an `aside` with the reason"
            raise complaint(path, heading, f'"{heading}" goes nowhere, and nothing else uses it', step)


def _check_constants(path: str | Path, mapping: Mapping) -> None:
    entries: list[Constant | MarkRule] = [*mapping.constant, *mapping.mark]
    for said in entries:
        for text in (said.value, said.source, said.type, said.role, said.annotation):
            if text and any(letter < " " and letter not in "\t\n\r" for letter in text):
                problem = f"{text!a} has control characters, which XML forbids"
                raise complaint(path, said.to, problem, f"write {repair(text)[0]!a}")


def _check_skips(path: str | Path, mapping: Mapping) -> None:
    for skip in mapping.skip:
        if not skip.reason.strip():
            problem = f'the [[skip]] of "{skip.heading}" gives no reason'
            raise complaint(path, "skip", problem, "say why rows are left out")
        if not skip.texts and not skip.pattern:
            step = "give `texts` or a `pattern`"
            raise complaint(path, "skip", f'the [[skip]] of "{skip.heading}" fits no row', step)
        try:
            re.compile(skip.pattern)
        except re.error as error:
            raise complaint(path, "pattern", f"is no regular expression: {error}", "mend it") from error


def _check_marks(path: str | Path, mapping: Mapping) -> None:
    for mark in mapping.mark:
        if not (mark.fill or mark.struck or mark.note):
            raise complaint(path, "mark", "a [[mark]] names no fill, strike-out or note", "give one of the three")
        if mark.fill and not re.fullmatch("[0-9A-Fa-f]{6}", mark.fill):
            step = "write six hexadecimal digits, such as FFFF00"
            raise complaint(path, mark.fill, f'"{mark.fill}" is no colour', step)
        if not mark.note and not mark.value:
            raise complaint(path, "mark", "a [[mark]] of a fill or strike-out says nothing", "give its `value`")


ROWS = ("asset", "carrier", "file")


def load_mapping(path: str | Path) -> Mapping:
    """The mapping in a file. Raises `MappingError` that names the file, the line and the key."""
    mapping = load_toml(path, Mapping)
    if mapping.row not in ROWS:
        raise complaint(path, "row", f'"{mapping.row}" is no kind of row', f"use {', '.join(ROWS)}")
    if not mapping.column:
        raise MappingError(path, "names no column", "add a [[column]] with a heading and a `to` or an `aside`")
    for check in (_check_columns, _check_constants, _check_skips, _check_marks):
        check(path, mapping)
    return msgspec.structs.replace(mapping, path=str(path))

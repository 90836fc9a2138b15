"""The mapping file: how the columns of a sheet become records."""

from __future__ import annotations

import msgspec

from crosswalk.mapping.templates import Template
from crosswalk.values.folding import fold


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

    @property
    def key_headings(self) -> list[str]:
        """The headings of the columns in the asset key, whose parts are headings, or templates that quote them."""
        return [heading for part in self.asset_key for heading in Template.parse(part).headings or (part,)]


def named(mapping: Mapping) -> list[tuple[list[str], str]]:
    """The spellings of all headings that a mapping names, each with what names it where that is no [[column]]."""
    entered = [(column.headings, "") for column in mapping.column]
    known = {fold(spelling) for spellings, _ in entered for spelling in spellings}
    used = [(name, "the asset key") for name in mapping.key_headings]
    used += [(name, "a constant") for spec in mapping.constant for name in Template.parse(spec.value).headings]
    used += [(skip.heading, "a [[skip]]") for skip in mapping.skip]
    used += [(mark.heading, "a [[mark]]") for mark in mapping.mark if mark.heading]
    used += [(name, "`role-from` or the like") for column in mapping.column for name in column.taken_from]
    return entered + [([name], use) for name, use in dict(used).items() if fold(name) not in known]

"""A mapping bound to one sheet: which column fills what, which cells end elsewhere, and which rows belong together."""

from __future__ import annotations

import fnmatch
import re
from collections.abc import Callable, Iterable, Mapping, Sequence
from pathlib import Path
from typing import Protocol

import msgspec

from crosswalk.errors import MappingError
from crosswalk.findings import Finding, Origin, finding
from crosswalk.ledger import Account, Columns, Entry, columns_of
from crosswalk.mapping import model
from crosswalk.mapping.columns import Bound, Made, Outcome, companions, element_of
from crosswalk.mapping.targets import paths, resolve
from crosswalk.mapping.templates import Template
from crosswalk.tomlio import complaint
from crosswalk.values.folding import fold
from crosswalk.values.reading import Context, How, Reading

BESIDE = ("role", "type", "unit", "source", "annotation")  # what `X-from` may take from another column


class HeadingLike(Protocol):
    """A heading as the reader of sheets gives it."""

    @property
    def index(self) -> int: ...  # noqa: D102
    @property
    def text(self) -> str: ...  # noqa: D102


class SheetLike(Protocol):
    """What a plan needs to know of a sheet."""

    @property
    def file(self) -> str: ...  # noqa: D102
    @property
    def name(self) -> str: ...  # noqa: D102
    @property
    def headings(self) -> Sequence[HeadingLike]: ...  # noqa: D102

    def address(self, row: int, index: int) -> str: ...  # noqa: D102


class Readers(Protocol):
    """Gives a function that reads texts: the parser by name, its context, decisions first."""

    def __call__(self, name: str, context: Context) -> Callable[[str], Reading]: ...  # noqa: D102


class Quoting(msgspec.Struct):
    """A constant that quotes columns, and so is made a row at a time."""

    spec: model.Constant
    template: Template


class Plan(msgspec.Struct):
    """One sheet, ready to be read. `fixed` are the cells of a column that always end elsewhere than the record."""

    mapping: model.Mapping
    file: str
    sheet: str
    width: int
    bound: list[Bound]
    fixed: dict[int, Entry]
    keys: list[Bound]
    settled: list[Made]  # constants that are the same in every row
    quoting: list[Quoting]
    marks: list[tuple[model.MarkRule, int | None]]
    skips: list[tuple[int, frozenset[str], re.Pattern[str] | None, str]]
    columns: Columns
    address: Callable[[int, int], str]
    ditto: frozenset[str]
    by_index: dict[int, Bound]
    headings: list[str]
    hot: list[tuple[int, Callable[[str], Outcome | None] | None, Bound]] = []  # index, memo if the text decides, column
    unmapped: set[int] = set()  # columns that no entry names and that were seen with content

    def widen(self, width: int) -> None:
        """Gives addresses to cells that stand beyond the last heading."""
        more = columns_of(_addresses(self.address, len(self.columns.before), width), [""] * width, [""] * width)
        self.columns.before += more.before
        self.columns.heading += more.heading
        self.columns.field += more.field

    def warm(self) -> None:
        """Prepares the loop over the columns; to be called once their readers are settled."""
        self.hot = [(one.index, one.memo.get if one.simple else None, one) for one in self.bound]

    def value(self, index: int, texts: list[str]) -> str:
        """The normalised value of a cell, "" where it is empty; the text itself where nothing reads the column."""
        if index >= len(texts) or not texts[index].strip():
            return ""
        bound = self.by_index.get(index)
        return bound.outcome(texts).value if bound else texts[index].strip()


def bind(
    mapping: model.Mapping,
    sheet: SheetLike,
    readers: Readers,
    tables: Mapping[model.Lookup, Mapping[str, str]],
) -> Plan:
    """Binds a mapping to a sheet. Raises `MappingError` where it names what cannot be."""
    found = Headings(mapping, sheet)
    bound = [one for column in mapping.column for one in _bind_column(mapping, column, found, readers, tables)]
    _tie_carrier(bound, mapping, readers)
    by_index: dict[int, Bound] = {}
    for one in bound:
        by_index.setdefault(one.index, one)
    for one in bound:
        one.read_beside = {index: by_index[index] for index in one.beside.values() if index in by_index}
    fixed = _fixed(mapping, found, bound)
    return Plan(
        mapping=mapping, file=Path(sheet.file).name, sheet=sheet.name, width=found.width,
        bound=bound,
        fixed=fixed, keys=[by_index[i] for i in _key_indices(mapping, found)],
        settled=[constant_made(mapping, spec, spec.value) for spec in mapping.constant if not spec.quotes],
        quoting=[_quoting(mapping, spec, found) for spec in mapping.constant if spec.quotes],
        marks=[(rule, found.first(rule.heading) if rule.heading else None) for rule in mapping.mark],
        skips=[_skip(mapping, skip, found) for skip in mapping.skip if found.first(skip.heading) is not None],
        columns=_columns(sheet, found, by_index), address=sheet.address,
        ditto=frozenset(mapping.ditto), by_index=by_index, headings=list(found.texts.values()),
    )  # fmt: skip


class Headings:
    """The headings of a sheet, as a mapping looks them up: by any spelling, or by a pattern with `*`."""

    def __init__(self, mapping: model.Mapping, sheet: SheetLike) -> None:
        self.place = f"{mapping.path}, sheet {sheet.name or sheet.file}"
        self.texts = {heading.index: heading.text for heading in sheet.headings}
        self.width = max(self.texts, default=-1) + 1
        self._indices: dict[str, list[int]] = {}
        for heading in sheet.headings:
            self._indices.setdefault(fold(heading.text), []).append(heading.index)

    def first(self, text: str) -> int | None:
        """The first column with that heading."""
        return self._indices.get(fold(text), [None])[0]

    def all(self, spellings: Iterable[str]) -> list[tuple[int, str]]:
        """All columns that one of the spellings names, each with what its `*` stood for."""
        hits: dict[int, str] = {}
        for spelling in spellings:
            if "*" in spelling:
                hits |= {i: star for text, at in self._indices.items() if (star := _star(spelling, text)) for i in at}
            else:
                hits |= dict.fromkeys(self._indices.get(fold(spelling), ()), "")
        return sorted(hits.items())


def _star(spelling: str, folded: str) -> str:
    """What the `*` of a spelling stands for in a heading, "" where it does not fit."""
    if "*" not in spelling:
        return ""
    if spelling.strip() == "*":
        return folded
    pattern = re.escape(fold(spelling)).replace(r"\*", "(.+)")
    found = re.fullmatch(pattern, folded)
    return found[1].strip() if found else ""


def _bind_column(
    mapping: model.Mapping,
    column: model.Column,
    found: Headings,
    readers: Readers,
    tables: Mapping[model.Lookup, Mapping[str, str]],
) -> list[Bound]:
    if column.aside:
        return []
    target = resolve(column.to) if column.to else None
    if column.to and target is None:
        problem = f'"{column.to}" is no place in a record'
        raise complaint(mapping.path, column.to, problem, near(column.to, paths()))
    read = readers(column.read, context(mapping, column))
    blank = frozenset(fold(text) for text in mapping.blank)
    bound = []
    for index, star in found.all(column.headings):
        beside = {name: i for name in BESIDE if (i := _beside(column, name, star, found)) is not None}
        table = tables[column.lookup] if column.lookup else None
        bound.append(Bound(index, column, target, read, blank, beside=beside, table=table))
    return bound


def _beside(column: model.Column, name: str, star: str, found: Headings) -> int | None:
    heading = getattr(column, f"{name}_from")
    return found.first(heading.replace("*", star)) if heading else None


def _tie_carrier(bound: list[Bound], mapping: model.Mapping, readers: Readers) -> None:
    carrier = next((one for one in bound if one.column.read == "carrier"), None)
    for one in bound if carrier else ():
        if one.column.read in ("date", "duration"):
            one.carrier = carrier
            one.read_for = _reader_for(mapping, one.column, readers)


def _reader_for(mapping: model.Mapping, column: model.Column, readers: Readers) -> Callable[[str, str], Reading]:
    plain = context(mapping, column)

    def read(text: str, term: str) -> Reading:
        return readers(column.read, msgspec.structs.replace(plain, carrier=term))(text)

    return read


def context(mapping: model.Mapping, column: model.Column) -> Context:
    """What a mapping states about the values of a column."""
    stated = {
        "day_first": column.day_first if column.day_first is not None else mapping.day_first,
        "minutes_first": column.minutes_first if column.minutes_first is not None else mapping.minutes_first,
        "episode_pattern": column.episode_pattern or mapping.episode_pattern or None,
        "fps": column.fps or mapping.fps or None,
        "century_pivot": mapping.century_pivot,
        "house_files": tuple(str(Path(mapping.path).parent / name) for name in mapping.vocabularies),
    }
    return Context(**{name: value for name, value in stated.items() if value is not None})  # type: ignore[arg-type]


def near(text: str, names: Sequence[str]) -> str:
    """A next step that offers the names most like a text."""
    from rapidfuzz import process

    best = [name for name, score, _ in process.extract(text, names, limit=3) if score > 60]
    return f"did you mean {' or '.join(best)}?" if best else f"use one of: {', '.join(names)}"


def _fixed(mapping: model.Mapping, found: Headings, bound: list[Bound]) -> dict[int, Entry]:
    fixed: dict[int, Entry] = {}
    for column in mapping.column:
        if column.aside:
            entry = Entry(Account.SET_ASIDE, column.aside)
            fixed |= {index: entry for index, _ in found.all(column.headings)}
    used = {one.index for one in bound} | {i for one in bound for i in one.beside.values()} | _quoted(mapping, found)
    unnamed = Entry(Account.REFUSED, "no entry of the mapping names this column", "MP01")
    fixed |= {index: unnamed for index in range(found.width) if index not in used and index not in fixed}
    return fixed


def _quoted(mapping: model.Mapping, found: Headings) -> set[int]:
    names = [name for constant in mapping.constant for name in Template.parse(constant.value).headings]
    names += [skip.heading for skip in mapping.skip] + mapping.asset_key
    return {index for name in names if (index := _named(mapping, found, name)) is not None}


def _named(mapping: model.Mapping, found: Headings, name: str) -> int | None:
    """The column with that heading, or with another spelling that the mapping gives for it."""
    spellings = next((column.headings for column in mapping.column if name in column.headings), [name])
    return next((index for index, _ in found.all(spellings)), None)


def _key_indices(mapping: model.Mapping, found: Headings) -> list[int]:
    indices = []
    for name in mapping.asset_key:
        index = _named(mapping, found, name)
        if index is not None:
            indices.append(index)
    if mapping.asset_key and not indices:
        headings = ", ".join(text for text in found.texts.values() if text)
        raise MappingError(found.place, f"has no column of the asset key ({', '.join(mapping.asset_key)})",
                           f"headings found: {headings}")  # fmt: skip
    return indices


def _quoting(mapping: model.Mapping, spec: model.Constant, found: Headings) -> Quoting:
    template = Template.parse(spec.value)
    template.bind(lambda name: _named(mapping, found, name))
    return Quoting(spec, template)


def constant_made(mapping: model.Mapping, spec: model.Contents, text: str) -> Made:
    """The element of a constant or a mark."""
    target = resolve(spec.to)
    if target is None:
        raise complaint(mapping.path, spec.to, f'"{spec.to}" is no place in a record', near(spec.to, paths()))
    made = element_of(target, companions(spec, {})).made(text, spec, How.EXACT.value, "constant of the mapping")
    spare = isinstance(spec, model.Constant) and spec.when_missing
    return msgspec.structs.replace(made, spare=True, straight=None) if spare else made


def _skip(
    mapping: model.Mapping, skip: model.Skip, found: Headings
) -> tuple[int, frozenset[str], re.Pattern[str] | None, str]:
    index = found.first(skip.heading)
    assert index is not None
    try:
        pattern = re.compile(skip.pattern) if skip.pattern else None
    except re.error as error:
        raise complaint(mapping.path, "pattern", f"is no regular expression: {error}", "mend it") from error
    return index, frozenset(fold(text) for text in skip.texts), pattern, skip.reason


def _columns(sheet: SheetLike, found: Headings, by_index: dict[int, Bound]) -> Columns:
    fields = [by_index[i].column.to if i in by_index else "" for i in range(found.width)]
    headings = [found.texts.get(i, "") for i in range(found.width)]
    return columns_of(_addresses(sheet.address, 0, found.width), headings, fields)


def _addresses(address: Callable[[int, int], str], first: int, last: int) -> list[tuple[str, str]]:
    """What stands before and after the row number in the addresses of some columns."""
    stand_in = 999_999_999
    parted = (address(stand_in, index).partition(str(stand_in)) for index in range(first, last))
    return [(before, after) for before, _, after in parted]


def unmatched(mapping: model.Mapping, plans: Sequence[Plan]) -> list[Finding]:
    """The entries of a mapping whose headings no sheet has: MP02, one finding an entry."""
    folded = {fold(heading) for plan in plans for heading in plan.headings}
    findings = []
    for column in mapping.column:
        if not any(_star(spelling, text) or fold(spelling) == text for spelling in column.headings for text in folded):
            message = f'no sheet has a column "{column.headings[0]}"'
            findings.append(finding("MP02", Origin(file=mapping.path), message, value=column.headings[0]))
    return findings


def wanted(mapping: model.Mapping, sheet_name: str) -> bool:
    """Whether the mapping is for the sheet of that name.

    >>> wanted(model.Mapping(sheets=["Video 19*"]), "Video 1960s")
    True
    """
    name = fold(sheet_name)
    return not mapping.sheets or any(fnmatch.fnmatchcase(name, fold(pattern)) for pattern in mapping.sheets)

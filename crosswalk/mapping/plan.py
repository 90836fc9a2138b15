"""A mapping bound to one sheet: which column fills what, which cells end elsewhere, and which rows belong together."""

from __future__ import annotations

import fnmatch
import re
from collections.abc import Callable, Mapping, Sequence
from operator import itemgetter
from pathlib import Path
from typing import Protocol, TypeAlias

import msgspec

from crosswalk.errors import MappingError
from crosswalk.findings import Finding, Origin, Severity, finding
from crosswalk.ledger import Account, Columns, Entry, columns_of
from crosswalk.mapping import model
from crosswalk.mapping.columns import Bound, Outcome
from crosswalk.mapping.headings import Headings, SheetLike, star
from crosswalk.mapping.keys import KeyPart, key_parts
from crosswalk.mapping.made import NO_CELL, ElementOf, Filled, Made, companions, element_of, fill
from crosswalk.mapping.places import alike, place
from crosswalk.mapping.templates import Template
from crosswalk.records import Evidence
from crosswalk.values.folding import fold
from crosswalk.values.reading import Context, How, Reading
from crosswalk.vocabularies import own_terms

BESIDE = ("role", "type", "unit", "source", "annotation")  # what `X-from` may take from another column


Hot: TypeAlias = list[tuple[int, Callable[[str], Outcome | None], Bound]]  # index, the column's memory, the column


class Readers(Protocol):
    """Gives a function that reads texts: the parser by name, its context, decisions first."""

    def __call__(self, name: str, context: Context) -> Callable[[str], Reading]: ...  # noqa: D102

    def sound(self, name: str) -> Callable[[str], bool] | None:
        """What tells of a text that the parser reads it as just itself; None where nothing does."""


class Quoting(msgspec.Struct):
    """A constant that quotes columns, and so is made a row at a time."""

    template: Template
    element: ElementOf

    @property
    def indices(self) -> list[int]:
        """The columns that it quotes."""
        return [index for segment in self.template.segments for index in segment.indices if index is not None]


class Plan(msgspec.Struct):
    """One sheet, ready to be read. `fixed` are the cells of a column that always end elsewhere than the record."""

    mapping: model.Mapping
    file: str
    sheet: str
    width: int
    bound: list[Bound]
    fixed: dict[int, Entry]
    keys: list[int]  # the columns of the asset key
    settled: list[Filled]  # constants that are the same in every row
    quoting: list[Quoting]
    marks: list[tuple[model.MarkRule, int | None, ElementOf]]
    skips: list[tuple[int, frozenset[str], re.Pattern[str] | None, str]]
    columns: Columns
    address: Callable[[int, int], str]
    ditto: frozenset[str]
    by_index: dict[int, Bound]
    headings: list[str]
    hot: Hot = []
    hot_again: Hot = []  # what is left of them where `shared` reads what it read in the row before
    shared: Callable[[list[str]], tuple[object, ...]] | None = None  # the cells that asset columns are read from
    reach: int = 0  # how many cells a row must have for all that
    companions: dict[int, tuple[int, ...]] = {}  # columns that only say more about others -> those others
    key_parts: list[KeyPart] = []  # what gives the parts of a row's key
    quoted_only: tuple[int, ...] = ()  # columns that are carried in constants alone
    private: frozenset[int] = frozenset()  # columns that never go to the public
    unnamed: set[int] = set()  # columns that no entry names and that were not yet seen with content

    def widen(self, width: int) -> None:
        """Gives addresses to cells that stand beyond the last heading."""
        beyond = _addresses(self.address, len(self.columns.before), width)
        more = columns_of(beyond, [""] * len(beyond), [""] * len(beyond), self.file)
        self.columns.before += more.before
        self.columns.heading += more.heading
        self.columns.field += more.field

    def warm(self) -> None:
        """Prepares the loop over the columns; to be called once their readers are settled."""
        of_asset = [one for one in self.bound if one.of_asset]
        self.hot = [(one.index, one.memo.get, one) for one in self.bound]
        self.hot_again = [(one.index, one.memo.get, one) for one in self.bound if not one.of_asset]
        cells = sorted({index for one in of_asset for index in (one.index, *one.beside.values())})
        self.shared = itemgetter(*cells) if len(cells) > 1 else None
        self.reach = 1 + max((index for one in self.bound for index in (one.index, *one.beside.values())), default=-1)

    def value(self, index: int, texts: list[str]) -> str:
        """The normalised value of a cell, "" where it is empty; the text itself where nothing reads the column."""
        if index >= len(texts) or not texts[index].strip():
            return ""
        bound = self.by_index.get(index)
        return bound.value(texts) if bound else texts[index].strip()


def bind(
    mapping: model.Mapping,
    sheet: SheetLike,
    readers: Readers,
    tables: Mapping[model.Lookup, Mapping[str, str]],
) -> Plan:
    """Binds a mapping to a sheet. Raises `MappingError` where it names what cannot be."""
    found = Headings(mapping, sheet)
    bound = [one for column in mapping.column for one in _bind_column(mapping, column, found, readers, tables)]
    quoting = [_quoting(mapping, spec, found) for spec in mapping.constant if spec.quotes]
    keys = _key_indices(mapping, found)
    uses = _uses(bound, quoting, keys)
    bound += _unentered(mapping, bound, uses.quoted.union(uses.mains, keys), readers, found)
    _tie_carrier(bound, mapping, readers)
    by_index: dict[int, Bound] = {}
    for one in sorted(bound, key=lambda one: one.target is None):
        by_index.setdefault(one.index, one)
    for one in bound:
        one.file, one.sheet, one.sound = Path(sheet.file).name, sheet.name, readers.sound(one.column.read)
        _join(one, by_index)
    fixed = _fixed(mapping, found, uses)
    plan = Plan(
        mapping=mapping, file=Path(sheet.file).name, sheet=sheet.name, width=found.width,
        bound=bound, fixed=fixed, keys=keys,
        settled=[_settled(mapping, spec, sheet) for spec in mapping.constant if not spec.quotes],
        quoting=[_in_house(one, by_index) for one in quoting],
        marks=[mark for rule in mapping.mark if (mark := _mark(mapping, rule, found)) is not None],
        skips=[skip for spec in mapping.skip if (skip := _skip(spec, found)) is not None],
        columns=_columns(sheet, found, by_index), address=sheet.address,
        ditto=frozenset(map(fold, mapping.ditto)), by_index=by_index, headings=list(found.texts.values()),
        companions={i: mains for i, mains in uses.mains.items() if i not in uses.carried | uses.quoted},
        unnamed={index for index, entry in fixed.items() if entry.code},
        quoted_only=tuple(sorted(uses.quoted - uses.carried - set(uses.mains))),
        private=frozenset(one.index for one in bound if one.target is not None and not one.column.public),
    )  # fmt: skip
    plan.key_parts = key_parts(mapping.asset_key, found.named, plan.value)
    return plan


class _Uses(msgspec.Struct):
    """What the columns of a sheet serve: `mains` are the columns that a companion says more about."""

    carried: set[int]
    quoted: set[int]
    mains: dict[int, tuple[int, ...]]
    keys: set[int]


def _uses(bound: list[Bound], quoting: list[Quoting], keys: list[int]) -> _Uses:
    mains: dict[int, tuple[int, ...]] = {}
    for one in bound:
        for index in one.beside.values():
            mains[index] = (*mains.get(index, ()), one.index)
    carried = {one.index for one in bound if one.target is not None}
    return _Uses(carried, {i for one in quoting for i in one.indices}, mains, set(keys))


def _unentered(
    mapping: model.Mapping, bound: list[Bound], serving: set[int], readers: Readers, found: Headings
) -> list[Bound]:
    """Columns that no entry carries, and that are part of the key, quoted, or said beside another. What an entry that
    sets them aside keeps in the house stays there."""
    column = model.Column(heading="")
    house = msgspec.structs.replace(column, public=False)
    kept = {index for one in mapping.column if not one.public for index, _ in found.all(one.headings)}
    read, blank = readers(column.read, context(mapping, column)), frozenset(map(fold, mapping.blank))
    entered = {one.index for one in bound}
    return [Bound(i, house if i in kept else column, None, read, blank) for i in sorted(serving - entered)]


def _join(one: Bound, by_index: dict[int, Bound]) -> None:
    """Ties a column to those that fill attributes of its elements. What one of them keeps in the house, all keep."""
    one.read_beside = {index: by_index[index] for index in one.beside.values()}
    if any(not beside.column.public for beside in one.read_beside.values()):
        one.column = msgspec.structs.replace(one.column, public=False)


def _in_house(one: Quoting, by_index: dict[int, Bound]) -> Quoting:
    """A constant that quotes a column of the house stays in the house."""
    if any(not by_index[index].column.public for index in one.indices):
        one.element = msgspec.structs.replace(one.element, public=False)
    return one


def _bind_column(
    mapping: model.Mapping,
    column: model.Column,
    found: Headings,
    readers: Readers,
    tables: Mapping[model.Lookup, Mapping[str, str]],
) -> list[Bound]:
    if column.aside:
        return []
    target = place(mapping, column) if column.to else None
    read = readers(column.read, context(mapping, column))
    blank = frozenset(fold(text) for text in mapping.blank)
    bound = []
    for index, stood in found.all(column.headings):
        beside = {name: i for name in BESIDE if (i := _beside(column, name, stood, found)) is not None}
        table = tables[column.lookup] if column.lookup else None
        bound.append(Bound(index, column, target, read, blank, beside, own=own(mapping, column), table=table))
    return bound


def own(mapping: model.Mapping, column: model.Column) -> Mapping[str, str]:
    """The terms of the house that a column may give, each with the list of the house that has it."""
    return own_terms(column.read, *context(mapping, column).house_files)


def _beside(column: model.Column, name: str, stood: str, found: Headings) -> int | None:
    heading = getattr(column, f"{name}_from")
    return found.named(heading.replace("*", stood)) if heading else None


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
        "bare_unit": column.bare_unit or None,
        "point_is_clock": column.point_is_clock,
        "day_counts": column.day_counts,
        "options": tuple(column.options.items()) or None,
        "house_files": tuple(str(Path(mapping.path).parent / name) for name in mapping.vocabularies),
    }
    return Context(**{name: value for name, value in stated.items() if value is not None})  # type: ignore[arg-type]


def _fixed(mapping: model.Mapping, found: Headings, uses: _Uses) -> dict[int, Entry]:
    """The cells that end elsewhere whatever they say: set aside by the mapping, of service only, or not named."""
    serving = Entry(Account.SET_ASIDE, "only says which rows belong together, or which are left out")
    unnamed = Entry(Account.REFUSED, "no entry of the mapping carries this column", "MP01")
    kept = uses.carried | uses.quoted | set(uses.mains)
    skips = {index for skip in mapping.skip if (index := found.named(skip.heading)) is not None}
    fixed = dict.fromkeys((uses.keys | skips) - kept, serving)
    for column in mapping.column:
        if column.aside:
            entry = Entry(Account.SET_ASIDE, column.aside)
            fixed |= {index: entry for index, _ in found.all(column.headings) if index not in kept}
    return fixed | {index: unnamed for index in range(found.width) if index not in kept and index not in fixed}


def _key_indices(mapping: model.Mapping, found: Headings) -> list[int]:
    indices = []
    for name in mapping.key_headings:
        index = found.named(name)
        if index is not None:
            indices.append(index)
    if mapping.asset_key and not indices:
        headings = ", ".join(text for text in found.texts.values() if text)
        raise MappingError(found.place, f"has no column of the asset key ({', '.join(mapping.asset_key)})",
                           f"headings found: {headings}")  # fmt: skip
    return indices


def _quoting(mapping: model.Mapping, spec: model.Constant, found: Headings) -> Quoting:
    template = Template.parse(spec.value)
    template.bind(found.named)
    return Quoting(template, _element(mapping, spec))


def _element(mapping: model.Mapping, spec: model.Contents) -> ElementOf:
    """What a constant or a mark fills."""
    return element_of(place(mapping, spec), companions(spec, {}), spec)


def _settled(mapping: model.Mapping, spec: model.Constant, sheet: SheetLike) -> Filled:
    """A constant needs no evidence, but where it is to stay in the house."""
    made = constant_made(_element(mapping, spec), spec.value)
    kept = Evidence("", Path(sheet.file).name, sheet.name, 0, NO_CELL, made.how, made.rule, public=False)
    return fill(made, None if made.element.public else kept)


def constant_made(element: ElementOf, text: str) -> Made:
    """The element of a constant or a mark."""
    return element.made(text, How.EXACT.value, "constant of the mapping")


def _mark(
    mapping: model.Mapping, rule: model.MarkRule, found: Headings
) -> tuple[model.MarkRule, int | None, ElementOf] | None:
    """A mark of one column means nothing on a sheet that lacks the column."""
    index, element = found.named(rule.heading) if rule.heading else None, _element(mapping, rule)
    return None if rule.heading and index is None else (rule, index, element)


def _skip(spec: model.Skip, found: Headings) -> tuple[int, frozenset[str], re.Pattern[str] | None, str] | None:
    index = found.named(spec.heading)
    pattern = re.compile(spec.pattern) if spec.pattern else None
    return None if index is None else (index, frozenset(map(fold, spec.texts)), pattern, spec.reason)


def _columns(sheet: SheetLike, found: Headings, by_index: dict[int, Bound]) -> Columns:
    fields = [by_index[i].column.to if i in by_index else "" for i in range(found.width)]
    headings = [found.texts.get(i, "") for i in range(found.width)]
    return columns_of(_addresses(sheet.address, 0, found.width), headings, fields, Path(sheet.file).name)


def _addresses(address: Callable[[int, int], str], first: int, last: int) -> list[tuple[str, str]]:
    """What stands before and after the row number in the addresses of some columns."""
    stand_in = 999_999_999
    parted = (address(stand_in, index).partition(str(stand_in)) for index in range(first, last))
    return [(before, after) for before, _, after in parted]


def unmatched(mapping: model.Mapping, plans: Sequence[Plan]) -> list[Finding]:
    """The headings of a mapping that no sheet has: MP02, one finding an entry."""
    headings = list(dict.fromkeys(heading for plan in plans for heading in plan.headings if heading))
    folded = {fold(heading) for heading in headings}
    claimed = {fold(spelling) for spellings, _ in model.named(mapping) for spelling in spellings}
    findings = []
    for spellings, use in model.named(mapping):
        if not any(star(spelling, text) or fold(spelling) == text for spelling in spellings for text in folded):
            message = f'no sheet has a column "{spellings[0]}"' + (f", which {use} names" if use else "")
            like = tuple(alike(spellings[0], [h for h in headings if fold(h) not in claimed]))
            origin = Origin(file=mapping.path)
            worth = _worth(like)
            findings.append(finding("MP02", origin, message, value=spellings[0], suggestions=like, severity=worth))
    return findings


def _worth(like: Sequence[str]) -> Severity | None:
    """A heading that nearly matches is a slip that a person should look at; another is perhaps not on this sheet."""
    return Severity.WARNING if like else None


def wanted(mapping: model.Mapping, sheet_name: str) -> bool:
    """Whether the mapping is for the sheet of that name.

    >>> wanted(model.Mapping(sheets=["Video 19*"]), "Video 1960s")
    True
    """
    name = fold(sheet_name)
    return not mapping.sheets or any(fnmatch.fnmatchcase(name, fold(pattern)) for pattern in mapping.sheets)

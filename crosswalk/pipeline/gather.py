"""Sheets to groups of rows: opens the sheets, binds the mappings, brings the rows of each asset together.

All rows are seen once before any is mapped: that lets a column's own evidence decide the order of day and month, and
brings together rows that are not adjacent.
"""

from __future__ import annotations

import importlib.util
from collections.abc import Callable, Iterable, Iterator
from pathlib import Path

import msgspec

from crosswalk.errors import MappingError
from crosswalk.findings import Origin, finding
from crosswalk.ledger import Account, Entry
from crosswalk.mapping.columns import Bound
from crosswalk.mapping.model import Lookup, Mapping, load_mapping
from crosswalk.mapping.plan import Plan, Readers, bind, context, near, unmatched, wanted
from crosswalk.mapping.rows import key_of, skipped
from crosswalk.mapping.store import RowStore, StoredRow
from crosswalk.pipeline.run import Run
from crosswalk.resources import mappings_dir
from crosswalk.sheets import Kind, ReadOptions, Role, Row, Sheet, open_sheets
from crosswalk.tomlio import complaint
from crosswalk.values.folding import fold
from crosswalk.values.reading import Context, Parser, Reading
from crosswalk.values.registry import PARSERS, parser

BY_EVIDENCE = ("date", "duration")  # kinds of value for which a column's other values are evidence
EVIDENCE = 20_000  # distinct texts of a column that are looked at

ERRORS = {Kind.ERROR: "SH13", Kind.EMPTY_FORMULA: "SH14"}


class Source(msgspec.Struct):
    """One sheet under way: its plan, and the distinct texts of the columns whose values are evidence."""

    sheet: Sheet
    plan: Plan
    evidence: list[tuple[Bound, set[str]]]


def find_mapping(name: str, beside: Path | None = None) -> Path:
    """The mapping file of that name: a path, a file beside the job, or one of the shipped ones."""
    candidates = [Path(name), *([beside / name, beside / f"{name}.toml"] if beside else [])]
    candidates.append(mappings_dir() / "house" / f"{name}.toml")
    found = next((path for path in candidates if path.is_file()), None)
    if found is None:
        shipped = ", ".join(sorted(path.stem for path in (mappings_dir() / "house").glob("*.toml")))
        raise MappingError(name, "there is no such mapping", f"give a file, or one of: {shipped}")
    return found


def gather(files: Iterable[tuple[Path, list[Path]]], store: RowStore, run: Run) -> list[Source]:
    """Reads all sheets into the store. Each file comes with the mappings that read it. Returns the bound sheets, in the
    order of their numbers in the store."""
    sources: list[Source] = []
    for path, mapping_paths in files:
        for source in _open(path, [load_mapping(mapping) for mapping in mapping_paths], run):
            sources.append(source)
            _read_rows(source, len(sources) - 1, store, run)
            run.log.add(source.sheet.findings)
    for source in sources:
        _settle_evidence(source)
    return sources


def _open(path: Path, mappings: list[Mapping], run: Run) -> Iterator[Source]:
    read: set[str] = set()
    for mapping in mappings:
        sheets = open_sheets(path, _read_options(mapping))
        chosen = [sheet for sheet in sheets if wanted(mapping, sheet.name) or not sheet.name]
        if not chosen:
            raise MappingError(path, f"has no sheet that {mapping.path} names ({', '.join(mapping.sheets)})",
                               f"its sheets are: {', '.join(sheet.name for sheet in sheets)}")  # fmt: skip
        tables = {column.lookup: _table(path, column.lookup, run) for column in mapping.column if column.lookup}
        plans = [bind(mapping, sheet, _readers(mapping), tables) for sheet in chosen]
        run.log.add(unmatched(mapping, plans))
        read.update(sheet.name for sheet in chosen)
        for sheet, plan in zip(chosen, plans, strict=True):
            yield Source(sheet, plan, [(one, set()) for one in plan.bound if one.column.read in BY_EVIDENCE])
    _report_unread(path, mappings, read, run)


def _read_options(mapping: Mapping) -> ReadOptions:
    known = {fold(heading) for column in mapping.column for heading in column.headings}
    return ReadOptions(
        known_headings=frozenset(known), header_row=mapping.header_row, header_rows=mapping.header_rows,
        marks=bool(mapping.mark), totals=tuple(mapping.totals), sheets=tuple(mapping.sheets),
    )  # fmt: skip


def _report_unread(path: Path, mappings: list[Mapping], read: set[str], run: Run) -> None:
    used = {fold(column.lookup.sheet) for mapping in mappings for column in mapping.column if column.lookup}
    if all(mapping.sheets for mapping in mappings):
        for sheet in open_sheets(path):
            if sheet.name not in read and fold(sheet.name) not in used:
                place = Origin(file=str(path), cell=sheet.name)
                run.log.add([finding("MP09", place, f'no mapping names the sheet "{sheet.name}"; it was not read')])


def _table(path: Path, lookup: Lookup, run: Run) -> dict[str, str]:
    sheet = next((sheet for sheet in open_sheets(path) if fold(sheet.name) == fold(lookup.sheet)), None)
    if sheet is None:
        raise MappingError(path, f'has no look-up sheet "{lookup.sheet}"', "name the sheet as the workbook does")
    index = {fold(heading.text): heading.index for heading in sheet.headings}
    missing = [name for name in (lookup.key, lookup.value) if fold(name) not in index]
    if missing:
        raise MappingError(path, f'look-up sheet "{lookup.sheet}" has no column {missing[0]}', "check its headings")
    key, value = index[fold(lookup.key)], index[fold(lookup.value)]
    rows = (row.texts for row in set_aside(sheet, "look-up sheet", run))
    return {fold(texts[key]): texts[value].strip() for texts in rows if max(key, value) < len(texts)}


def set_aside(sheet: Sheet, why: str, run: Run) -> Iterator[Row]:
    """The rows of a sheet that decides or explains something and is itself carried nowhere; all its cells are set
    aside in the ledger as the rows pass."""
    plan = bind(Mapping(), sheet, _readers(Mapping()), {})
    for row in sheet.outside:
        _whole_row(plan, row, Account.SET_ASIDE, row.role.value, "", run)
    for row in sheet.rows():
        _whole_row(plan, row, Account.SET_ASIDE, why, "", run)
        yield row


def _readers(mapping: Mapping) -> Readers:
    own = _converters(mapping)

    def readers(name: str, context: Context) -> Callable[[str], Reading]:
        plain = name.replace("-", "_")
        if name not in own and plain not in PARSERS:
            names = sorted({*(known.replace("_", "-") for known in PARSERS), *own})
            raise complaint(mapping.path, name, f'there is no parser "{name}"', near(name, names))
        parse = own.get(name) or parser(plain)
        return lambda text: parse(text, context)

    return readers


def _converters(mapping: Mapping) -> dict[str, Parser]:
    """The parsers that a house's own module beside the mapping registers in its `PARSERS`."""
    if not mapping.converters:
        return {}
    path = Path(mapping.path).parent / mapping.converters
    spec = importlib.util.spec_from_file_location(f"crosswalk_house_{path.stem}", path)
    if spec is None or spec.loader is None or not path.is_file():
        raise MappingError(mapping.path, f'there is no module "{mapping.converters}" beside it', "check the name")
    module = importlib.util.module_from_spec(spec)
    spec.loader.exec_module(module)
    found: dict[str, Parser] = module.PARSERS
    return found


def _read_rows(source: Source, number: int, store: RowStore, run: Run) -> None:
    plan, sheet, ledger = source.plan, source.sheet, run.ledger
    for row in sheet.outside:
        _whole_row(plan, row, Account.SET_ASIDE, row.role.value, "", run)
    above = StoredRow(number, 0, [])
    for count, row in enumerate(sheet.rows(), 1):
        reason = row.role.value if row.role is not Role.DATA else skipped(plan, row.texts)
        if reason:
            _whole_row(plan, row, Account.SET_ASIDE, reason, "", run)
            continue
        stored = StoredRow(number, row.number, row.texts)
        if row.kinds or row.marks or plan.ditto:
            _remarks(plan, row, stored, above, run)
        above = stored
        key = key_of(plan, stored) if plan.keys else f"{number}\x1f{row.number}"
        if not key:
            _without_key(plan, row, run)
            continue
        if len(row.texts) > len(plan.columns.before):
            plan.widen(len(row.texts))
        ledger.read(len(row.texts) - row.texts.count(""))
        for bound, texts in source.evidence:
            if bound.index < len(stored.texts) and len(texts) < EVIDENCE:
                texts.add(stored.texts[bound.index])
        store.add(key, stored)
        if count % 2_000 == 0:
            run.progress("reading", count)


def _whole_row(plan: Plan, row: Row, account: Account, why: str, code: str, run: Run) -> None:
    if len(row.texts) > len(plan.columns.before):
        plan.widen(len(row.texts))
    entry = Entry(account, why, code)
    entries = {index: entry for index, text in enumerate(row.texts) if text}
    run.ledger.read(len(entries))
    run.ledger.row(plan.columns, row.number, row.texts, "", account, entries)


def _without_key(plan: Plan, row: Row, run: Run) -> None:
    place = Origin(file=plan.file, cell=plan.address(row.number, plan.keys[0].index))
    names = " and ".join(plan.mapping.asset_key)
    run.log.add([finding("MP03", place, f"the row has nothing in {names}: it belongs to no asset")])
    _whole_row(plan, row, Account.REFUSED, "belongs to no asset", "MP03", run)


def _remarks(plan: Plan, row: Row, stored: StoredRow, above: StoredRow, run: Run) -> None:
    """What a row says beside its texts: errors, marks, and ditto marks, resolved here in the order of the sheet."""
    if row.kinds:
        stored.errors = {index: ERRORS[kind] for index, kind in row.kinds.items() if kind in ERRORS}
    if row.marks:
        stored.marks = [(index, mark.fill, mark.struck, mark.note) for index, mark in row.marks.items()]
    if plan.ditto and not plan.ditto.isdisjoint(row.texts):
        stored.texts = list(row.texts)
        for index, text in enumerate(row.texts):
            if text in plan.ditto:
                _ditto(plan, row, stored, index, above, run)


def _ditto(plan: Plan, row: Row, stored: StoredRow, index: int, above: StoredRow, run: Run) -> None:
    repeated = above.texts[index] if index < len(above.texts) else ""
    if repeated:
        stored.dittos[index] = (row.texts[index], above.number)
        stored.texts[index] = repeated
        return
    stored.errors[index] = "MP04"
    place = Origin(file=plan.file, cell=plan.address(row.number, index))
    run.log.add([finding("MP04", place, f"{row.texts[index]} repeats the cell above it, and nothing stands there")])


def _settle_evidence(source: Source) -> None:
    from crosswalk.values.columns import column_context

    readers = _readers(source.plan.mapping)
    for bound, texts in source.evidence:
        stated = context(source.plan.mapping, bound.column)
        settled = column_context(bound.column.read, sorted(texts), stated)
        bound.read = readers(bound.column.read, settled)
        if bound.carrier is not None:
            bound.read_for = _for_carrier(readers, bound.column.read, settled)
        bound.memo.clear()
    source.plan.warm()


def _for_carrier(readers: Readers, name: str, settled: Context) -> Callable[[str, str], Reading]:
    def read(text: str, term: str) -> Reading:
        return readers(name, msgspec.structs.replace(settled, carrier=term))(text)

    return read

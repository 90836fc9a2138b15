"""Sheets to groups of rows: opens the sheets, binds the mappings, brings the rows of each asset together.

All rows are seen once before any is mapped: that lets a column's own evidence decide the order of day and month, and
brings together rows that are not adjacent.
"""

from __future__ import annotations

import tomllib
from collections.abc import Callable, Iterable, Iterator
from pathlib import Path

import msgspec

from crosswalk.errors import MappingError, UnreadableInput
from crosswalk.findings import Finding, Origin, finding
from crosswalk.ledger import Account, Entry
from crosswalk.mapping.columns import Bound
from crosswalk.mapping.dittos import Dittos
from crosswalk.mapping.examples import differences
from crosswalk.mapping.model import Mapping
from crosswalk.mapping.plan import Plan, Readers, bind, context, unmatched
from crosswalk.mapping.readers import readers_of
from crosswalk.mapping.rows import key_of, skipped, unnamed
from crosswalk.mapping.store import RowStore, StoredRow
from crosswalk.pipeline.assign import Assigned, assign, lookup_sheets, lookup_tables
from crosswalk.pipeline.run import Run
from crosswalk.resources import mappings_dir
from crosswalk.sheets import Kind, Mark, ReadOptions, Role, Row, Sheet, open_sheets, sheet_names
from crosswalk.sheets.dress import looks
from crosswalk.values.folding import fold
from crosswalk.values.reading import Context, Reading

BY_EVIDENCE = ("date", "duration")  # kinds of value for which a column's other values are evidence
HOURS_OF_A_DAY = 24
EVIDENCE = 20_000  # distinct texts of a column that are looked at

ERRORS = {Kind.ERROR: "SH13", Kind.EMPTY_FORMULA: "SH14", Kind.COVERED: "SH28", Kind.PART_STRUCK: "SH29"}


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
        shipped = ", ".join(shipped_mappings())
        raise MappingError(name, "there is no such mapping", f"give a file, or one of: {shipped}")
    return found


def shipped_mappings() -> list[str]:
    """The names of the shipped mappings; the files of terms that stand beside them are none.

    >>> "merrow-video" in shipped_mappings(), "merrow-terms" in shipped_mappings()
    (True, False)
    """
    files = (mappings_dir() / "house").glob("*.toml")
    return sorted(path.stem for path in files if "vocabulary" not in tomllib.loads(path.read_text(encoding="utf-8")))


def gather(files: Iterable[tuple[Path, list[Path]]], store: RowStore, run: Run) -> list[Source]:
    """Reads all sheets into the store. Each file comes with the mappings that may read it; each sheet is read once, by
    the first of them that names it. Returns the bound sheets, in the order of their numbers in the store.

    Raises `UnreadableInput` where no sheet has a row: a failed export must not take the place of a good output."""
    sources: list[Source] = []
    assigned_files = assign(files)
    for path, assigned in assigned_files:
        for source in _open(path, assigned, run):
            sources.append(source)
            _read_rows(source, len(sources) - 1, store, run)
            run.log.add(map(by_name, source.sheet.findings))
    if not store.count and not any(row.role is Role.DATA for source in sources for row in source.sheet.rows()):
        names = ", ".join(str(path) for path, _ in assigned_files)
        step = "check that this is the file that was meant, and that its export did not fail"
        raise UnreadableInput(names, "has no row to read below a header", step)
    for source in sources:
        _settle_evidence(source, run)
    return sources


def _examples(mapping: Mapping, run: Run) -> Iterator[Finding]:
    """A finding for whatever differs from what the mapping's own examples expect, once a run."""
    if mapping.path in run.tried:
        return
    run.tried.add(mapping.path)
    for told in differences(mapping, readers_of(mapping)):
        yield finding("MP14", Origin(file=mapping.path), told)


def by_name(found: Finding) -> Finding:
    """A finding about a file of sheets under the file's name, as evidence and ledger have it, wherever it lies."""
    origin = msgspec.structs.replace(found.origin, file=Path(found.origin.file).name)
    return msgspec.structs.replace(found, origin=origin)


def _open(path: Path, assigned: list[Assigned], run: Run) -> Iterator[Source]:
    for mapping, _ in assigned:
        run.log.add(_examples(mapping, run))
    tables = lookup_tables(path, [mapping for mapping, _ in assigned], run, set_aside)
    for mapping, names in assigned:
        sheets = [sheet for sheet in open_sheets(path, _read_options(mapping, names)) if sheet.name in names]
        run.log.add(by_name(one) for sheet in sheets if not sheet.headings for one in sheet.findings)
        filled = [sheet for sheet in sheets if sheet.headings]
        plans = [bind(mapping, sheet, readers_of(mapping, run.decisions), tables) for sheet in filled]
        if plans:
            run.log.add(unmatched(mapping, plans))
        for sheet, plan in zip(filled, plans, strict=True):
            yield Source(sheet, plan, [(one, set()) for one in plan.bound if one.column.read in BY_EVIDENCE])
    _report_unread(path, assigned, run)


def _read_options(mapping: Mapping, names: list[str]) -> ReadOptions:
    named = [heading for column in mapping.column for heading in column.headings] + mapping.key_headings
    return ReadOptions(
        known_headings=frozenset(map(fold, named)), header_row=mapping.header_row, header_rows=mapping.header_rows,
        marks=bool(mapping.mark), looks=_looks(mapping), encoding=mapping.encoding, delimiter=mapping.delimiter,
        totals=tuple(mapping.totals), sheets=tuple(filter(None, names)),
    )  # fmt: skip


def _looks(mapping: Mapping) -> frozenset[str]:
    """What the marks of a mapping look for."""
    return frozenset(name for mark in mapping.mark for name in looks(Mark(mark.fill.upper(), mark.struck)))


def _report_unread(path: Path, assigned: list[Assigned], run: Run) -> None:
    read = {fold(name) for _, names in assigned for name in names} | lookup_sheets(mapping for mapping, _ in assigned)
    for name in sheet_names(path):
        if fold(name) not in read and (str(path.resolve()), name) not in run.also_read:
            place = Origin(file=path.name, cell=f"{name}!A1")
            run.log.add([finding("MP09", place, f'no mapping names the sheet "{name}"; it was not read')])


def set_aside(sheet: Sheet, why: str, run: Run) -> Iterator[Row]:
    """The rows of a sheet that decides or explains something and is itself carried nowhere; all its cells are set
    aside in the ledger as the rows pass."""
    plan = bind(Mapping(), sheet, readers_of(Mapping()), {})
    for row in sheet.outside:
        _whole_row(plan, row, Account.SET_ASIDE, row.role.value, "", run)
    for row in sheet.rows():
        _whole_row(plan, row, Account.SET_ASIDE, why, "", run)
        yield row


def _read_rows(source: Source, number: int, store: RowStore, run: Run) -> None:
    plan, sheet, ledger = source.plan, source.sheet, run.ledger
    for row in sheet.outside:
        _whole_row(plan, row, Account.SET_ASIDE, row.role.value, "", run)
    dittos = Dittos(plan, number)
    for count, row in enumerate(sheet.rows(), 1):
        if row.role is not Role.DATA:
            _whole_row(plan, row, Account.SET_ASIDE, row.role.value, "", run)
            continue
        stored = StoredRow(number, row.number, row.texts, moved=row.moved)
        if row.kinds or row.marks:
            _remarks(row, stored)
            _beyond_a_day(plan, row, run)
        found = dittos.resolve(stored) if plan.ditto else []
        reason = skipped(plan, stored.legible) if plan.skips else ""
        if reason:
            _whole_row(plan, row, Account.SET_ASIDE, reason, "", run)
            continue
        run.log.add(found)
        key = key_of(plan, stored) if plan.keys else f"{number}\x1f{row.number}"
        if not key:
            _without_key(plan, row, run)
            continue
        if len(row.texts) > len(plan.columns.before):
            plan.widen(len(row.texts))
        ledger.read(len(row.texts) - row.texts.count(""))
        if plan.unnamed:
            run.log.add(unnamed(plan, stored))
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
    place = Origin(file=plan.file, cell=plan.address(row.number, plan.keys[0]))
    names = " and ".join(plan.mapping.asset_key)
    run.log.add([finding("MP03", place, f"the row has nothing in {names}: it belongs to no asset")])
    _whole_row(plan, row, Account.REFUSED, "belongs to no asset", "MP03", run)


def _remarks(row: Row, stored: StoredRow) -> None:
    """What a row says beside its texts: errors and marks."""
    if row.kinds:
        stored.errors = {index: ERRORS[kind] for index, kind in row.kinds.items() if kind in ERRORS}
    if row.marks:
        stored.marks = [(index, mark.fill, mark.struck, mark.note) for index, mark in row.marks.items()]


def _beyond_a_day(plan: Plan, row: Row, run: Run) -> None:
    """Whoever types 25:03 for minutes and seconds leaves 25 hours in the workbook; a text of 25:03:00 is read as that
    person meant it, and said here."""
    for index, kind in row.kinds.items():
        hours, colon, _ = row.texts[index].partition(":")
        if kind is Kind.TIME and colon and hours.isdigit() and int(hours) >= HOURS_OF_A_DAY:
            place = Origin(file=plan.file, cell=plan.address(row.number, index))
            message = f'"{row.texts[index]}" is stored as {hours} hours; it is read as {hours} minutes'
            run.log.add([finding("MP15", place, message, value=row.texts[index])])


def _settle_evidence(source: Source, run: Run) -> None:
    from crosswalk.values.columns import column_context

    readers = readers_of(source.plan.mapping, run.decisions)
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

"""Records to documents in their place: written, validated, put in place, and only then accounted for as delivered."""

from __future__ import annotations

from collections import deque
from collections.abc import Callable, Iterable, Iterator
from typing import Protocol

import msgspec

from crosswalk.delivery.folder import OutputFolder
from crosswalk.findings import Finding, Severity
from crosswalk.ledger import Account, Entry
from crosswalk.mapping.assemble import Assembled, RowAccount
from crosswalk.pipeline.checking import DocumentCheck, document_check
from crosswalk.pipeline.run import Held, Run
from crosswalk.records import Record, located
from crosswalk.rights.gate import NOT_PUBLIC, Kept
from crosswalk.standards.base import Document, Standard, WriteOptions, standards


class Index(Protocol):
    """What notes identifiers and relations."""

    def add(self, record: Record, /) -> None:
        """Notes those of one record."""


class Item(msgspec.Struct):
    """One record on its way out, with the rows it came from and what was taken out of it."""

    record: Record
    rows: list[RowAccount] = []
    kept: list[Kept] = []


INVALID = "the schema does not accept it"


def produce(
    items: Iterable[Item],
    standard: Standard,
    options: WriteOptions,
    folder: OutputFolder,
    run: Run,
    prefix: str = "",
) -> None:
    """Writes records as a standard."""
    for document in produced(items, standard, options, run):
        folder.write(prefix + document.name, document.content)
        run.outcome.documents.append(prefix + document.name)
        run.progress("writing", run.outcome.delivered)


def produced(items: Iterable[Item], standard: Standard, options: WriteOptions, run: Run) -> Iterator[Document]:
    """Records as valid documents of a standard. A document that its schema refuses is written again without the records
    at fault; those are held."""
    assert standard.write is not None
    check = document_check(standard)
    if standard.records_valid_as:
        items = _each_valid(items, standards()[standard.records_valid_as], options, run)
    waiting: deque[Item] = deque()
    for document in standard.write(_fed(items, waiting), options):
        batch = [waiting.popleft() for _ in document.records]
        yield from _valid(document, batch, standard, options, check, run)
    while waiting:  # a standard whose documents name no records: they are in the last one
        settle(waiting.popleft(), run)


def _each_valid(items: Iterable[Item], standard: Standard, options: WriteOptions, run: Run) -> Iterator[Item]:
    """The records that are valid by themselves in a standard; the others are held."""
    check = document_check(standard)
    assert check is not None
    return (item for item in items if _alone(item, standard, options, check, run))


def _fed(items: Iterable[Item], waiting: deque[Item]) -> Iterator[Record]:
    for item in items:
        waiting.append(item)
        yield item.record


def _valid(
    document: Document,
    batch: list[Item],
    standard: Standard,
    options: WriteOptions,
    check: DocumentCheck | None,
    run: Run,
) -> Iterator[Document]:
    if check is None or check.accepts(document.content):
        for item in batch:
            settle(item, run)
        yield document
        return
    good = [item for item in batch if _alone(item, standard, options, check, run)]
    assert standard.write is not None
    for again in standard.write((item.record for item in good), options):
        if check.accepts(again.content):
            yield msgspec.structs.replace(again, name=document.name)
            for item in good:
                settle(item, run)


def _alone(item: Item, standard: Standard, options: WriteOptions, check: DocumentCheck, run: Run) -> bool:
    """Whether a record is valid by itself; where it is not, it is held and the findings say why."""
    assert standard.write is not None
    alone = msgspec.structs.replace(options, batch=1)
    found = [one for document in standard.write([item.record], alone) for one in check.content(document.content)]
    run.log.add(found)
    if any(one.severity is Severity.ERROR for one in found):
        hold(item.record, item.rows, INVALID, found[0].message, run)
        return False
    return True


def settle(item: Item, run: Run) -> None:
    """Accounts for a record that went out: its cells are delivered, but for those of what was taken out of it."""
    kept = _kept_texts(item) if item.kept else {}
    name, to = name_of(item.record), Account.DELIVERED
    for account in item.rows:
        entries = account.entries
        if kept:
            entries = entries | _kept_entries(account, kept)
        _account(account, entries, name, to, run)
    run.outcome.delivered += 1


def _kept_texts(item: Item) -> dict[tuple[str, str, int, str], str]:
    """Why a text of a column was taken out. What several rows say is held once, so that one cell speaks for all."""
    kept = {(e.file, e.sheet, e.row, e.column): one.why for one in item.kept for e in [one.evidence]}
    found: dict[tuple[str, str, int, str], str] = {}
    for account in item.rows:
        plan, row = account.plan, account.row
        for index, text in enumerate(row.texts):
            why = kept.get((plan.file, plan.sheet, row.number, index))
            if why:
                found[plan.file, plan.sheet, index, text] = why
    return found


def _kept_entries(account: RowAccount, kept: dict[tuple[str, str, int, str], str]) -> dict[int, Entry]:
    plan, texts = account.plan, account.row.texts
    entries: dict[int, Entry] = {}
    for index, text in enumerate(texts):
        why = kept.get((plan.file, plan.sheet, index, text))
        if why is None and text and index in plan.private:
            why = NOT_PUBLIC
        if why is not None:
            entries[index] = Entry(Account.KEPT_BACK, why)
    for index, mains in plan.companions.items():
        filled = [main for main in mains if main < len(texts) and texts[main]]
        if filled and index < len(texts) and texts[index] and all(main in entries for main in filled):
            entries[index] = entries[filled[0]]
    return {index: entry for index, entry in entries.items() if index not in account.entries}


def hold(record: Record, rows: list[RowAccount], why: str, reason: str, run: Run, cell: str = "") -> None:
    """Accounts for a record that does not go out."""
    name = name_of(record)
    run.outcome.held.append(Held(name, title_of(record), why, reason, cell))
    for account in rows:
        _account(account, account.entries, name, Account.KEPT_BACK, run)


def _account(account: RowAccount, entries: dict[int, Entry], name: str, to: Account, run: Run) -> None:
    run.ledger.row(account.plan.columns, account.row.number, account.row.texts, name, to, entries)


def name_of(record: Record) -> str:
    """The first identifier of a record, "" where it has none."""
    return record.identifiers[0].text if record.identifiers else ""


def title_of(record: Record) -> str:
    """The first title of an asset, "" where there is none."""
    titles = getattr(record, "titles", ())
    return titles[0].text if titles else ""


def checked(
    records: Iterable[Assembled], check: Callable[[Record], list[Finding]], run: Run, index: Index
) -> Iterator[Assembled]:
    """Passes on the records that may go out as far as the record rules are concerned; the rest is held. What only shows
    between records is noted in the index."""
    for number, assembled in enumerate(records, 1):
        run.log.add(assembled.findings)
        found = check(assembled.asset)
        if found:  # rarely; where the values came from is spelled out for the findings alone
            found = check(located(assembled.asset))
        index.add(assembled.asset)
        run.log.add(found)
        run.outcome.records += 1
        run.outcome.carriers += len(assembled.asset.instantiations)
        if number % 500 == 0:
            run.progress("mapping", number)
        lacking = next((one for one in found if one.code in INCOMPLETE), None)
        moved = next((account for account in assembled.rows if account.row.moved), None)
        if moved is not None:
            cell = moved.plan.address(moved.row.number, 0)
            hold(assembled.asset, assembled.rows, DISPLACED, MOVED[moved.row.moved], run, cell)
        elif lacking is not None:
            hold(assembled.asset, assembled.rows, "incomplete", lacking.message, run, lacking.origin.cell)
        else:
            yield assembled


DISPLACED = "cells may stand in wrong columns"
MOVED = {
    "SH04": "a quotation mark that was not meant to open a cell took in others",
    "SH05": "the row, or the one that its ditto marks repeat, has more cells than the header",
    "SH25": "the row, or the one that its ditto marks repeat, has fewer cells than all others",
    "SH23": "the row stands below a second header, which has columns in other places",
}  # by the code of the finding: what stays in the house may stand where it would go out
INCOMPLETE = {"RC01", "RC02"}  # without these elements and attributes a document is not valid

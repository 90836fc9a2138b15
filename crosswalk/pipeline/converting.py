"""`convert`: any readable input to any writable output."""

from __future__ import annotations

import csv
import io
from collections.abc import Callable, Iterable, Iterator
from contextlib import ExitStack, closing
from functools import partial
from pathlib import Path
from typing import TextIO

import msgspec

from crosswalk.checks.index import RecordIndex
from crosswalk.checks.place import Place
from crosswalk.checks.rules import check_record
from crosswalk.delivery.folder import ACCOUNT, OutputFolder
from crosswalk.errors import CannotContinue, UnreadableInput
from crosswalk.findings import Finding
from crosswalk.ledger import Ledger
from crosswalk.mapping.assemble import Assembled, assemble
from crosswalk.mapping.store import RowStore, StoredRow
from crosswalk.pipeline.blocks import Work, write_blocks
from crosswalk.pipeline.gather import Source, find_mapping, gather
from crosswalk.pipeline.produce import Index, Item, checked, produce
from crosswalk.pipeline.run import FindingLog, Options, Outcome, Run, Writer, steady_memory
from crosswalk.pipeline.targets import files_read, refuse_overwriting, refuse_within
from crosswalk.pipeline.walking import files_in, listed
from crosswalk.records import Asset, Collection, Record
from crosswalk.reports.kinds import render
from crosswalk.reports.run_report import report_of
from crosswalk.rights.gate import public_copy
from crosswalk.standards.base import ReadOptions, Standard, WriteOptions, standards
from crosswalk.standards.pbcore import collection_of
from crosswalk.tables import as_text
from crosswalk.writing import SHOWN, written_whole
from crosswalk.xmlio import NO_DOCTYPE, start_of

NAMES = ("ledger.csv", "findings.csv", "report.html", "held.csv")
LEDGER, FINDINGS, PAGE, HELD = (f"{ACCOUNT}/{name}" for name in NAMES)


def convert(inputs: str | Path | Iterable[str | Path], options: Options) -> Outcome:
    """Reads the inputs, writes them as `options.to` into `options.out`, and says what became of everything.

    Raises `CannotContinue` where an input cannot be read, a mapping makes no sense, or the output cannot be written;
    nothing is put in place then.
    """
    paths = listed(inputs)
    standard = writable(options.to)
    mappings = [find_mapping(name) for name in options.mappings]
    refuse_lossy(paths, mappings, options, walks=not mappings)
    with steady_memory(), ExitStack() as stack:
        folder = stack.enter_context(OutputFolder(Path(options.out)))
        run = open_run(options, folder, stack, is_sheet=bool(mappings))
        if mappings:
            _sheets(paths, mappings, standard, folder, run)
        else:
            written = msgspec.structs.replace(write_options(options, run), collection=collection_of_all(paths))
            produce(_from_documents(paths, run), standard, written, folder, run)
        if run.outcome.held:
            folder.write(HELD, held_list(run).encode("utf-8", SHOWN))
        return with_page(run.finish(is_sheet=bool(mappings)), "convert", folder)


def refuse_lossy(paths: list[Path], mappings: list[Path], options: Options, walks: bool = True) -> None:
    """Raises `UnwritableOutput` where what is written would take the place of what is read, or be read next time."""
    refuse_within(Path(options.out), paths, [options.losses], walks)
    if options.losses:
        refuse_overwriting([options.losses], paths, [*mappings, *files_read(options)])


def collection_of_all(paths: list[Path]) -> Collection:
    """What a collection says of itself, where there is one input and it is a PBCore collection."""
    one = paths[0] if len(paths) == 1 and paths[0].is_file() and recognised(paths[0]).name == "pbcore" else None
    return (collection_of(one) if one is not None else None) or Collection()


def writable(name: str) -> Standard:
    """The standard of that name, if it can be written."""
    name = name.replace("-", "_")
    known = {key: standard for key, standard in standards().items() if standard.write is not None}
    if name not in known:
        raise CannotContinue(name, "is no standard that can be written", f"use one of: {', '.join(known)}")
    return known[name]


def open_run(options: Options, folder: OutputFolder, stack: ExitStack, is_sheet: bool) -> Run:
    """A run with its ledger and findings going into the output folder."""

    def opened(name: str) -> TextIO:
        return stack.enter_context(folder.path(name).open("w", encoding="utf-8", errors=SHOWN, newline=""))

    def losses() -> Writer:
        made = csv.writer(stack.enter_context(written_whole(Path(options.losses))), lineterminator="\n")
        made.writerow(("record", "field", "value", "carried", "what went"))
        return made

    ledger = Ledger(opened(LEDGER) if options.ledger and is_sheet else None)
    run = Run(options, ledger, FindingLog(opened(FINDINGS)))
    run.losses = losses() if options.losses else None
    return run


def held_list(run: Run) -> str:
    """The records that did not go out, and why, as a delimited file."""
    buffer = io.StringIO()
    writer = csv.writer(buffer, lineterminator="\n")
    writer.writerow(("record", "title", "held because", "reason", "decided in"))
    for one in run.outcome.held:
        writer.writerow((as_text(one.record), as_text(one.title), one.why, as_text(one.reason), one.cell))
    return buffer.getvalue()


def with_page(outcome: Outcome, title: str, folder: OutputFolder) -> Outcome:
    """Puts the report beside the documents, as a page that people can look at."""
    folder.write(PAGE, render("html", report_of(outcome, title)).encode("utf-8", SHOWN))
    return outcome


def write_options(options: Options, run: Run) -> WriteOptions:
    """What the standards are told."""
    return WriteOptions(
        batch=options.batch, one_each=options.one_each, base_uri=options.base_uri, stamp=options.stamp,
        table=options.table, template=options.template, language=options.language,
        contact=options.contact, on_loss=run.lost if options.losses else None,
        on_finding=lambda one: run.log.add([one]),
    )  # fmt: skip


def from_rows(sources: list[Source], groups: Iterable[list[StoredRow]]) -> Iterator[Assembled]:
    """The records of groups of rows."""
    for group in groups:
        yield assemble((sources[row.source].plan, row) for row in group)


def rules() -> Callable[[Record], list[Finding]]:
    """The record rules, as one function of a record."""
    return partial(check_record, place=Place())


def _sheets(paths: list[Path], mappings: list[Path], standard: Standard, folder: OutputFolder, run: Run) -> None:
    options = run.options
    with closing(RowStore()) as store:
        sources = gather([(path, mappings) for path in paths], store, run)
        if standard.batches_apart and not (options.one_each or options.losses):
            work = Work(partial(_items, sources), standard, partial(write_options, options), folder)
            write_blocks(store, work, run)
            return
        index = RecordIndex()
        produce(_items(sources, store.groups(), index, run), standard, write_options(options, run), folder, run)
        run.log.add(index.findings())


def _items(sources: list[Source], groups: Iterable[list[StoredRow]], index: Index, run: Run) -> Iterator[Item]:
    for assembled in checked(from_rows(sources, groups), rules(), run, index):
        if run.options.public:
            copy = public_copy(assembled.asset, lambda _: True)
            yield Item(copy.asset, assembled.rows, copy.kept)
        else:
            yield Item(assembled.asset, assembled.rows)


def _from_documents(paths: list[Path], run: Run) -> Iterator[Item]:
    for path in files_in(paths):
        if isinstance(path, Finding):
            run.log.add([path])
            continue
        for read in read_documents(path, _read_options(run.options)):
            if isinstance(read, Finding):
                run.log.add([read])
                continue
            run.outcome.records += 1
            run.outcome.carriers += len(read.instantiations) if isinstance(read, Asset) else 1
            run.log.add(check_record(read, Place(file=str(path)).of(read)))
            yield Item(read)


def _read_options(options: Options) -> ReadOptions:
    return ReadOptions(strict=options.strict, repair=options.repair, table=options.table)


def read_documents(path: Path, options: ReadOptions) -> Iterator[Record | Finding]:
    """The records in a file of any readable standard, recognised by its content."""
    yield from recognised(path).read(path, options)  # type: ignore[misc]


def recognised(path: Path) -> Standard:
    """The readable standard that a file is written in."""
    try:
        head = start_of(path)
    except OSError as error:
        raise UnreadableInput(path, f"cannot be opened ({error.strerror})", "check the path") from error
    for standard in standards().values():
        if standard.read is not None and standard.recognise(head, path.name):
            return standard
    if b"<!DOCTYPE" in head:
        raise UnreadableInput(path, *NO_DOCTYPE)
    step = "give a mapping (--mapping) if it is a sheet; readable standards are: "
    known = ", ".join(name for name, standard in standards().items() if standard.read is not None)
    raise UnreadableInput(path, "is in no format that can be read", step + known)

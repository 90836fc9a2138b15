"""`convert --to columns`: records of any readable format go back into the columns of the sheet that a mapping reads."""

from __future__ import annotations

import csv
import fnmatch
import re
import tempfile
from collections.abc import Iterable, Iterator
from contextlib import ExitStack
from itertools import chain
from pathlib import Path
from typing import IO

import msgspec

from crosswalk.delivery.folder import ACCOUNT, OutputFolder
from crosswalk.errors import UnwritableOutput
from crosswalk.findings import Finding
from crosswalk.mapping.backwards import Backwards, NotReturned, name_of
from crosswalk.mapping.backwards_constants import RowMark
from crosswalk.mapping.backwards_rows import ReturnedRow
from crosswalk.mapping.loading import load_mapping
from crosswalk.mapping.model import Mapping
from crosswalk.mapping.readers import readers_of
from crosswalk.pipeline.converting import open_run, read_documents, refuse_lossy, with_page
from crosswalk.pipeline.gather import find_mapping
from crosswalk.pipeline.run import Options, Outcome, Run, Writer, steady_memory
from crosswalk.pipeline.walking import files_in, listed
from crosswalk.records import Asset
from crosswalk.sheets.cells import Mark
from crosswalk.sheets.write import Table, write_csv, write_workbook
from crosswalk.standards.base import ReadOptions
from crosswalk.tables import as_text
from crosswalk.values.folding import fold

NOT_RETURNED = f"{ACCOUNT}/not-returned.csv"
MAX_ROWS = 1_048_576  # of a sheet: ECMA-376, 18.3.1.73 gives rows by number; the usual programs end here
NO_LOOKS = "a delimited file has no colours, strike-outs or notes"


class Form(msgspec.Struct, frozen=True):
    """How the sheet is written: as `.xlsx` or `.csv`; `original`: cells as they were written, where a record knows."""

    suffix: str = ".xlsx"
    original: bool = False


PLAIN = Form()


def return_to_sheet(
    inputs: str | Path | Iterable[str | Path], mapping: str | Path, options: Options, form: Form = PLAIN
) -> Outcome:
    """Reads records, writes the sheet that the mapping reads into `options.out`, and lists what could not go back.

    Raises `CannotContinue` where an input cannot be read, the mapping makes no sense, or the output cannot be written;
    nothing is put in place then.
    """
    if form.suffix not in (".xlsx", ".csv"):
        raise UnwritableOutput(form.suffix, "is no kind of sheet that can be written", "use .xlsx or .csv")
    file = find_mapping(str(mapping))
    read = load_mapping(file)
    paths = listed(inputs)
    refuse_lossy(paths, [file], options)
    with steady_memory(), ExitStack() as stack:
        folder = stack.enter_context(OutputFolder(Path(options.out)))
        run = open_run(options, folder, stack, is_sheet=False)
        backwards = Backwards(read, readers_of(read, run.decisions), form.original)
        sheets = _Sheets(read, stack)
        left = csv.writer(stack.enter_context(folder.path(NOT_RETURNED).open("w", encoding="utf-8", newline="")))
        left.writerow(("record", "carrier", "field", "value", "reason"))
        _return(paths, backwards, sheets, left, run, form)
        run.outcome.documents += _write(sheets, backwards, folder, form)
        return with_page(run.finish(is_sheet=False), "convert", folder)


def _return(paths: list[Path], backwards: Backwards, sheets: _Sheets, left: Writer, run: Run, form: Form) -> None:
    for path in files_in(paths):
        if isinstance(path, Finding):
            run.log.add([path])
            continue
        for record in read_documents(path, ReadOptions(strict=run.options.strict, repair=run.options.repair)):
            if isinstance(record, Finding):
                run.log.add([record])
                continue
            back = backwards.returned(record)
            run.outcome.records += 1
            run.outcome.carriers += len(record.instantiations) if isinstance(record, Asset) else 1
            run.outcome.delivered += bool(back.rows)
            sheets.add(back.rows)
            _list(name_of(record), [*back.left, *_looks(back.rows, form)], left, run)
            if run.outcome.records % 500 == 0:
                run.progress("returning", run.outcome.records)


def _list(record: str, found: list[NotReturned], left: Writer, run: Run) -> None:
    for one in found:
        left.writerow(map(as_text, (record, one.carrier, one.field, one.value, one.why)))
        by_kind = run.outcome.losses.setdefault(one.field, {})
        by_kind["none"] = by_kind.get("none", 0) + 1


def _looks(rows: list[ReturnedRow], form: Form) -> Iterator[NotReturned]:
    """The looks of rows, where the file can hold none."""
    marks = dict.fromkeys(mark for row in rows for mark in row.marks) if form.suffix == ".csv" else ()
    for mark in marks:
        told = mark.note or (f"fill {mark.fill}" if mark.fill else "struck out")
        yield NotReturned("mark", told, NO_LOOKS)


class _Sheets:
    """Rows on their way, by sheet, in a temporary file each: how wide the sheet must be is known at the end."""

    def __init__(self, mapping: Mapping, stack: ExitStack) -> None:
        self._stack = stack
        self._default = default_sheet(mapping)
        self.files: dict[str, IO[bytes]] = {}
        self.counts: dict[str, int] = {}
        self.lengths: dict[str, int] = {}

    def add(self, rows: list[ReturnedRow]) -> None:
        """Takes the rows of one record."""
        for row in rows:
            self.counts |= {heading: max(n, self.counts.get(heading, 0)) for heading, n in row.counts.items()}
            name = row.sheet or self._default
            if name not in self.files:
                self.files[name] = self._stack.enter_context(tempfile.TemporaryFile())  # noqa: SIM115
            packed = msgspec.msgpack.encode(row)
            self.files[name].write(len(packed).to_bytes(4, "big") + packed)
            self.lengths[name] = self.lengths.get(name, 0) + 1

    def names(self) -> list[str]:
        """The sheets that have rows; one at the least."""
        return list(self.files) or [self._default]

    def rows(self, name: str) -> Iterator[ReturnedRow]:
        """The rows of a sheet."""
        if name not in self.files:
            return
        file, decode = self.files[name], msgspec.msgpack.Decoder(ReturnedRow).decode
        file.seek(0)
        while length := file.read(4):
            yield decode(file.read(int.from_bytes(length, "big")))


def default_sheet(mapping: Mapping) -> str:
    """The name of the sheet where nothing tells it: the first that the mapping names, or one that its pattern takes.

    >>> default_sheet(Mapping(sheets=["Programmes"])), default_sheet(Mapping(sheets=["Video *"]))
    ('Programmes', 'Video 1')
    """
    for pattern in mapping.sheets:
        name = re.sub(r"[*?]", "1", pattern)
        if fnmatch.fnmatchcase(fold(name), fold(pattern)):
            return name
    return "Records"


def _write(sheets: _Sheets, backwards: Backwards, folder: OutputFolder, form: Form) -> list[str]:
    """The names of the files that were written."""
    header, stem = backwards.layout.header(sheets.counts), Path(backwards.mapping.path).stem
    top = header_rows(backwards.mapping, header)
    names = sheets.names()
    if form.suffix == ".csv":
        files = [f"{stem}.csv"] if len(names) == 1 else [f"{stem}-{_plain(name)}.csv" for name in names]
        for name, file in zip(names, files, strict=True):
            cells = (_cells(row, header) for row in sheets.rows(name))
            write_csv(folder.path(file), top[0], chain(top[1:], cells))
        return files
    too_long = next((name for name in names if sheets.lengths.get(name, 0) + len(top) > MAX_ROWS), "")
    if too_long:
        problem = f"sheet {too_long} would have {sheets.lengths[too_long]:,} rows"
        raise UnwritableOutput(folder.target, problem, "a workbook holds fewer: write .csv instead")
    write_workbook(folder.path(f"{stem}.xlsx"), [_table(name, sheets.rows(name), header, top) for name in names])
    return [f"{stem}.xlsx"]


def _plain(name: str) -> str:
    return re.sub(r"[^\w-]+", "-", fold(name)).strip("-") or "sheet"


def header_rows(mapping: Mapping, header: list[str]) -> list[list[str]]:
    """The rows down to the header, where and in as many rows as the mapping looks for it.

    >>> header_rows(Mapping(header_row=2, header_rows=2), ["Tape No.", "Title"])
    [[], ['Tape', 'Title'], ['No.', '']]
    """
    above: list[list[str]] = [[] for _ in range((mapping.header_row or 1) - 1)]
    if mapping.header_rows != 2:
        return [*above, header]
    halves = [heading.partition(" ") for heading in header]
    return [*above, [upper for upper, _, _ in halves], [lower for _, _, lower in halves]]


def _cells(row: ReturnedRow, header: list[str]) -> list[str]:
    return [row.cells.get(heading, "") for heading in header]


def _table(name: str, rows: Iterator[ReturnedRow], header: list[str], top: list[list[str]]) -> Table:
    """A sheet with its looks. The first of `top` is the table's own header where it is the only one."""
    marks: dict[tuple[int, int], Mark] = {}
    before = top if len(top) > 1 else []

    def written() -> Iterator[list[str]]:
        yield from before
        for number, row in enumerate(rows, len(before)):
            texts = _cells(row, header)
            for column, mark in _marked(row.marks, texts, header).items():
                marks[number - (1 if before else 0), column] = mark
            yield texts

    content = written()
    own = next(content) if before else header
    return Table(name=name, header=own, rows=content, marks=marks)


def _marked(looks: list[RowMark], texts: list[str], header: list[str]) -> dict[int, Mark]:
    """Looks by column: in the column that the mapping names, else in the first filled ones that have room."""
    found: dict[int, Mark] = {}
    filled = sorted(range(len(header)), key=lambda column: not texts[column])
    for look in looks:
        columns = [header.index(look.heading)] if look.heading in header else filled
        for column in columns:
            mark = found.get(column, Mark())
            if not ((look.fill and mark.fill) or (look.struck and mark.struck) or (look.note and mark.note)):
                note = mark.note or look.note
                found[column] = Mark(fill=mark.fill or look.fill, struck=mark.struck or look.struck, note=note)
                break
    return found

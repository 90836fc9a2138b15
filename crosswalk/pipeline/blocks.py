"""Rows to documents, a block of records at a time, in one process or side by side in several.

A block is what one document holds at the most, and nothing in it depends on another block. So each process takes every
so-many-th block of the rows that wait in the store, where it finds them without being sent any; what comes of the
blocks is put together in their order, and is the same however many processes there are.
"""

from __future__ import annotations

import multiprocessing
import signal
import sys
import tempfile
from collections.abc import Callable, Iterator
from contextlib import ExitStack, contextmanager, suppress
from itertools import count, cycle
from multiprocessing.connection import Connection
from pathlib import Path

import msgspec

from crosswalk.checks.index import Gathered, RecordIndex, Rows
from crosswalk.delivery.folder import OutputFolder
from crosswalk.errors import CannotContinue
from crosswalk.findings import Finding
from crosswalk.ledger import Account, Ledger
from crosswalk.mapping.store import Block, RowStore
from crosswalk.pipeline.produce import Index, Item, produced
from crosswalk.pipeline.run import FindingLog, Outcome, Run
from crosswalk.standards.base import Standard, WriteOptions
from crosswalk.standards.naming import numbered

ENDING = (signal.SIGINT, signal.SIGTERM)
FEWEST_BLOCKS = 4  # below that, further processes cost more than they save


class Work(msgspec.Struct, frozen=True):
    """What is done with a block: `items` are its records on their way out, noted in an index as they pass."""

    items: Callable[[Block, Index, Run], Iterator[Item]]
    standard: Standard
    options: Callable[[Run], WriteOptions]
    folder: OutputFolder

    def write(self, block: Block, number: int, index: Index, run: Run) -> None:
        """Writes the document of a block, which has the number of the block."""
        options = self.options(run)
        for document in produced(self.items(block, index, run), self.standard, options, run):
            name = numbered(options.stem, number) + self.standard.suffix
            self.folder.write(name, document.content)
            run.outcome.documents.append(name)


class Done(msgspec.Struct):
    """What another process made of a block, all but the document. `ledger` is the file that lists the cells."""

    outcome: Outcome
    findings: list[Finding]
    sums: dict[Account, int]
    ledger: str
    index: Rows
    decided: set[tuple[str, str]]


def write_blocks(store: RowStore, work: Work, run: Run) -> None:
    """Writes all records of a store. The first block is done before other processes start: they inherit what it taught
    the columns."""
    index, size = RecordIndex(), run.options.batch
    several = _can_fork() and run.options.workers > 1 and store.group_count >= FEWEST_BLOCKS * size
    for number in count(1) if not several else (1,):
        block = store.take(size)
        if not block:
            break
        work.write(block, number, index, run)
        run.progress("writing", run.outcome.delivered)
    if several:
        _side_by_side(store, work, run, index)
    run.log.add(index.findings())


def _can_fork() -> bool:
    """Whether a process can be forked safely; on macOS the system's own libraries do not bear it."""
    return sys.platform != "darwin" and "fork" in multiprocessing.get_all_start_methods()


def _side_by_side(store: RowStore, work: Work, run: Run, index: RecordIndex) -> None:
    with tempfile.TemporaryDirectory(prefix="crosswalk-") as parts, _workers(store, work, run, Path(parts)) as ends:
        for done in _received(ends):
            _merge(done, run, index)
            for name in done.outcome.documents:
                work.folder.written(name)
            run.progress("writing", run.outcome.delivered)


@contextmanager
def _workers(store: RowStore, work: Work, run: Run, parts: Path) -> Iterator[list[Connection]]:
    """Starts the processes. They are forked, and so have the rows already."""
    blocks_left = -(-store.group_count // run.options.batch)
    fork, step, ends = multiprocessing.get_context("fork"), min(run.options.workers, blocks_left), []
    with ExitStack() as stack:
        for first in range(step):
            end, far = fork.Pipe(duplex=False)
            blocks = enumerate(store.every(run.options.batch, first, step))
            numbered_blocks = ((2 + first + step * number, block) for number, block in blocks)
            ends.append(end)
            process = fork.Process(target=_worker, args=(numbered_blocks, work, run, parts, far, ends), daemon=True)
            with _undisturbed():
                process.start()
                stack.callback(process.join)
                stack.callback(process.terminate)
            far.close()
        yield ends


@contextmanager
def _undisturbed() -> Iterator[None]:
    """Puts off what would end the run: a process that has started must be known before."""
    signal.pthread_sigmask(signal.SIG_BLOCK, ENDING)
    try:
        yield
    finally:
        signal.pthread_sigmask(signal.SIG_UNBLOCK, ENDING)


def _worker(
    blocks: Iterator[tuple[int, Block]], work: Work, run: Run, parts: Path, out: Connection, ends: list[Connection]
) -> None:
    """Does blocks and sends what came of each, at the end None; an exception that stops the run is sent instead."""
    signal.signal(signal.SIGINT, signal.SIG_IGN)  # who started this process ends it
    signal.signal(signal.SIGTERM, signal.SIG_DFL)
    signal.pthread_sigmask(signal.SIG_UNBLOCK, ENDING)
    for end in ends:
        end.close()  # so that nobody listens once the run is gone, and this process ends, too
    with suppress(BrokenPipeError):  # the run is gone
        try:
            for number, block in blocks:
                out.send(_done(block, number, work, run, parts / f"{number}.csv"))
            out.send(None)
        except CannotContinue as error:
            out.send(error)
        except BrokenPipeError:
            raise
        except OSError as error:
            step = "free some space, or name another folder for temporary files in TMPDIR"
            out.send(CannotContinue(parts, f"cannot be written ({error.strerror})", step))


def _done(block: Block, number: int, work: Work, run: Run, part: Path) -> Done:
    with part.open("w", encoding="utf-8", newline="") as listing:
        ledger, index = Ledger(listing if run.ledger.lists else None, header=False), Gathered()
        own = run.beside(ledger, FindingLog(kept=None))
        work.write(block, number, index, own)
    decided = own.decisions.used if own.decisions is not None else set()
    return Done(own.outcome, own.log.kept, ledger.sums(), str(part), index.rows, decided)


def _received(ends: list[Connection]) -> Iterator[Done]:
    """What was done, in the order of the blocks."""
    for end in cycle(ends):
        try:
            done = end.recv()
        except EOFError:
            step = "try again with --workers 1, which shows why"
            raise CannotContinue("run", "a process of the run ended before its work was done", step) from None
        if isinstance(done, CannotContinue):
            raise done
        if done is None:  # the blocks were dealt in turn, so the others have none left either
            return
        yield done


def _merge(done: Done, run: Run, index: RecordIndex) -> None:
    outcome, part = run.outcome, done.outcome
    outcome.records += part.records
    outcome.carriers += part.carriers
    outcome.delivered += part.delivered
    outcome.held += part.held
    outcome.documents += part.documents
    run.log.add(done.findings)
    run.ledger.take(done.sums, Path(done.ledger))
    index.add_rows(*done.index)
    if run.decisions is not None:
        run.decisions.used |= done.decided

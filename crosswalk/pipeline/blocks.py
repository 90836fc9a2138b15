"""Rows to documents, a block of records at a time, in one process or side by side in several.

A block is what one document holds at the most, and nothing in it depends on another block. So each process takes every
so-many-th block of the rows that wait in the store, where it finds them without being sent any; what comes of the
blocks is put together in their order, and is the same however many processes there are.
"""

from __future__ import annotations

import multiprocessing
import signal
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from io import StringIO
from itertools import cycle
from multiprocessing.connection import Connection

import msgspec

from crosswalk.checks.index import Gathered, RecordIndex, Rows
from crosswalk.delivery.folder import OutputFolder
from crosswalk.errors import CannotContinue
from crosswalk.findings import Finding
from crosswalk.ledger import Ledger
from crosswalk.mapping.store import StoredRow
from crosswalk.pipeline.produce import Item, produced
from crosswalk.pipeline.run import FindingLog, Outcome, Run
from crosswalk.standards.base import Document, Standard, WriteOptions
from crosswalk.standards.naming import numbered

Block = list[list[StoredRow]]  # the rows of some records
FEWEST_BLOCKS = 4  # below that, further processes cost more than they save


class Done(msgspec.Struct):
    """What came of one block."""

    outcome: Outcome
    documents: list[Document]
    findings: list[Finding]
    ledger: Ledger
    index: Rows
    decided: set[tuple[str, str]]  # decisions that were used


class Work(msgspec.Struct, frozen=True):
    """What is done with a block: `items` are its records on their way out, noted in an index as they pass."""

    items: Callable[[Block, Gathered, Run], Iterator[Item]]
    standard: Standard
    options: Callable[[Run], WriteOptions]
    run: Run

    def done(self, block: Block) -> Done:
        """The documents of a block and the account of it."""
        ledger, index = Ledger(StringIO() if self.run.ledger.lists else None, header=False), Gathered()
        run = Run(msgspec.structs.replace(self.run.options, progress=None, decisions=""), ledger, FindingLog(kept=None))
        run.decisions = self.run.decisions
        documents = list(produced(self.items(block, index, run), self.standard, self.options(run), run))
        decided = run.decisions.used if run.decisions is not None else set()
        return Done(run.outcome, documents, run.log.kept, ledger, index.rows, decided)


def write_blocks(blocks: Callable[[int, int], Iterator[Block]], count: int, work: Work, folder: OutputFolder) -> None:
    """Writes all blocks. `blocks(first, step)` gives every `step`-th of them from the `first` on; there are `count`."""
    run, index = work.run, RecordIndex()
    with _all_done(blocks, count, work) as all_done:
        for done in all_done:
            _merge(done, run, index)
            for document in done.documents:
                number = len(run.outcome.documents) + 1
                name = numbered(work.options(run).stem, number) + work.standard.suffix
                folder.write(name, document.content)
                run.outcome.documents.append(name)
            run.progress("writing", run.outcome.delivered)
    run.log.add(index.findings())


def _merge(done: Done, run: Run, index: RecordIndex) -> None:
    outcome, part = run.outcome, done.outcome
    outcome.records += part.records
    outcome.carriers += part.carriers
    outcome.delivered += part.delivered
    outcome.held += part.held
    run.log.add(done.findings)
    run.ledger.take(done.ledger)
    index.add_rows(*done.index)
    if run.decisions is not None:
        run.decisions.used |= done.decided


@contextmanager
def _all_done(blocks: Callable[[int, int], Iterator[Block]], count: int, work: Work) -> Iterator[Iterator[Done]]:
    """All that is done, in the order of the blocks."""
    workers = min(work.run.options.workers, count) if count >= FEWEST_BLOCKS else 1
    if workers < 2 or "fork" not in multiprocessing.get_all_start_methods():
        yield map(work.done, blocks(0, 1))
        return
    fork = multiprocessing.get_context("fork")  # a forked process has the rows already
    processes, ends = [], []
    for first in range(workers):
        end, far = fork.Pipe(duplex=False)
        process = fork.Process(target=_worker, args=(blocks(first, workers), work, far), daemon=True)
        process.start()
        far.close()
        processes.append(process)
        ends.append(end)
    try:
        yield _received(ends)
    finally:
        for process in processes:
            process.terminate()
            process.join()


def _worker(blocks: Iterator[Block], work: Work, out: Connection) -> None:
    """Does the blocks and sends what came of each, at the end None; an exception that stops the run is sent instead."""
    signal.signal(signal.SIGINT, signal.SIG_IGN)  # who started this process ends it
    try:
        for block in blocks:
            out.send(work.done(block))
        out.send(None)
    except CannotContinue as error:
        out.send(error)


def _received(ends: list[Connection]) -> Iterator[Done]:
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

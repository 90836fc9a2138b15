"""Brings the rows of one asset together, wherever they stand: packed in memory, beyond a stated size in a file.

Groups come back in the order in which their first row was met, rows within a group in the order they were added.
"""

from __future__ import annotations

import sqlite3
import tempfile
from collections.abc import Iterator
from contextlib import closing
from itertools import count, groupby, islice
from operator import itemgetter
from pathlib import Path
from typing import TypeAlias

import msgspec

TAKEN_AT_ONCE = 100
IN_MEMORY_BYTES = 96_000_000  # of packed rows; beyond it they move to a temporary file


class StoredRow(msgspec.Struct, array_like=True):
    """One row as it waits for the others of its asset. `source` is the number of its sheet in the run.

    `texts` are the texts to read (ditto marks resolved); `errors` index -> code of what
    cannot be read; `dittos` index -> (mark as written, row it repeats); `marks` (index, fill, struck, note);
    `moved` the code of the finding by which cells may stand in wrong columns.
    """

    source: int
    number: int
    texts: list[str]
    errors: dict[int, str] = {}
    dittos: dict[int, tuple[str, int]] = {}
    marks: list[tuple[int, str, bool, str]] = []
    moved: str = ""

    @property
    def legible(self) -> list[str]:
        """The texts, empty where a cell cannot be read."""
        if not self.errors:
            return self.texts
        return ["" if index in self.errors else text for index, text in enumerate(self.texts)]


Block: TypeAlias = list[list[StoredRow]]  # the rows of some groups


class RowStore:
    """Rows by key.

    >>> store = RowStore()
    >>> for number, key in ((7, "a"), (8, "b"), (9, "a")):
    ...     store.add(key, StoredRow(0, number, ["x"]))
    >>> [[row.number for row in group] for group in store.groups()]
    [[7, 9], [8]]
    """

    def __init__(self, in_memory_bytes: int = IN_MEMORY_BYTES) -> None:
        self._limit = in_memory_bytes
        self._size = 0
        self._groups: dict[str, list[bytes]] = {}
        self._encode = msgspec.msgpack.Encoder().encode
        self._decode = msgspec.msgpack.Decoder(StoredRow).decode
        self._file: _SpillFile | None = None
        self.count = 0

    def add(self, key: str, row: StoredRow) -> None:
        """Puts a row with the others of its key."""
        packed = self._encode(row)
        self.count += 1
        if self._file is not None:
            self._file.add(key, packed)
            return
        group = self._groups.get(key)
        if group is None:
            self._groups[key] = [packed]
        else:
            group.append(packed)
        self._size += len(packed)
        if self._size > self._limit:
            self._spill()

    @property
    def group_count(self) -> int:
        """How many groups it holds."""
        return self._file.left if self._file is not None else len(self._groups)

    def groups(self) -> Iterator[list[StoredRow]]:
        """All groups. They are in the store no longer."""
        while block := self.take(TAKEN_AT_ONCE):
            yield from block

    def take(self, size: int) -> Block:
        """The next groups, up to that many. They are in the store no longer."""
        if self._file is not None:
            return self._unpacked(self._file.take(size))
        return self._unpacked([self._groups.pop(key) for key in list(islice(self._groups, size))])

    def every(self, size: int, first: int, step: int) -> Iterator[Block]:
        """What the store holds, in blocks of that size: every `step`-th one from the `first` on, counted from 0. It can
        be run through in a forked process."""
        if self._file is not None:
            self._file.seal()
        return self._every(size, first, step)

    def _every(self, size: int, first: int, step: int) -> Iterator[Block]:
        file = self._file
        groups = (group for _, group in file.groups()) if file is not None else iter(self._groups.values())
        for number in count():
            block = list(islice(groups, size))
            if not block:
                return
            if number % step == first:
                yield self._unpacked(block)

    def _unpacked(self, block: list[list[bytes]]) -> Block:
        decode = self._decode
        return [[decode(packed) for packed in group] for group in block]

    def close(self) -> None:
        """Removes the temporary file, if there is one."""
        if self._file is not None:
            self._file.close()

    def _spill(self) -> None:
        self._file = _SpillFile()
        for key, group in self._groups.items():
            for packed in group:
                self._file.add(key, packed)
        self._groups.clear()


class _SpillFile:
    """The rows in a temporary SQLite file. A group is known by the number of its first row."""

    def __init__(self) -> None:
        self._folder = tempfile.TemporaryDirectory(prefix="crosswalk-")
        self._path = Path(self._folder.name) / "rows.sqlite"
        self._db = sqlite3.connect(self._path, isolation_level=None)
        self._db.executescript(
            "PRAGMA journal_mode = OFF; PRAGMA synchronous = OFF; PRAGMA cache_size = -16000; PRAGMA temp_store = FILE;"
            "CREATE TABLE keys (key TEXT PRIMARY KEY, first INTEGER) WITHOUT ROWID;"
            "CREATE TABLE rows (first INTEGER, seq INTEGER, packed BLOB, PRIMARY KEY (first, seq)) WITHOUT ROWID;"
            "BEGIN"
        )
        self._count = self._last = 0
        self._taking = self.groups()
        self.left = 0  # groups that were not taken

    def add(self, key: str, packed: bytes) -> None:
        self._count += 1
        found = self._db.execute("SELECT first FROM keys WHERE key = ?", (key,)).fetchone()
        first = found[0] if found else self._count
        if not found:
            self.left += 1
            self._db.execute("INSERT INTO keys VALUES (?, ?)", (key, first))
        self._db.execute("INSERT INTO rows VALUES (?, ?, ?)", (first, self._count, packed))

    def seal(self) -> None:
        """Puts on disk what was added, for other connections."""
        if self._db.in_transaction:
            self._db.execute("COMMIT")

    def take(self, size: int) -> list[list[bytes]]:
        """The next groups, up to that many."""
        self.seal()
        taken = list(islice(self._taking, size))
        self._last = taken[-1][0] if taken else self._last
        self.left -= len(taken)
        return [group for _, group in taken]

    def groups(self) -> Iterator[tuple[int, list[bytes]]]:
        """All groups that were not taken, each with the number of its first row."""
        # A connection of its own, since one must not be carried into another process.
        with closing(sqlite3.connect(self._path)) as reading:
            rows = reading.execute("SELECT first, packed FROM rows WHERE first > ? ORDER BY first, seq", (self._last,))
            for first, group in groupby(rows, itemgetter(0)):
                yield first, [packed for _, packed in group]

    def close(self) -> None:
        self._db.close()
        self._folder.cleanup()

"""The account of cells: every non-empty cell that is read ends in exactly one of four places.

The count of cells read is made by the reader of rows, the four sums by those who decide; `Ledger.check` compares them.
"""

from __future__ import annotations

import csv
import io
import shutil
from collections import Counter
from collections.abc import Mapping, Sequence
from enum import StrEnum
from pathlib import Path
from typing import TextIO

import msgspec

from crosswalk.errors import AccountsDiffer
from crosswalk.tables import as_text


class Account(StrEnum):
    """Where a cell ended."""

    DELIVERED = "delivered"  # in a record that went out
    KEPT_BACK = "kept back"  # in a record that is held, or not for this audience
    SET_ASIDE = "set aside"  # declared not to be carried, with the reason
    REFUSED = "refused"  # could not be read, and a finding says so


class Entry(msgspec.Struct, frozen=True):
    """Why one cell ended elsewhere than its record: the account, the reason, and the code of the finding."""

    account: Account
    why: str
    code: str = ""


ROW, MIDDLE = "\x00", "\x01"  # stand in a row's template for its number, and for its account and record
KEPT_TEMPLATES = 1_000

HEADER = ("file", "cell", "heading", "account", "record", "field or reason", "code", "text where not carried")


class Columns(msgspec.Struct):
    """What the ledger says of each column of one sheet, prepared so that a row is filled into a template.

    `before` is what stands before the row number in an address; `heading` what stands behind it, and what the column is
    called; `field` where the column goes; `templates` the lines of a row by which of its cells are filled.
    """

    before: list[str]
    heading: list[str]
    field: list[str]
    templates: dict[tuple[bool, ...], str] = {}

    def template(self, filled: tuple[bool, ...]) -> str:
        """The lines of a row with those cells, all of one account. "" where a heading holds what stands for the rest:
        it cannot be filled in then."""
        columns = zip(filled, self.before, self.heading, self.field, strict=False)
        lines = [f"{before}{ROW}{head}{MIDDLE}{field},,\n" for has, before, head, field in columns if has]
        made = "".join(lines)
        if made.count(ROW) != len(lines) or made.count(MIDDLE) != len(lines):
            made = ""
        if len(self.templates) >= KEPT_TEMPLATES:
            self.templates.clear()
        self.templates[filled] = made
        return made


class Ledger:
    """Counts cells and, where it is given a place to write, lists them.

    >>> ledger = Ledger()
    >>> ledger.read(2)
    >>> columns = columns_of([("Tapes!A", ""), ("Tapes!B", "")], ["Tape", "Check"], ["instantiation.identifier", ""])
    >>> ledger.row(columns, 7, ["0117", "ok"], "TDLN-0423", Account.DELIVERED, {1: Entry(Account.SET_ASIDE, "old")})
    >>> ledger.check()
    >>> {str(account): count for account, count in ledger.sums().items()}
    {'delivered': 1, 'kept back': 0, 'set aside': 1, 'refused': 0}
    """

    def __init__(self, out: TextIO | None = None, header: bool = True) -> None:
        self.cells_read = 0
        self._sums: Counter[Account] = Counter()
        self._out = out
        if out is not None and header:
            out.write(_line(HEADER))

    @property
    def lists(self) -> bool:
        """Whether it lists the cells."""
        return self._out is not None

    def take(self, sums: Mapping[Account, int], listing: Path) -> None:
        """Takes over what another ledger has counted and listed, and removes its list."""
        self._sums.update(sums)
        if self._out is not None:
            self._out.flush()
            with listing.open("rb") as lines:
                shutil.copyfileobj(lines, self._out.buffer, 1_000_000)
        listing.unlink()

    def read(self, cells: int) -> None:
        """That so many non-empty cells were read."""
        self.cells_read += cells

    def row(
        self,
        columns: Columns,
        row: int,
        texts: Sequence[str],
        record: str,
        account: Account,
        exceptions: Mapping[int, Entry],
    ) -> None:
        """Accounts for one row: its cells share the record's account but for the exceptions."""
        sums = self._sums
        sums[account] += len(texts) - texts.count("") - len(exceptions)
        for entry in exceptions.values():
            sums[entry.account] += 1
        if self._out is not None and not exceptions:
            self._out.write(self._plain_lines(columns, row, texts, f"{account},{_field(record)},"))
        elif self._out is not None:
            self._out.write(self._lines(columns, row, texts, _field(record), account, exceptions))

    def sums(self) -> dict[Account, int]:
        """The four sums."""
        return {account: self._sums[account] for account in Account}

    def check(self) -> None:
        """Raises `AccountsDiffer` unless the four sums equal the non-empty cells read."""
        total = sum(self._sums.values())
        if total != self.cells_read:
            raise AccountsDiffer(
                "ledger",
                f"{self.cells_read} non-empty cells were read, {total} are accounted for",
                "this is a defect of the program: keep the input and report it",
            )

    def _plain_lines(self, columns: Columns, row: int, texts: Sequence[str], middle: str) -> str:
        filled = tuple(map(bool, texts))
        template = columns.templates.get(filled) or columns.template(filled)
        if template:
            return template.replace(ROW, str(row)).replace(MIDDLE, middle)
        parts = zip(texts, columns.before, columns.heading, columns.field, strict=False)
        lines = [f"{before}{row}{heading}{middle}{field},,\n" for text, before, heading, field in parts if text]
        return "".join(lines)

    def _lines(
        self,
        columns: Columns,
        row: int,
        texts: Sequence[str],
        record: str,
        account: Account,
        exceptions: Mapping[int, Entry],
    ) -> str:
        lines = []
        for i, text in enumerate(texts):
            if not text:
                continue
            entry = exceptions.get(i)
            if entry is None:
                what = f"{account},{record},{columns.field[i]},,\n"
            else:
                shown = "" if entry.account is Account.KEPT_BACK else _field(as_text(text))
                what = f"{entry.account},{record},{_field(entry.why)},{entry.code},{shown}\n"
            lines.append(f"{columns.before[i]}{row}{columns.heading[i]}{what}")
        return "".join(lines)


def columns_of(
    addresses: Sequence[tuple[str, str]], headings: Sequence[str], fields: Sequence[str], file: str = ""
) -> Columns:
    """The prepared columns of a sheet; texts are made safe for a delimited file once, not once a cell. An address is
    what stands before the row number and what stands behind it."""
    safe = [_address(before, after) for before, after in addresses]
    return Columns(
        [f"{_field(file)},{before}" for before, _ in safe],
        [f"{after},{_field(heading)}," for (_, after), heading in zip(safe, headings, strict=True)],
        [_field(field) for field in fields],
    )


def _address(before: str, after: str) -> tuple[str, str]:
    """The two halves of an address; a sheet's name may hold what a delimited file must quote."""
    if _field(before + after) == before + after:
        return before, after
    return '"' + before.replace('"', '""'), after.replace('"', '""') + '"'


def _field(text: str) -> str:
    if "," in text or '"' in text or "\n" in text or "\r" in text:
        return _line((text,))[:-1]
    return text


def _line(values: Sequence[str]) -> str:
    buffer = io.StringIO()
    csv.writer(buffer, lineterminator="\n").writerow(values)
    return buffer.getvalue()

"""The account of cells: every non-empty cell that is read ends in exactly one of four places.

The count of cells read is made by the reader of rows, the four sums by those who decide; `Ledger.check` compares them.
"""

from __future__ import annotations

import csv
import io
from collections import Counter
from collections.abc import Mapping, Sequence
from enum import StrEnum
from typing import TextIO

import msgspec

from crosswalk.errors import AccountsDiffer


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


HEADER = ("cell", "heading", "account", "record", "field or reason", "code", "text where not carried")


class Columns(msgspec.Struct):
    """What the ledger says of each column of one sheet, prepared so that a row is one join.

    `before` and `after` are what stands before and after the row number in an address; `heading` and `field` what the
    column is called and where it goes.
    """

    before: list[str]
    after: list[str]
    heading: list[str]
    field: list[str]

    def address(self, row: int, index: int) -> str:
        """The address of a cell of this sheet."""
        return f"{self.before[index]}{row}{self.after[index]}"


class Ledger:
    """Counts cells and, where it is given a place to write, lists them.

    >>> ledger = Ledger()
    >>> ledger.read(2)
    >>> columns = Columns(["Tapes!A", "Tapes!B"], ["", ""], ["Tape", "Check"], ["instantiation.identifier", ""])
    >>> ledger.row(columns, 7, ["0117", "ok"], "TDLN-0423", Account.DELIVERED, {1: Entry(Account.SET_ASIDE, "old")})
    >>> ledger.check()
    >>> {str(account): count for account, count in ledger.sums().items()}
    {'delivered': 1, 'kept back': 0, 'set aside': 1, 'refused': 0}
    """

    def __init__(self, out: TextIO | None = None) -> None:
        self.cells_read = 0
        self._sums: Counter[Account] = Counter()
        self._out = out
        if out is not None:
            out.write(_line(HEADER))

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
        filled = [index for index, text in enumerate(texts) if text]
        self._sums[account] += len(filled) - len(exceptions)
        for entry in exceptions.values():
            self._sums[entry.account] += 1
        if self._out is not None:
            self._out.write(self._lines(columns, row, texts, _field(record), account, exceptions, filled))

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

    def _lines(
        self,
        columns: Columns,
        row: int,
        texts: Sequence[str],
        record: str,
        account: Account,
        exceptions: Mapping[int, Entry],
        filled: list[int],
    ) -> str:
        before, after, heading, field = columns.before, columns.after, columns.heading, columns.field
        if not exceptions:
            return "".join(
                [f"{before[i]}{row}{after[i]},{heading[i]},{account},{record},{field[i]},,\n" for i in filled]
            )
        lines = []
        for i in filled:
            entry = exceptions.get(i)
            if entry is None:
                lines.append(f"{before[i]}{row}{after[i]},{heading[i]},{account},{record},{field[i]},,\n")
            else:
                text = "" if entry.account is Account.KEPT_BACK else _field(_shown(texts[i]))
                lines.append(
                    f"{before[i]}{row}{after[i]},{heading[i]},{entry.account},{record},"
                    f"{_field(entry.why)},{entry.code},{text}\n"
                )
        return "".join(lines)


def columns_of(addresses: Sequence[tuple[str, str]], headings: Sequence[str], fields: Sequence[str]) -> Columns:
    """The prepared columns of a sheet; texts are made safe for a delimited file once, not once a cell."""
    return Columns(
        [before for before, _ in addresses],
        [after for _, after in addresses],
        [_field(heading) for heading in headings],
        [_field(field) for field in fields],
    )


def _shown(text: str) -> str:
    """A text as a spreadsheet program shows it and does not compute it."""
    return "'" + text if text.startswith(("=", "+", "-", "@", "\t", "\r")) else text


def _field(text: str) -> str:
    if any(character in text for character in ',"\r\n'):
        return _line((text,))[:-1]
    return text


def _line(values: Sequence[str]) -> str:
    buffer = io.StringIO()
    csv.writer(buffer, lineterminator="\n").writerow(values)
    return buffer.getvalue()

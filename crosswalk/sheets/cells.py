"""What every reader of sheets hands on: rows of texts, with the few cells that are more than text beside them.

A row is a list of texts, since nearly every cell is one and a list of strings is the cheapest thing that streams. What
a cell is beside its text (a date, a number, an error) and what it carries by colour, strike-out or note stand in sparse
dictionaries by column index.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from enum import StrEnum

import msgspec

from crosswalk.findings import Finding
from crosswalk.findings import cell_address as cell_address
from crosswalk.findings import column_letters as column_letters


class Kind(StrEnum):
    """What a cell is, where it is not plain text."""

    NUMBER = "number"  # text: shortest form, 423 not 423.0
    DATE = "date"  # text: 1987-04-03, or 1987-04-03T20:15:00 where there is a time of day
    TIME = "time"  # text: 00:58:30 (a time of day or a length: the sheet does not say)
    PERCENT = "percent"
    BOOLEAN = "boolean"
    ERROR = "error"  # text: #REF!; always refused
    EMPTY_FORMULA = "empty formula"  # text: the formula; there is no stored value; always refused
    PART_STRUCK = "part struck out"  # text: all of it; always refused
    COVERED = "covered"  # hidden below a merged cell; always refused


class Role(StrEnum):
    """What a row of a table is there for."""

    DATA = "data"
    TOTALS = "totals row"
    HEADER = "header"  # the header, and a header repeated further down
    TITLE = "title block"  # what stands above the header
    BLANK = "only white space"  # all of the row; to a reader's eye it is empty


class Mark(msgspec.Struct, frozen=True):
    """What a cell says beside its text."""

    fill: str = ""  # RRGGBB, upper case
    struck: bool = False
    note: str = ""


class Row(msgspec.Struct):
    """One row of a sheet. `number` is the row in the workbook (from 1), or the line on which a delimited row starts.
    `texts` has one text a column, "" where the cell is empty; it may be shorter than the header, never longer than
    the sheet's widest row."""

    number: int
    texts: list[str]
    kinds: dict[int, Kind] = {}
    marks: dict[int, Mark] = {}
    role: Role = Role.DATA
    hidden: bool = False
    moved: str = ""  # the code of the finding that says why cells may stand in wrong columns, and be others' cells


class Heading(msgspec.Struct, frozen=True):
    """One column's heading: the text as written (two header rows joined by a space, a merged upper cell repeated),
    its column index from 0, and which occurrence of that text it is (from 1)."""

    index: int
    text: str
    occurrence: int = 1
    hidden: bool = False


class Sheet(msgspec.Struct, kw_only=True):
    """One table, found in a workbook or a delimited file. `rows` may be called more than once; each call streams.

    `outside` are the rows above the data that have content: title block and header; they are accounted for as set
    aside. `rows()` gives what comes after the header, totals rows, repeated headers and rows of white space included
    (see `Row.role`), rows of empty cells not. What is noticed while rows stream is added to `findings`: read them after
    the rows.
    """

    file: str  # the path as given, for messages
    name: str  # the sheet's name; "" for a delimited file
    headings: list[Heading]
    outside: list[Row]
    findings: list[Finding]  # what was noticed while opening: encoding, hidden rows or columns, the same heading twice
    rows: Callable[[], Iterator[Row]]
    first_data_row: int = 1
    row_count: int | None = None  # where it is known without reading all

    def address(self, row: int, index: int) -> str:
        """The address of a cell: `Tapes!F27`, or `tapes.csv:27:6`."""
        return cell_address(self.file, self.name, row, index)


class ReadOptions(msgspec.Struct, frozen=True, kw_only=True):
    """How to open a file of sheets."""

    sheets: tuple[str, ...] = ()  # names or shell patterns; () is all
    known_headings: frozenset[str] = frozenset()  # folded headings that a mapping names: they betray the header row
    header_row: int | None = None  # where a mapping states it (from 1)
    header_rows: int | None = None  # 1 or 2, where a mapping states it
    marks: bool = False  # also read fills, strike-outs and notes (slow: opens the workbook a second time)
    looks: frozenset[str] = frozenset()  # fills (RRGGBB) and "struck out" that marks of a mapping name
    encoding: str = ""  # of a delimited file; "" detects
    delimiter: str = ""  # of a delimited file; "" detects
    totals: tuple[str, ...] = ()  # further texts that open a totals row
    max_unpacked_bytes: int = 2_000_000_000
    quotes: bool | None = None  # whether quotation marks of a delimited file enclose cells; None finds out


def fold_heading(text: str) -> str:
    """A heading as it is compared: case, white space and line breaks do not matter.

    >>> fold_heading(" Tape\\n No. ")
    'tape no.'
    """
    return " ".join(text.split()).casefold()

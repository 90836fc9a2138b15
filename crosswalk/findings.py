"""What a person should know: codes, severities, places, findings. Immutable; made once, reported many ways."""

from __future__ import annotations

import tomllib
from enum import IntEnum
from functools import cache
from importlib.resources import files

import msgspec


class Severity(IntEnum):
    """How much a finding matters; ordered, so that thresholds compare."""

    NOTE = 1
    WARNING = 2
    ERROR = 3

    @property
    def word(self) -> str:
        """The lower-case word that reports print.

        >>> Severity.WARNING.word
        'warning'
        """
        return self.name.lower()


class Code(msgspec.Struct, frozen=True, kw_only=True):
    """One row of the table of codes (`crosswalk/codes.toml`): two letters for the family, two digits, a name."""

    code: str
    name: str
    severity: str
    why: str
    bad: str
    good: str
    mend: str
    source: str

    @property
    def default_severity(self) -> Severity:
        """The severity a finding has where nothing says otherwise."""
        return Severity[self.severity.upper()]


class Origin(msgspec.Struct, frozen=True):
    """Where a finding points: a cell, a line of a file, a place in a record.

    >>> str(Origin(file="tapes.xlsx", cell="Tapes!F27"))
    'tapes.xlsx Tapes!F27'
    >>> str(Origin(file="out.xml", line=12, column=3, path="/pbcoreCollection"))
    'out.xml:12:3 /pbcoreCollection'
    """

    file: str = ""
    cell: str = ""
    line: int = 0
    column: int = 0
    path: str = ""
    record: str = ""

    def __str__(self) -> str:
        numbers = "".join(f":{n}" for n in (self.line, self.column) if n)
        return " ".join(part for part in (self.file + numbers, self.cell, self.path or self.record) if part)


def column_letters(index: int) -> str:
    """The letters of a column index from 0.

    >>> column_letters(0), column_letters(25), column_letters(26), column_letters(701)
    ('A', 'Z', 'AA', 'ZZ')
    """
    letters = ""
    number = index + 1
    while number:
        number, rest = divmod(number - 1, 26)
        letters = chr(65 + rest) + letters
    return letters


def cell_address(file: str, sheet: str, row: int, index: int) -> str:
    """The address that messages and the ledger use.

    >>> cell_address("in/tapes.xlsx", "Tapes", 27, 5), cell_address("in/tapes.csv", "", 27, 5)
    ('Tapes!F27', 'tapes.csv:27:6')
    """
    if sheet:
        return f"{sheet}!{column_letters(index)}{row}"
    return f"{file.replace(chr(92), '/').rsplit('/', 1)[-1]}:{row}:{index + 1}"


class Finding(msgspec.Struct, frozen=True):
    """One thing to tell a person. `next_step` says what to do; `suggestions` are values to choose from.

    >>> print(finding("DU02", Origin(cell="Tapes!F27"), '"1:75" has 75 minutes', value="1:75", suggestions=("2:15",)))
    Tapes!F27 DU02: "1:75" has 75 minutes; did you mean 2:15?
    """

    code: str
    severity: Severity
    origin: Origin
    message: str
    value: str = ""
    next_step: str = ""
    suggestions: tuple[str, ...] = ()

    @property
    def name(self) -> str:
        """The readable name of the code, such as `date.ambiguous-order`."""
        return codes()[self.code].name

    @property
    def family(self) -> str:
        """The two letters of the code."""
        return self.code[:2]

    def __str__(self) -> str:
        return f"{self.origin} {self.code}: {self.message}{self._ending()}".strip()

    def _ending(self) -> str:
        meant = f"; did you mean {' or '.join(self.suggestions)}?" if self.suggestions else ""
        return meant + (f"; {self.next_step}" if self.next_step else "")


@cache
def codes() -> dict[str, Code]:
    """The table of codes, by code, in the order of the file.

    >>> codes()["DU02"].name
    'duration.impossible'
    """
    text = files("crosswalk").joinpath("codes.toml").read_text(encoding="utf-8")
    return {code: msgspec.convert({"code": code, **row}, Code) for code, row in tomllib.loads(text).items()}


def finding(
    code: str,
    origin: Origin,
    message: str,
    *,
    value: str = "",
    next_step: str = "",
    suggestions: tuple[str, ...] = (),
    severity: Severity | None = None,
) -> Finding:
    """A finding with the code's own severity, unless another is given, and the code's mend as the next step
    where there is neither a next step nor a suggestion."""
    row = codes()[code]
    step = next_step or ("" if suggestions else row.mend)
    return Finding(code, severity or row.default_severity, origin, message, value, step, suggestions)

"""Exceptions that stop a run. What concerns one value or one row is a finding, never an exception."""

from __future__ import annotations

from collections.abc import Iterable


class CannotContinue(Exception):
    """The run cannot go on: the message says where, what was found, and what to do next.

    >>> str(CannotContinue("tapes.xlsx", "is not a workbook", "save it as XLSX, ODS or CSV"))
    'tapes.xlsx: is not a workbook; save it as XLSX, ODS or CSV'
    """

    def __init__(self, place: object, problem: str, next_step: str = "") -> None:
        self.place = str(place)
        self.problem = problem
        self.next_step = next_step
        super().__init__(f"{place}: {problem}" + (f"; {next_step}" if next_step else ""))

    def __reduce__(self) -> tuple[type[CannotContinue], tuple[object, ...]]:
        """So that it can come from another process."""
        return type(self), (self.place, self.problem, self.next_step)


class UnreadableInput(CannotContinue):
    """A file that cannot be read as what it claims to be, or that exceeds a limit."""


class MappingError(CannotContinue):
    """A file written by a person (mapping, job, vocabulary, decisions) that does not make sense. `also` are the further
    mistakes that were found with this one.

    >>> print(MappingError("job.toml:3", "unknown key `holdr`", "", [MappingError("job.toml:7", "is no folder")]))
    job.toml:3: unknown key `holdr`
    job.toml:7: is no folder
    """

    def __init__(self, place: object, problem: str, next_step: str = "", also: Iterable[MappingError] = ()) -> None:
        super().__init__(place, problem, next_step)
        self.also = tuple(also)

    def __reduce__(self) -> tuple[type[CannotContinue], tuple[object, ...]]:
        """So that it can come from another process."""
        return type(self), (self.place, self.problem, self.next_step, self.also)

    def __str__(self) -> str:
        return "\n".join([super().__str__(), *map(str, self.also)])


def raise_all(mistakes: Iterable[MappingError]) -> None:
    """Raises one `MappingError` that tells of all of them in the order of their lines; nothing where there are none."""
    found = sorted(mistakes, key=_line)
    if found:
        raise MappingError(found[0].place, found[0].problem, found[0].next_step, found[1:])


def _line(mistake: MappingError) -> int:
    line = mistake.place.rpartition(":")[2]
    return int(line) if line.isdigit() else 0


class UnwritableOutput(CannotContinue):
    """A folder or file that cannot be written."""


class AccountsDiffer(CannotContinue):
    """The four sums of the ledger do not equal the non-empty cells read: a defect, never a matter of data."""

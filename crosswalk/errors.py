"""Exceptions that stop a run. What concerns one value or one row is a finding, never an exception."""

from __future__ import annotations


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


class UnreadableInput(CannotContinue):
    """A file that cannot be read as what it claims to be, or that exceeds a limit."""


class MappingError(CannotContinue):
    """A file written by a person (mapping, job, vocabulary, decisions) that does not make sense."""


class UnwritableOutput(CannotContinue):
    """A folder or file that cannot be written."""


class AccountsDiffer(CannotContinue):
    """The four sums of the ledger do not equal the non-empty cells read: a defect, never a matter of data."""

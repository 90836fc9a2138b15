"""Findings made while rows stream by: each once, however often the rows are read, and never by the thousand."""

from __future__ import annotations

from crosswalk.findings import Finding, Origin, finding

SHOWN_PER_CODE = 50


class Notes:
    """Collects findings into a list that somebody else holds. Of each code the first `SHOWN_PER_CODE` are kept as they
    are; one more says how many there were. Rows come in ascending order, so a row at or before the furthest one
    already reported for a code is a second reading and is not reported again."""

    def __init__(self, findings: list[Finding], file: str) -> None:
        self._findings = findings
        self._file = file
        self._furthest: dict[str, int] = {}
        self._counts: dict[str, int] = {}
        self._summary_at: dict[str, int] = {}

    def once(self, code: str, message: str, *, cell: str = "", line: int = 0, value: str = "") -> None:
        """A finding about the whole table or a column: the same message is taken once."""
        if not any(f.code == code and f.message == message and f.origin.cell == cell for f in self._findings):
            self._findings.append(finding(code, Origin(file=self._file, cell=cell, line=line), message, value=value))

    def cell(self, code: str, cell: str, message: str, value: str = "") -> None:
        """A finding about one cell, made while the file is opened."""
        self._count(code, finding(code, Origin(file=self._file, cell=cell), message, value=value))

    def row(self, code: str, row: int, cell: str, message: str, value: str = "") -> None:
        """A finding about one row, made while rows stream."""
        if row > self._furthest.get(code, 0):
            self._furthest[code] = row
            self.cell(code, cell, message, value)

    def withdraw(self, code: str, cell: str) -> None:
        """Takes back what was said of one cell, since its row turned out to be no data. Of more than `SHOWN_PER_CODE`
        only the number is known by then, and it stays."""
        if code in self._summary_at:
            return
        for number, one in enumerate(self._findings):
            if one.code == code and one.origin.cell == cell:
                del self._findings[number]
                self._counts[code] -= 1
                self._summary_at = {name: at - (at > number) for name, at in self._summary_at.items()}
                return

    def _count(self, code: str, one: Finding) -> None:
        count = self._counts[code] = self._counts.get(code, 0) + 1
        if count <= SHOWN_PER_CODE:
            self._findings.append(one)
            return
        more = finding(code, one.origin, f"and {count - SHOWN_PER_CODE} more of this kind, the last one here")
        if code in self._summary_at:
            self._findings[self._summary_at[code]] = more
        else:
            self._summary_at[code] = len(self._findings)
            self._findings.append(more)

"""Ditto marks, resolved in the order of the sheet: each repeats what stands in the cell above it."""

from __future__ import annotations

from crosswalk.findings import Finding, Origin, finding
from crosswalk.mapping.plan import Plan
from crosswalk.mapping.store import StoredRow
from crosswalk.values.folding import fold


class Dittos:
    """Follows the rows of one sheet. A row that is left out still stands above the next one."""

    def __init__(self, plan: Plan, source: int) -> None:
        self._plan = plan
        self._above = StoredRow(source, 0, [])
        self._openers = frozenset(letter for text in plan.ditto for letter in text[:1] + text[:1].upper() + " \t\xa0")

    def resolve(self, row: StoredRow) -> list[Finding]:
        """Puts what is repeated in the place of each mark. Where that cannot be told: an error of the cell."""
        found = []
        marks = [index for index, text in enumerate(row.texts) if text and text[0] in self._openers]
        marks = [index for index in marks if fold(row.texts[index]) in self._plan.ditto]
        if marks:
            written, row.texts = row.texts, list(row.texts)
            found = [one for index in marks if (one := self._repeat(row, index, written[index]))]
        self._above = row
        return found

    def _repeat(self, row: StoredRow, index: int, mark: str) -> Finding | None:
        above = self._above
        repeated = above.texts[index] if index < len(above.texts) else ""
        if repeated and index not in above.errors:
            row.dittos[index] = (mark, above.number)
            row.texts[index] = repeated
            row.moved = row.moved or above.moved
            return None
        code = "MP12" if index in above.errors else "MP04"
        why = "which cannot be read" if index in above.errors else "and nothing stands there"
        row.errors[index] = code
        place = Origin(file=self._plan.file, cell=self._plan.address(row.number, index))
        return finding(code, place, f'"{mark}" repeats the cell above it, {why}', value=mark)

"""Rows below the header that are not data: totals, and the header repeated on every printed page."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator
from functools import lru_cache

from crosswalk.sheets.cells import Role, Row

TOTALS = (
    "total", "totals", "grand total", "subtotal", "sub-total", "sub total", "sum", "count", "average",
    "summe", "gesamt", "gesamtsumme", "anzahl", "somme", "suma", "totale", "totaal",
)  # fmt: skip
NUMERIC = re.compile(r"[-+]?[\d.,:'\s]*\d\s*(%|h|hrs?|hours?|min|mins|minutes|sec|secs?)?\.?", re.IGNORECASE)
MAX_TAIL_CELLS = 2
MIN_COLUMNS_FOR_TAIL = 4


class RoleRules:
    """Decides the role of each row below a header. Looks at few cells, since it sees every row."""

    def __init__(self, header: tuple[str, ...], further_totals: tuple[str, ...] = ()) -> None:
        self._header = [text.strip() for text in header]
        self._first = next((text for text in self._header if text), "")
        self._opens_totals = _totals_pattern(further_totals)
        self._key_column = -1

    def assign(self, rows: Iterator[Row], found: Callable[[Row], None]) -> Iterator[Row]:
        """The same rows with their roles; `found` hears of each totals row. A row of figures alone is a totals row
        only where no data follow, so such rows are held back until that is known."""
        waiting: list[Row] = []
        for row in rows:
            if self._is_tail(row):
                waiting.append(row)
                continue
            if waiting:
                yield from waiting
                waiting.clear()
            yield self._with_role(row, found)
        for row in waiting:
            row.role = Role.TOTALS
            found(row)
            yield row

    def _with_role(self, row: Row, found: Callable[[Row], None]) -> Row:
        texts = row.texts
        first = texts[0] or next(filter(None, texts))
        if self._opens_totals(first) is not None and self._is_totals(row):
            row.role = Role.TOTALS
            found(row)
        elif first.strip() == self._first and [text.strip() for text in texts][: len(self._header)] == self._header:
            row.role = Role.HEADER
        return row

    def _is_totals(self, row: Row) -> bool:
        """All other cells are figures, or once more words of a total: a programme called "Total Eclipse" is data."""
        filled = [text for text in row.texts if text.strip()]
        others = filled[1:]
        return all(NUMERIC.fullmatch(text.strip()) or self._opens_totals(text) or text[:1] == "#" for text in others)

    def _is_tail(self, row: Row) -> bool:
        """One or two figures in a wide table, with nothing in the column where every row begins."""
        texts = row.texts
        if self._key_column < 0:
            self._key_column = next(index for index, text in enumerate(texts) if text)
            return False
        if (self._key_column < len(texts) and texts[self._key_column]) or len(self._header) < MIN_COLUMNS_FOR_TAIL:
            return False
        filled = [text for text in texts if text]
        return len(filled) <= MAX_TAIL_CELLS and all(NUMERIC.fullmatch(text.strip()) for text in filled)


@lru_cache
def _totals_pattern(further: tuple[str, ...]) -> Callable[[str], re.Match[str] | None]:
    """Matches a cell that is nothing but a word for a total, one word for what is counted, and perhaps the figure."""
    words = "|".join(sorted((re.escape(word) for word in (*TOTALS, *further)), key=len, reverse=True))
    pattern = rf"\s*(?:(?:{words})\s*(?:[:=]\s*[\d.,:\s]*)?|(?:{words})(?:\s+[^\W\d]+){{1,3}}\s*[:=]\s*[\d.,:\s]*)$"
    return re.compile(pattern, re.IGNORECASE).match

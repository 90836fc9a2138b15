"""Rows below the header that are not data: totals, and the header repeated on every printed page, or where another
sheet was put below the first."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator, Sequence
from functools import lru_cache
from typing import Protocol

from crosswalk.sheets.cells import Kind, Role, Row, fold_heading

TOTALS = (
    "total", "totals", "grand total", "subtotal", "sub-total", "sub total", "sum", "count", "average",
    "summe", "gesamt", "gesamtsumme", "anzahl", "somme", "suma", "totale", "totaal",
)  # fmt: skip
NUMERIC = re.compile(r"[-+]?[\d.,:'\s]*\d\s*(%|h|hrs?|hours?|min|mins|minutes|sec|secs?)?\.?", re.IGNORECASE)
MAX_TAIL_CELLS = 2
MIN_COLUMNS_FOR_TAIL = 4
LOOKED_AT = 4  # cells of each row; where none of them is a heading, the row is no header
MIN_HEADINGS = 3  # in a row that is taken for a header though it differs from it


class Report(Protocol):
    """Who hears of rows that are unusual."""

    def uneven(self, row: Row) -> None:
        """A row that is longer or shorter than most."""

    def totals(self, row: Row) -> None:
        """A row that was read as totals."""

    def headings(self, row: Row) -> None:
        """A row that was read as a header and differs from the header."""


class Words:
    """The headings of a sheet, and the wordings that its mapping knows: what a header further down consists of."""

    def __init__(self, rows: Sequence[Sequence[str]], known: frozenset[str] = frozenset()) -> None:
        self._columns: dict[str, set[int]] = {}
        for texts in rows:
            for index, text in enumerate(texts):
                self._columns.setdefault(fold_heading(text), set()).add(index)
        self._folded = (known | self._columns.keys()) - {""}
        written = {text.strip() for texts in rows for text in texts}
        usual = (str.upper, str.lower, str.title, str.capitalize)
        spelled = written | {change(text) for text in self._folded for change in usual}
        self.absent = frozenset(spelled - {""}).isdisjoint  # of a row's texts, fast: in no usual spelling

    def make_up(self, texts: Sequence[str]) -> bool:
        """Whether most of what a row says are headings."""
        filled = [fold_heading(text) for text in texts if text.strip()]
        headings = sum(text in self._folded for text in filled)
        return headings >= MIN_HEADINGS and 3 * headings >= 2 * len(filled)

    def moved(self, texts: Sequence[str]) -> bool:
        """Whether one of the sheet's own headings stands over another column."""
        columns = self._columns
        return any(index not in columns.get(fold_heading(text), {index}) for index, text in enumerate(texts) if text)


class RoleRules:
    """Decides the role of each row below a header. It sees every row, so it looks at the first cell only, and takes
    the row apart where that cell begins like a total or like the header."""

    def __init__(self, header: tuple[str, ...], words: Words, further_totals: tuple[str, ...] = ()) -> None:
        self._words = words
        self._header = [text.strip() for text in header]
        self._first = next((text for text in self._header if text), "")
        self._opens_totals = _totals_pattern(further_totals)
        openers = (*TOTALS, *further_totals, self._first)
        self._suspect = frozenset(
            letter for word in openers for letter in word[:1].lower() + word[:1].upper() + " \t\n\xa0"
        )
        self._key_column = -1

    def assign(self, rows: Iterator[Row], width: int, report: Report) -> Iterator[Row]:
        """The same rows with their roles; `width` is that of most rows. A row of figures alone is a totals row only
        where no data follow, so such rows are held back until that is known."""
        waiting: list[Row] = []
        suspect, uneven, plain, moved = self._suspect, report.uneven, self._words.absent, ""
        for row in rows:
            texts = row.texts
            if moved:
                row.moved = moved
            if len(texts) != width:
                uneven(row)
            first = texts[0]
            if first and first[0] not in suspect and not self._key_column and not waiting and plain(texts[:LOOKED_AT]):
                yield row
            elif not any(map(str.strip, texts)):
                if any(texts):  # as blank as a row of empty cells, but its cells are not empty and are accounted for
                    row.role = Role.BLANK
                    yield row
            elif self._is_tail(row):
                waiting.append(row)
            else:
                yield from waiting
                waiting.clear()
                yield self._with_role(row, report)
                if row.role is Role.HEADER:
                    moved = "SH23" if self._words.moved(texts) else ""
        for row in waiting:
            yield self._totals(row, report)

    def _with_role(self, row: Row, report: Report) -> Row:
        first = next(filter(None, row.texts))
        if self._opens_totals(first) is not None and self._is_totals(row):
            return self._totals(row, report)
        texts = [text.strip() for text in row.texts]
        if first.strip() == self._first and texts[: len(self._header)] == self._header[: len(texts)]:
            row.role = Role.HEADER
        elif self._words.make_up(texts):
            row.role = Role.HEADER
            report.headings(row)
        return row

    @staticmethod
    def _totals(row: Row, report: Report) -> Row:
        row.role = Role.TOTALS
        report.totals(row)
        return row

    def _is_totals(self, row: Row) -> bool:
        """All other cells are figures, or once more words of a total: a programme called "Total Eclipse" is data."""
        filled = [index for index, text in enumerate(row.texts) if text.strip()]
        others = [row.texts[index] for index in filled[1:] if not _is_figure(row, index)]
        return all(self._opens_totals(text) or text[:1] == "#" for text in others)

    def _is_tail(self, row: Row) -> bool:
        """One or two figures in a wide table, with nothing in the column where every row begins."""
        texts = row.texts
        if self._key_column < 0:
            self._key_column = next(index for index, text in enumerate(texts) if text)
            return False
        if (self._key_column < len(texts) and texts[self._key_column]) or len(self._header) < MIN_COLUMNS_FOR_TAIL:
            return False
        filled = [index for index, text in enumerate(texts) if text]
        return len(filled) <= MAX_TAIL_CELLS and all(_is_figure(row, index) for index in filled)


def _is_figure(row: Row, index: int) -> bool:
    """Whether a cell holds a figure, or a formula that has no stored value and in a row of totals would give one."""
    return row.kinds.get(index) is Kind.EMPTY_FORMULA or NUMERIC.fullmatch(row.texts[index].strip()) is not None


@lru_cache
def _totals_pattern(further: tuple[str, ...]) -> Callable[[str], re.Match[str] | None]:
    """Matches a cell that is nothing but a word for a total, one word for what is counted, and perhaps the figure."""
    words = "|".join(sorted((re.escape(word) for word in (*TOTALS, *further)), key=len, reverse=True))
    pattern = rf"\s*(?:(?:{words})\s*(?:[:=]\s*[\d.,:\s]*)?|(?:{words})(?:\s+[^\W\d]+){{1,3}}\s*[:=]\s*[\d.,:\s]*)$"
    return re.compile(pattern, re.IGNORECASE).match

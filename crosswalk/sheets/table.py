"""From a sheet as it stands to the table in it: headings, what stands outside, and a stream of rows with roles."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Iterator, Sequence
from itertools import chain
from typing import NamedTuple

from crosswalk.sheets.cells import Heading, Kind, ReadOptions, Role, Row, Sheet, column_letters, fold_heading
from crosswalk.sheets.dress import report_unread_dress
from crosswalk.sheets.header import SAMPLE_ROWS, Header, find_header
from crosswalk.sheets.raw import Range, RawSheet
from crosswalk.sheets.roles import RoleRules, Words

FEW_SHORT = 0.2  # of the rows


class Lengths(NamedTuple):
    """How many cells a row has, and whether nearly every row has as many."""

    usual: int
    even: bool


def find_table(raw: RawSheet, options: ReadOptions) -> Sheet:
    """The table of a sheet. What is unusual is a finding; nothing raises."""
    sample = _sample(raw, options)
    header = find_header(sample, raw, options) if sample else None
    headings = _headings(header, raw, sample)
    _report(raw, header, headings, sample)
    if header is not None:
        report_unread_dress(raw, header.last_row, options)
    last = header.last_row if header else 0
    below = [len(row.texts) for row in sample if row.number > last]
    lengths = Lengths(_usual_length(sample, header, len(headings)), _is_even(below, len(headings)))
    return Sheet(
        file=raw.file,
        name=raw.name,
        headings=headings,
        outside=_outside(sample, header),
        findings=raw.findings,
        rows=lambda: _rows(raw, header, len(headings), lengths, options),
        first_data_row=next((row.number for row in sample if row.number > last), last + 1),
        row_count=raw.row_count,
    )


def _sample(raw: RawSheet, options: ReadOptions) -> list[Row]:
    """The first rows; as many as it takes to hold a stated header."""
    sample: list[Row] = []
    for row in raw.rows():
        sample.append(row)
        if len(sample) >= SAMPLE_ROWS and row.number > (options.header_row or 0) + 1:
            break
    return sample


def _headings(header: Header | None, raw: RawSheet, sample: Sequence[Row]) -> list[Heading]:
    """One heading a column: up to the last one with a heading, or, in a workbook, with content."""
    texts = list(header.texts) if header else []
    while texts and not texts[-1]:
        texts.pop()
    if raw.width is not None or not header:
        texts += [""] * (max((raw.width or 0), *(len(row.texts) for row in sample), 0) - len(texts))
    seen: Counter[str] = Counter()
    headings = []
    for index, text in enumerate(texts):
        folded = fold_heading(text)
        seen[folded] += 1
        headings.append(Heading(index, text, seen[folded], index in raw.hidden_columns))
    return headings


def _outside(sample: Sequence[Row], header: Header | None) -> list[Row]:
    if header is None:
        return []
    above = [row for row in sample if row.number <= header.last_row]
    for row in above:
        row.role = Role.HEADER if row.number >= header.rows[0].number else Role.TITLE
    return above


def _usual_length(sample: Sequence[Row], header: Header | None, width: int) -> int:
    """How many cells a row may have: as many as the header was written with, or as most rows have, where those beyond
    the headings are empty, as where every row ends in a delimiter, but not the header."""
    if header is None:
        return width
    written = len(header.rows[-1].texts)
    below = [row.texts for row in sample if row.number > header.last_row]
    lengths = Counter(len(texts) for texts in below if not any(texts[width:]))
    length, count = max(lengths.items(), key=lambda item: (item[1], item[0]), default=(0, 0))
    as_header = sum(len(texts) == written for texts in below)
    is_usual = count > 1 and count * 2 > len(below) and as_header <= len(below) * FEW_SHORT
    return max(written, length) if is_usual else written


def _is_even(lengths: Sequence[int], width: int) -> bool:
    """Whether whoever wrote the rows ended them with their empty cells: at least every second one."""
    short = sum(length < width for length in lengths)
    return short < len(lengths) and (short == 1 or short * 2 <= len(lengths))


def _rows(raw: RawSheet, header: Header | None, width: int, lengths: Lengths, options: ReadOptions) -> Iterator[Row]:
    """The rows below the header, those of empty cells left out."""
    if header is None:
        return map(_blank, raw.rows())
    all_alike = lengths.usual == width or raw.width is not None
    even = lengths.usual if all_alike else -1  # -1: look at every row for surplus cells
    below = _below(raw.rows(), header.last_row)
    if covering := _spans_by_row(raw, header.last_row):
        below = (_cover(row, covering.get(row.number, ()), raw) for row in below)
    words = Words([header.texts, *(row.texts for row in header.rows)], options.known_headings)
    report = _RowReport(raw, header.texts, lengths)
    return RoleRules(header.texts, words, options.totals).assign(below, even, report)


def _blank(row: Row) -> Row:
    """The same row, marked where it has nothing but white space."""
    if not any(map(str.strip, row.texts)):
        row.role = Role.BLANK
    return row


def _below(rows: Iterator[Row], last: int) -> Iterator[Row]:
    """The rows after the header; the iterator itself once it is past, so that no step is added to each row."""
    first = next((row for row in rows if row.number > last), None)
    return rows if first is None else chain([first], rows)


def _spans_by_row(raw: RawSheet, after: int) -> dict[int, list[Range]]:
    """The merged ranges in each row of the table."""
    found: dict[int, list[Range]] = {}
    for span in raw.merged:
        for row in range(max(span.top, after + 1), min(span.bottom, raw.row_count or span.bottom) + 1):
            found.setdefault(row, []).append(span)
    return found


def _cover(row: Row, spans: Iterable[Range], raw: RawSheet) -> Row:
    """The row, with what stands hidden below merged cells marked as that: nobody sees it in the sheet."""
    hidden = [
        index
        for span in spans
        for index in range(span.left, min(span.right + 1, len(row.texts)))
        if row.texts[index] and (row.number, index) != (span.top, span.left)
    ]
    row.kinds.update(dict.fromkeys(hidden, Kind.COVERED))
    if hidden:
        texts = ", ".join(f'"{row.texts[index][:60]}"' for index in hidden)
        place = raw.address(row.number, hidden[0])
        raw.notes.row("SH28", row.number, place, f"hidden below a merged cell: {texts}", row.texts[hidden[0]])
    return row


class _RowReport:
    """Turns unusual rows into findings. Only delimited rows have a length of their own."""

    def __init__(self, raw: RawSheet, header: Sequence[str], lengths: Lengths) -> None:
        self._raw, self._header, self._lengths = raw, header, lengths
        self._width = max((index for index, text in enumerate(header, 1) if text), default=0)

    def uneven(self, row: Row) -> None:
        """A row that is longer or shorter than the header, where that says something. In one that is longer the cells
        have moved, and the one beyond the header may be empty; in one that is shorter they may have, where all other
        rows end in their empty cells."""
        raw, count, width = self._raw, len(row.texts), self._width
        if raw.width is not None:
            return
        if count > self._lengths.usual or any(row.texts[width:]):
            row.moved = "SH05"
            surplus = next((index for index in range(width, count) if row.texts[index]), count - 1)
            message = f"the row has {count} cells, the header {width}; cells may stand in wrong columns"
            raw.notes.row("SH05", row.number, raw.address(row.number, surplus), message, row.texts[surplus])
        elif count < width:
            message = f"the row has {count} cells, the header {self._lengths.usual}"
            code = "SH25" if self._lengths.even else "SH06"
            row.moved = code if self._lengths.even else row.moved
            raw.notes.row(code, row.number, raw.address(row.number, count - 1), message)

    def totals(self, row: Row) -> None:
        """A row that was read as totals."""
        raw, index = self._raw, next(index for index, text in enumerate(row.texts) if text)
        raw.notes.withdraw("SH25", raw.address(row.number, len(row.texts) - 1))
        for sum_of, kind in row.kinds.items():
            if kind is Kind.EMPTY_FORMULA:
                raw.notes.withdraw("SH14", raw.address(row.number, sum_of))
        message = "read as a totals row, and set aside"
        raw.notes.row("SH07", row.number, raw.address(row.number, index), message, row.texts[index])

    def headings(self, row: Row) -> None:
        """A row that was read as a header and differs from the header."""
        raw, header = self._raw, [*self._header, *[""] * len(row.texts)]
        filled = [index for index, text in enumerate(row.texts) if text.strip()]
        odd = [index for index in filled if fold_heading(row.texts[index]) != fold_heading(header[index])]
        if not odd:
            return
        index = odd[0]
        text = row.texts[index]
        message = f'read as a header once more, and set aside; "{text}" stands below the heading "{header[index]}"'
        raw.notes.row("SH23", row.number, raw.address(row.number, index), message, text)


def _report(raw: RawSheet, header: Header | None, headings: list[Heading], sample: Sequence[Row]) -> None:
    if not sample:
        raw.notes.once("SH08", f"{_called(raw)} has no cells", value=raw.name)
        return
    if header is None:
        first = raw.address(sample[0].number, 0)
        raw.notes.once("SH09", f"{_called(raw)} has no row that is like a header", cell=first)
        return
    if sample[-1].number <= header.last_row:
        raw.notes.once("SH10", f"{_called(raw)} has a header and no rows below it", value=raw.name)
    for heading in headings:
        if heading.occurrence > 1 and heading.text and heading.index not in header.merged:
            message = f'"{heading.text}" stands over more than one column (occurrence {heading.occurrence})'
            raw.notes.once("SH11", message, cell=raw.address(header.last_row, heading.index), value=heading.text)
    for span in raw.merged:
        if span.top > header.last_row:
            below = raw.address(span.bottom, span.right)
            message = f"merged with the cells up to {below}, which are read as empty"
            raw.notes.cell("SH16", raw.address(span.top, span.left), message)
    hidden = [column_letters(heading.index) for heading in headings if heading.hidden]
    if hidden:
        raw.notes.once("SH12", f"hidden columns were read: {', '.join(hidden)}", value=", ".join(hidden))


def _called(raw: RawSheet) -> str:
    return f'sheet "{raw.name}"' if raw.name else "the file"

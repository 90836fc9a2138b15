"""Which rows of a sheet are its header, and what each column is called."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Sequence

import msgspec

from crosswalk.sheets.cells import ReadOptions, Row, fold_heading
from crosswalk.sheets.raw import RawSheet
from crosswalk.sheets.roles import Words

SAMPLE_ROWS = 60
MAX_HEADING_CHARS = 80
VALUE_DIGIT_SHARE = 0.4  # a text with more digits than this is rather a value than a heading


class Header(msgspec.Struct, frozen=True):
    """The rows of the header and one text a column; `merged` are columns whose text is repeated from a merged cell."""

    rows: tuple[Row, ...]
    texts: tuple[str, ...]
    merged: frozenset[int] = frozenset()

    @property
    def last_row(self) -> int:
        """The number of the header's last row."""
        return self.rows[-1].number


def find_header(sample: Sequence[Row], raw: RawSheet, options: ReadOptions) -> Header | None:
    """The header, by the strongest evidence there is: the row that a mapping states, the headings that it names, or
    else the shape of the rows. None where nothing is like one."""
    candidates = list(_candidates(sample, raw, options))
    if options.header_row is not None:
        return next((one for one in candidates if one.rows[0].number == options.header_row), None)
    return _by_known_headings(candidates, options.known_headings) or _by_shape(candidates, sample)


def _candidates(sample: Sequence[Row], raw: RawSheet, options: ReadOptions) -> Iterator[Header]:
    """Every row, and every pair of adjacent rows, as the header it would make; pairs first where the upper row has
    merged cells, for then they are likelier than the single row."""
    for position, row in enumerate(sample):
        below = sample[position + 1] if position + 1 < len(sample) else None
        adjacent = below if below is not None and below.number == row.number + 1 else None
        single = _single(row, raw)
        pair = _pair(row, adjacent, raw) if adjacent is not None else None
        if options.header_rows == 2:
            if pair is not None:
                yield pair
        elif pair is None or options.header_rows == 1:
            yield single
        elif _has_groups(row, raw):
            yield from (pair, single)
        else:
            yield from (single, pair) if options.known_headings and options.header_row is None else (single,)


def _single(row: Row, raw: RawSheet) -> Header:
    texts, repeated = _spread(row, raw)
    return Header((row,), tuple(texts), frozenset(repeated))


def _pair(upper: Row, lower: Row, raw: RawSheet) -> Header:
    above, repeated = _spread(upper, raw)
    below, _ = _spread(lower, raw)
    width = max(len(above), len(below))
    above += [""] * (width - len(above))
    below += [""] * (width - len(below))
    if not _has_groups(upper, raw):
        above = _carried_right(above, below)
    texts = (" ".join(part for part in pair if part) for pair in zip(above, below, strict=True))
    return Header((upper, lower), tuple(texts), frozenset(i for i in repeated if not below[i]))


def _spread(row: Row, raw: RawSheet) -> tuple[list[str], set[int]]:
    """The texts of a row with each merged cell's text repeated over its columns, and where it was repeated."""
    texts, repeated = [text.strip() for text in row.texts], set()
    for span in raw.merged:
        if span.top == row.number and span.right > span.left and span.left < len(texts):
            texts += [""] * (span.right + 1 - len(texts))
            for index in range(span.left + 1, span.right + 1):
                texts[index] = texts[span.left]
                repeated.add(index)
    return texts, repeated


def _carried_right(above: list[str], below: list[str]) -> list[str]:
    """Where no merged ranges are known (delimited text), a group's name stands over its first column only."""
    carried, group = [], ""
    for upper, lower in zip(above, below, strict=True):
        group = upper or (group if lower else "")
        carried.append(group)
    return carried


def _has_groups(row: Row, raw: RawSheet) -> bool:
    """Whether the row has several cells, one of them merged: a row of group names. One merged cell alone is a title."""
    filled = sum(1 for text in row.texts if text.strip())
    short = all(len(text) <= MAX_HEADING_CHARS // 2 for text in row.texts)
    return filled > 1 and short and any(span.top == row.number for span in raw.merged)


def _by_known_headings(candidates: Sequence[Header], known: frozenset[str]) -> Header | None:
    """The candidate with most headings that the mapping names; of equals the first, and the one of fewer rows."""
    if not known or not candidates:
        return None
    counted = [(len(known.intersection(map(fold_heading, one.texts))), one) for one in candidates]
    best = max(count for count, _ in counted)
    chosen = min((one for count, one in counted if count == best), key=lambda one: (one.rows[0].number, len(one.rows)))
    filled = sum(1 for text in chosen.texts if text)
    return chosen if best >= 2 or (best and best * 2 >= filled) else None


def _by_shape(candidates: Sequence[Header], sample: Sequence[Row]) -> Header | None:
    return next((one for one in candidates if _is_like_header(one, sample)), None)


def _is_like_header(header: Header, sample: Sequence[Row]) -> bool:
    """Most columns that are used further down have a heading; headings are words, and do not recur in their column."""
    below = [row for row in sample if row.number > header.last_row]
    filled = [index for index, text in enumerate(header.texts) if text]
    own = len(set(filled) - header.merged)
    if not own or own < min(2, len(filled)) or not _covers(len(filled), below, _above(header, sample)):
        return False
    values = sum(1 for index in filled if _is_like_value(header.texts[index]))
    return values * 5 <= len(filled) and _recurring(header, below) * 4 <= len(filled)


def _above(header: Header, sample: Sequence[Row]) -> list[Row]:
    return [row for row in sample if row.number < header.rows[0].number]


def _covers(count: int, below: Sequence[Row], above: Sequence[Row]) -> bool:
    """Whether that many headings are most of the columns; where nothing stands below, more than what stands above."""
    return count * 2 > _used_columns(below) if below else count > _used_columns(above)


def _used_columns(below: Sequence[Row]) -> int:
    """How many columns have content further down; a cell gone astray makes no column."""
    counts = Counter(index for row in below for index, text in enumerate(row.texts) if text.strip())
    enough = min(len(below), max(2, len(below) // 5))
    return sum(1 for count in counts.values() if count >= enough)


def _is_like_value(text: str) -> bool:
    digits = sum(1 for character in text if character.isdigit())
    return digits > VALUE_DIGIT_SHARE * len(text.replace(" ", "")) or len(text) > MAX_HEADING_CHARS


def _recurring(header: Header, below: Sequence[Row]) -> int:
    """How many texts of the header's last row stand in the same column further down, repeated headers left out."""
    last = header.rows[-1].texts
    words = Words([last])
    others = [row.texts for row in below if row.texts != last and not words.make_up(row.texts)]
    return sum(
        1
        for index, text in enumerate(last)
        if text.strip() and any(index < len(texts) and texts[index] == text for texts in others)
    )

"""A look at the XML of a worksheet for what calamine does not tell: error cells, formulas without a value, numbers that
a format shows otherwise, digits that a float would lose, hidden rows and columns.

The look searches the bytes of whole rows with compiled patterns, which costs a fraction of parsing; cells that are
nothing peculiar are never taken apart. Nothing is expanded or fetched, and a document type definition is refused.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator
from decimal import Decimal
from functools import lru_cache
from html import unescape
from itertools import chain

import msgspec

from crosswalk.sheets.cells import Kind, column_letters
from crosswalk.sheets.formats import Format, Shown, Shows, shown
from crosswalk.sheets.peculiar import Cells, Peculiar
from crosswalk.sheets.raw import Dress
from crosswalk.sheets.rich import unstruck
from crosswalk.sheets.texts import EXACT_TO
from crosswalk.xmlio import parse_tree

MAX_AREA = 20_000_000  # cells of the rectangle that calamine would lay out in memory
MAX_SPARSENESS = 30
MAX_ROW_BYTES = 64_000_000
MAX_COLUMNS = 16_384
ATTRIBUTE = re.compile(rb"([\w:.-]+)\s*=\s*\"([^\"]*)\"")
REFERENCE = re.compile(rb"([A-Z]{1,3})([1-9]\d{0,6})")
NUMBER = re.compile(r"[-+]?\d{1,400}(?:\.\d*)?(?:[eE][-+]?\d{1,2})?")
TEXT_TYPES = frozenset({b"str", b"s", b"inlineStr"})


class Look(msgspec.Struct):
    """What was seen: peculiar cells by row number and column index; hidden rows and columns; how large the sheet is."""

    cells: Cells = {}
    hidden_rows: list[int] = []
    hidden_columns: set[int] = set()
    last_row: int = 0
    width: int = 26  # columns, rounded up to the next multiple of the alphabet
    cell_count: int = 0
    dress: Dress = {}

    @property
    def sprawls(self) -> bool:
        """Whether few cells stand so far apart that laying the sheet out would fill the memory."""
        area = self.last_row * self.width
        return area > MAX_AREA and area > MAX_SPARSENESS * self.cell_count


class Styles(msgspec.Struct, frozen=True):
    """The formats and looks of a workbook by the number of the cell style, and the epoch of its dates."""

    formats: dict[int, Format]
    epoch_1904: bool = False
    looks: dict[int, tuple[str, ...]] = {}  # fill and strike-out
    part_struck: dict[int, str] = {}  # what is left of shared strings that are struck out in part

    def numbers(self, *wanted: Shows) -> bytes:
        """The style numbers that show one of these, as alternatives of a pattern; one that never matches for none."""
        return b"|".join(b"%d" % n for n, form in self.formats.items() if form.shows in wanted) or b"(?!)"


class UnsafeXml(ValueError):
    """The XML of a worksheet holds what no spreadsheet program writes; the text says what."""


def look_over(blocks: Iterable[bytes], styles: Styles) -> Look:
    """What is peculiar in one worksheet, from its XML. Raises UnsafeXml."""
    stream = iter(blocks)
    head = next(stream, b"")
    patterns = _Patterns(_plain(head), styles)
    numbered, looker = _Numbering(patterns), _Looker(patterns, styles)
    for piece in _whole_rows(map(_plain, chain([head], stream)), patterns.row_start):
        looker(numbered(piece))
    return looker.look


def _whole_rows(blocks: Iterable[bytes], row_start: bytes) -> Iterator[bytes]:
    """The XML in pieces that end where a row begins."""
    rest = b""
    for block in blocks:
        text = rest + block
        cut = max(text.rfind(row_start), 0)
        rest = text[cut:]
        if len(rest) > MAX_ROW_BYTES:
            raise UnsafeXml(f"a row of more than {MAX_ROW_BYTES:,} bytes")
        yield text[:cut]
    yield rest


def _plain(block: bytes) -> bytes:
    """The XML without comments and marked sections, and with its attributes in double quotes."""
    if b"<!" in block:
        if b"<!DOCTYPE" in block or b"<!ENTITY" in block:
            raise UnsafeXml("a document type definition")
        block = re.sub(rb"<!--.*?-->|<!\[CDATA\[.*?\]\]>", b"", block, flags=re.DOTALL)
    if b"='" in block and b'r="' not in block:
        block = re.sub(rb"=\s*'([^'\"<>]*)'", rb'="\1"', block)
    return block


class _Patterns:
    """The patterns for one worksheet: they depend on its name space prefix and on the workbook's styles.

    Each of `triggers` begins with a literal, which the search skips to at the speed of memory. A trigger only points at
    a cell; what the cell is, is then read from the cell itself.
    """

    def __init__(self, head: bytes, styles: Styles) -> None:
        root = re.search(rb"<([\w.-]+:)?worksheet\b", head)
        prefix = root[1] if root and root[1] else b""
        self.row_start, self.cell_start, self.cell_end = b"<%srow" % prefix, b"<%sc " % prefix, b"</%sc>" % prefix
        p = re.escape(prefix)
        self.column = re.compile(rb"<%scol ([^>]*)>" % p)
        self.row_or_cell = re.compile(rb"<%s(row|c)(?=[\s/>])([^>]*)" % p)
        self.hidden_row = re.compile(rb"<%srow ([^>]*?\bhidden=\"(?:1|true)\"[^>]*)" % p)
        self.last_row = re.compile(rb".*<%srow\s[^>]*?\br=\"(\d+)" % p, re.DOTALL)
        self.usual = re.compile(
            rb"<%sc r=\"([A-Z]{1,3})([1-9]\d{0,6})\" s=\"(\d+)\"(?: t=\"n\")?><%sv>([^<]+)</%sv></%sc>" % (p, p, p, p)
        )  # how most programs write a number
        self.value = re.compile(rb"<%sv>([^<]*)</" % p)
        self.formula = re.compile(rb"<%sf\b[^>]*>([^<]*)</" % p)
        numbers = b"|".join(b"%d" % number for number in styles.looks)
        self.dressed = re.compile(rb" s=\"(%s)\"[^>]*(?<!/)>(?!</)" % numbers) if numbers else None
        self.row = re.compile(rb"<%sc r=\"[A-Z]{1,3}(\d+)\"" % p)
        self.triggers = tuple(re.compile(pattern) for pattern in _triggers(p, styles))


def _triggers(p: bytes, styles: Styles) -> Iterator[bytes]:
    """What betrays a peculiar cell: an error, a format that shows another thing, a date or time out of range, a number
    of many digits, a formula that ends without a value."""
    always = styles.numbers(Shows.DIGITS, Shows.PERCENT, Shows.YEAR, Shows.MONTH, Shows.DAY_OF_YEAR)
    dates, times = styles.numbers(Shows.DATE), styles.numbers(Shows.TIME, Shows.LENGTH)
    far = rb"-|(?:1[89]|20)\d\d</|\d{1,2}(?:\.\d*)?</|(?:29[6-9]|[3-9]\d\d)\d{4}|\d{8}"
    value = rb"\"[^>]*>(?:<%sf\b[^>]*(?:/>|>[^<]*</%sf>))?<%sv>" % (p, p, p)
    no_value = rb"\s*(?:<%sv ?/>|<%sv></%sv>)?\s*</%sc>" % (p, p, p, p)
    yield rb't="e"'
    yield rb"<%sstrike" % p
    if styles.part_struck:
        yield rb't="s"[^>]*><%sv>(?:%s)<' % (p, b"|".join(b"%d" % number for number in styles.part_struck))
    yield rb's="(?:(?:%s)"|(?:%s)%s(?:%s)|(?:%s)%s(?:-|[1-9]))' % (always, dates, value, far, times, value)
    yield rb"<%sv>-?(?:\d{16}|\d(?:\.\d+)?[eE]\+?\d\d)" % p
    yield rb"</%sf>%s" % (p, no_value)
    yield rb"<%sf [^>]*/>%s" % (p, no_value)


class _Numbering:
    """Row and cell numbers may be left out of the XML, where they only count on; this writes them in."""

    def __init__(self, patterns: _Patterns) -> None:
        self._patterns = patterns
        self._row = self._column = 0
        self._needed: bool | None = None

    def __call__(self, text: bytes) -> bytes:
        if self._needed is None:
            first = next((tag for tag in self._patterns.row_or_cell.finditer(text) if tag[1] == b"c"), None)
            if first is None:
                return text
            self._needed = b"r" not in _attributes(first[2])
        return self._patterns.row_or_cell.sub(self._numbered, text) if self._needed else text

    def _numbered(self, match: re.Match[bytes]) -> bytes:
        stated = _attributes(match[2]).get(b"r")
        if match[1] == b"row":
            self._row, self._column = (int(stated) if stated else self._row + 1), 0
            return match[0] if stated else match[0].replace(match[2], b' r="%d"%s' % (self._row, match[2]), 1)
        self._column = column_index(stated) + 1 if stated else self._column + 1
        reference = b"%s%d" % (column_letters(self._column - 1).encode(), self._row)
        return match[0] if stated else b'%s r="%s"%s' % (match[0][: -len(match[2]) or None], reference, match[2])


def _attributes(tag: bytes) -> dict[bytes, bytes]:
    return dict(ATTRIBUTE.findall(tag))


@lru_cache(maxsize=MAX_COLUMNS)
def column_index(reference: bytes) -> int:
    """The column index from 0 of a cell reference.

    >>> column_index(b"A1"), column_index(b"AB12")
    (0, 27)
    """
    number = 0
    for byte in reference:
        if byte < 65:
            break
        number = number * 26 + (byte & 31)
    return number - 1


def _hidden_columns(text: bytes, patterns: _Patterns) -> Iterator[int]:
    for match in patterns.column.finditer(text):
        column = _attributes(match[1])
        if column.get(b"hidden") in (b"1", b"true"):
            yield from range(int(column[b"min"]) - 1, min(int(column[b"max"]), MAX_COLUMNS))


class _Looker:
    """Looks at piece after piece of one worksheet."""

    def __init__(self, patterns: _Patterns, styles: Styles) -> None:
        self.look = Look()
        self._patterns, self._styles = patterns, styles
        self._memo: dict[tuple[bytes, bytes], Peculiar | None] = {}

    def __call__(self, text: bytes) -> None:
        """Adds what is peculiar in one piece."""
        self._measure(text)
        self.look.hidden_columns.update(_hidden_columns(text, self._patterns))
        self.look.hidden_rows += [int(_attributes(m[1])[b"r"]) for m in self._patterns.hidden_row.finditer(text)]
        self._dress(text)
        starts = {
            text.rfind(self._patterns.cell_start, 0, match.start())
            for trigger in self._patterns.triggers
            for match in trigger.finditer(text)
        }
        for start in starts:
            usual = self._patterns.usual.match(text, start) if start >= 0 else None
            if usual is not None:
                self._note(usual[1], int(usual[2]), self._numeric(usual[4], usual[3]))
            elif start >= 0:
                self._cell(text[start : text.find(self._patterns.cell_end, start)])

    def _dress(self, text: bytes) -> None:
        """Notes the rows of cells with content whose style fills or strikes them out."""
        patterns = self._patterns
        for match in patterns.dressed.finditer(text) if patterns.dressed else ():
            cell = patterns.row.match(text, text.rfind(patterns.cell_start, 0, match.start()))
            if cell is not None:
                for name in self._styles.looks[int(match[1])]:
                    self.look.dress.setdefault(name, set()).add(int(cell[1]))

    def _measure(self, text: bytes) -> None:
        look = self.look
        look.cell_count += text.count(self._patterns.cell_start)
        last = self._patterns.last_row.match(text)
        look.last_row = max(look.last_row, int(last[1])) if last else look.last_row
        beyond = _beyond(look.width, look.last_row)
        while match := beyond.search(text):
            if match[1]:
                look.width = MAX_COLUMNS if len(match[1]) > 2 else 26 * (match[1][0] - 63)
            else:
                look.last_row = int(match[2])
            beyond = _beyond(look.width, look.last_row)

    def _cell(self, cell: bytes) -> None:
        tag, _, inner = cell.partition(b">")
        attributes = _attributes(tag)
        found = self._peculiar(attributes, inner)
        if found is not None and not tag.endswith(b"/"):
            reference = REFERENCE.fullmatch(attributes[b"r"])
            if reference is None:
                raise UnsafeXml(f"a cell with the reference {attributes[b'r']!r}")
            self._note(reference[1], int(reference[2]), found)

    def _note(self, letters: bytes, row: int, found: Peculiar | None) -> None:
        if found is not None:
            self.look.cells.setdefault(row, {})[column_index(letters)] = found

    def _numeric(self, raw: bytes, style: bytes) -> Peculiar | None:
        key = (raw, style)
        if key not in self._memo:
            self._memo[key] = _number(raw.decode().strip(), self._styles.formats.get(int(style)), self._styles)
        return self._memo[key]

    def _peculiar(self, attributes: dict[bytes, bytes], inner: bytes) -> Peculiar | None:
        kind = attributes.get(b"t", b"n")
        value = self._patterns.value.search(inner)
        if kind == b"e":
            return Peculiar(value[1].decode() if value else "#ERROR!", Kind.ERROR, "SH13")
        if kind in (b"s", b"inlineStr"):
            return self._struck(kind, inner, value)
        if value is None or not value[1]:
            return self._without_value(kind, inner)
        return self._numeric(value[1], attributes.get(b"s", b"0")) if kind == b"n" else None

    def _struck(self, kind: bytes, inner: bytes, value: re.Match[bytes] | None) -> Peculiar | None:
        """A text that is struck out in part. The row keeps the whole of it; the cell says what is left."""
        if kind == b"s":
            left = self._styles.part_struck.get(int(value[1])) if value else None
        else:
            left = unstruck(parse_tree(b"<is>%s</is>" % re.sub(rb"</?is[^>]*>", b"", inner), "inline text"))
        return None if left is None else Peculiar("", Kind.PART_STRUCK, "SH29", raw=left)

    def _without_value(self, kind: bytes, inner: bytes) -> Peculiar | None:
        """A formula whose stored value is the empty text says so by its type; one never calculated does not."""
        if kind in TEXT_TYPES or not re.match(rb"<(\w+:)?f\b", inner):
            return None
        formula = self._patterns.formula.search(inner)
        text = unescape(formula[1].decode()) if formula else "(shared formula)"
        return Peculiar("=" + text, Kind.EMPTY_FORMULA, "SH14")


def _beyond(width: int, last_row: int) -> re.Pattern[bytes]:
    """Matches a reference to a cell beyond a width that is a multiple of 26, or whose row has more digits than the last
    row: calamine lays out as many cells as the references say, whatever the rows say."""
    two = b"[%c-Z][A-Z]|" % (64 + width // 26) if width < 702 else b""
    column = rb"(%s[A-Z]{3,})\d" % two if width < MAX_COLUMNS else b"((?!))"
    return re.compile(rb"r=\"(?:%s|[A-Z]+(\d{%d,}))" % (column, len(str(last_row)) + 1))


def _number(raw: str, form: Format | None, styles: Styles) -> Peculiar | None:
    if not NUMBER.fullmatch(raw):  # calamine decides what to do with it
        return None
    seen: Shown | None = shown(raw, form, styles.epoch_1904) if form else None
    if seen is not None:
        return Peculiar(seen.text, seen.kind, seen.code, raw, form.code if form else "")
    if abs(float(raw)) >= EXACT_TO:
        return Peculiar(f"{Decimal(raw):f}", Kind.NUMBER, "SH15", raw)
    return None

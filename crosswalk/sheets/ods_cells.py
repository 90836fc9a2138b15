"""The cells of an OpenDocument table: OpenDocument 1.3 Part 3, 9.1 (tables) and 19.385 (office:value-type)."""

from __future__ import annotations

import re
from collections.abc import Iterator
from datetime import datetime, timedelta
from decimal import Decimal
from math import isfinite

from lxml import etree

from crosswalk.sheets.cells import Kind, Mark, Row
from crosswalk.sheets.formats import FIRST_SURE_SERIAL, LIKELY_YEARS
from crosswalk.sheets.peculiar import Peculiar
from crosswalk.sheets.raw import Range
from crosswalk.sheets.texts import EXACT_TO, date_text, length_text, number_text, percent_text

OFFICE = "urn:oasis:names:tc:opendocument:xmlns:office:1.0"
TABLE = "urn:oasis:names:tc:opendocument:xmlns:table:1.0"
TEXT = "urn:oasis:names:tc:opendocument:xmlns:text:1.0"
STYLE = "urn:oasis:names:tc:opendocument:xmlns:style:1.0"
FO = "urn:oasis:names:tc:opendocument:xmlns:xsl-fo-compatible:1.0"
CALC = "urn:org:documentfoundation:names:experimental:calc:xmlns:calcext:1.0"  # where LibreOffice says "error"
NUMBER_COLUMNS_REPEATED = f"{{{TABLE}}}number-columns-repeated"
STYLE_NAME = f"{{{TABLE}}}style-name"
ANNOTATION = f"{{{OFFICE}}}annotation"
VALUE_TYPE = f"{{{OFFICE}}}value-type"
STRING_VALUE = f"{{{OFFICE}}}string-value"
DATE_VALUE = f"{{{OFFICE}}}date-value"
TIME_VALUE = f"{{{OFFICE}}}time-value"
BOOLEAN_VALUE = f"{{{OFFICE}}}boolean-value"
VALUE = f"{{{OFFICE}}}value"
FORMULA = f"{{{TABLE}}}formula"
NUMBER_COLUMNS_SPANNED = f"{{{TABLE}}}number-columns-spanned"
NUMBER_ROWS_SPANNED = f"{{{TABLE}}}number-rows-spanned"
TEXT_P = f"{{{TEXT}}}p"
TEXT_C = f"{{{TEXT}}}c"
CALC_TYPE = f"{{{CALC}}}value-type"
CELLS = frozenset({f"{{{TABLE}}}table-cell", f"{{{TABLE}}}covered-table-cell"})
MAX_COLUMNS = 16_384
DURATION = re.compile(r"(-?)P(?:(\d+)D)?T(?:(\d+)H)?(?:(\d+)M)?(?:(\d+(?:[.,]\d+)?)S)?")
SERIAL_ZERO = datetime(1899, 12, 30)


class OdsStyles:
    """The automatic styles that matter here: fills, strike-out, hidden tables, and what a date format shows."""

    NUMBER = "urn:oasis:names:tc:opendocument:xmlns:datastyle:1.0"

    def __init__(self) -> None:
        self._marks: dict[str, Mark] = {}
        self._hidden_tables: set[str] = set()
        self._date_parts: dict[str, frozenset[str]] = {}
        self._date_style: dict[str, str] = {}

    def add(self, element: etree._Element) -> None:
        """Takes one style."""
        name = element.get(f"{{{STYLE}}}name", "")
        if etree.QName(element).localname == "date-style":
            self._date_parts[name] = frozenset(etree.QName(part).localname for part in element)
            return
        self._date_style[name] = element.get(f"{{{STYLE}}}data-style-name", "")
        fill = struck = ""
        for part in element:
            fill = part.get(f"{{{FO}}}background-color", fill)
            struck = part.get(
                f"{{{STYLE}}}text-line-through-style", part.get(f"{{{STYLE}}}text-line-through-type", struck)
            )
            if part.get(f"{{{TABLE}}}display") == "false":
                self._hidden_tables.add(name)
        mark = Mark(fill.lstrip("#").upper() if fill.startswith("#") else "", struck not in ("", "none"))
        if mark != Mark():
            self._marks[name] = mark

    def is_hidden_table(self, name: str) -> bool:
        """Whether a table of this style is hidden."""
        return name in self._hidden_tables

    def mark(self, name: str) -> Mark:
        """Fill and strike-out of a cell style."""
        return self._marks.get(name, Mark())

    def date_parts(self, name: str) -> frozenset[str]:
        """Which parts of a date a cell style shows: year, month, day, hours; empty where that is not known."""
        return self._date_parts.get(self._date_style.get(name, ""), frozenset())


class CellReader:
    """Reads the rows of one table."""

    def __init__(self, styles: OdsStyles, notes: bool) -> None:
        self._styles, self._notes = styles, notes
        self._column_styles: list[str] = []

    def row(self, element: etree._Element, number: int) -> tuple[Row, dict[int, Peculiar], list[Range]]:
        """A row, its peculiar cells, and the merged ranges that begin in it."""
        row, peculiar, spans = Row(number, []), dict[int, Peculiar](), list[Range]()
        index = 0
        for cell in element:
            if cell.tag not in CELLS:
                continue
            count = min(int(cell.get(NUMBER_COLUMNS_REPEATED, "1")), MAX_COLUMNS - index)
            places = range(index, index + count)
            found = self._cell(cell) if cell.attrib or len(cell) else None
            if found is not None:
                _put(row, peculiar, places, found)
            row.marks.update(self._marked(cell, places))
            spans += _span(cell, number, index)
            index += count
        return row, peculiar, spans

    def _marked(self, cell: etree._Element, places: range) -> dict[int, Mark]:
        mark = self._mark(cell)
        return {} if mark == Mark() else dict.fromkeys(places, mark)

    def _mark(self, cell: etree._Element) -> Mark:
        own = self._styles.mark(cell.get(STYLE_NAME, ""))
        notes = ["\n".join(_paragraphs(note)) for note in cell.iterchildren(ANNOTATION)] if self._notes else []
        return Mark(own.fill, own.struck, "\n".join(notes)) if notes else own

    def _cell(self, cell: etree._Element) -> Peculiar | None:
        kind, text = cell.get(VALUE_TYPE, ""), _text(cell)
        if cell.get(CALC_TYPE) == "error":
            return Peculiar(text or "#ERROR!", Kind.ERROR, "SH13")
        if kind == "string":
            text = cell.get(STRING_VALUE) or text
            return Peculiar(text, None) if text else None
        if not kind:
            return self._untyped(cell, text)
        if kind == "date":
            return self._date(cell.get(DATE_VALUE, ""), cell.get(STYLE_NAME, ""), text)
        if kind == "time":
            return Peculiar(_duration(cell.get(TIME_VALUE, "")) or text, Kind.TIME)
        if kind == "boolean":
            return Peculiar(cell.get(BOOLEAN_VALUE, text).upper(), Kind.BOOLEAN)
        return _number(cell.get(VALUE, ""), kind, text)

    def _untyped(self, cell: etree._Element, text: str) -> Peculiar | None:
        formula = cell.get(FORMULA)
        if formula is not None and not text:
            return Peculiar("=" + formula.partition("=")[2], Kind.EMPTY_FORMULA, "SH14")
        return Peculiar(text, None) if text else None

    def _date(self, value: str, style: str, text: str) -> Peculiar:
        try:
            moment = datetime.fromisoformat(value)
        except ValueError:  # a year before 1 or after 9999
            return Peculiar(value or text, Kind.DATE, "SH19", text, "date")
        parts = self._styles.date_parts(style)
        serial = (moment - SERIAL_ZERO).days
        doubtful = serial in LIKELY_YEARS or 0 <= serial < FIRST_SURE_SERIAL
        if doubtful and moment.time() == datetime.min.time():
            return Peculiar(date_text(moment), Kind.DATE, "SH19", str(serial), text)
        if "year" in parts and not parts & {"day", "hours", "day-of-week", "week-of-year", "quarter"}:
            month = f"-{moment.month:02d}" if "month" in parts else ""
            return Peculiar(f"{moment.year:04d}{month}", Kind.DATE, "SH18", value, "+".join(sorted(parts - {"text"})))
        if parts and "year" not in parts and {"month", "day"} <= parts:
            return Peculiar(f"--{moment.month:02d}-{moment.day:02d}", Kind.DATE, "SH20", value, "day and month")
        return Peculiar(date_text(moment), Kind.DATE)


def _put(row: Row, peculiar: dict[int, Peculiar], places: range, found: Peculiar) -> None:
    row.texts += [""] * (places.start - len(row.texts))
    row.texts += [found.text] * len(places)
    if found.kind is not None:
        row.kinds.update(dict.fromkeys(places, found.kind))
    if found.code:
        peculiar.update(dict.fromkeys(places, found))


def _number(value: str, kind: str, text: str) -> Peculiar | None:
    try:
        number = float(value)
    except ValueError:
        return Peculiar(text, None) if text else None
    if kind == "percentage":
        return Peculiar(percent_text(number), Kind.PERCENT)
    plain = number_text(number)
    if abs(number) >= EXACT_TO:
        return Peculiar(f"{Decimal(value):f}" if isfinite(number) else value, Kind.NUMBER, "SH15", value)
    digits = re.sub(r"\D", "", text)
    if kind == "float" and text != plain and not re.search(r"[.,%]", text) and digits and int(digits) == number:
        return Peculiar(text, None, "SH17", value, "of the column")
    return Peculiar(plain, Kind.NUMBER)


def _duration(value: str) -> str:
    """An XML Schema duration of days to seconds as a length; empty where it is none."""
    match = DURATION.fullmatch(value)
    if match is None:
        return ""
    days, hours, minutes = (int(part or 0) for part in match.group(2, 3, 4))
    length = timedelta(days=days, hours=hours, minutes=minutes, seconds=float((match[5] or "0").replace(",", ".")))
    return length_text(-length if match[1] else length)


def _span(cell: etree._Element, row: int, index: int) -> Iterator[Range]:
    if NUMBER_COLUMNS_SPANNED not in cell.attrib and NUMBER_ROWS_SPANNED not in cell.attrib:
        return
    columns = int(cell.get(NUMBER_COLUMNS_SPANNED, "1"))
    rows = int(cell.get(NUMBER_ROWS_SPANNED, "1"))
    if columns > 1 or rows > 1:
        yield Range(row, index, row + rows - 1, index + columns - 1)


def _text(cell: etree._Element) -> str:
    """The text of a cell; nearly every one is a single paragraph of plain text."""
    if len(cell) == 1 and cell[0].tag == TEXT_P and not len(cell[0]):
        return cell[0].text or ""
    return "\n".join(_paragraphs(cell)) if len(cell) else ""


def _paragraphs(element: etree._Element) -> Iterator[str]:
    """The paragraphs of a cell or of a note, without the notes inside the cell."""
    for part in element.iterchildren(TEXT_P):
        yield "".join(_pieces(part))


def _pieces(element: etree._Element) -> Iterator[str]:
    """Text as shown: runs of spaces, tabs and line breaks are elements (OpenDocument 1.3 Part 3, 6.1.3 to 6.1.5)."""
    yield element.text or ""
    for part in element:
        name = etree.QName(part).localname if isinstance(part.tag, str) else ""
        if name == "s":
            yield " " * min(int(part.get(TEXT_C, "1")), 32_767)
        elif name in ("tab", "line-break"):
            yield "\t" if name == "tab" else "\n"
        elif name not in ("", "annotation"):
            yield from _pieces(part)
        yield part.tail or ""

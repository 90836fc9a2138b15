"""Comma, semicolon and tab delimited text, as a stream of rows at nearly the speed of the bare csv module."""

from __future__ import annotations

import codecs
import csv
import re
from collections import Counter
from collections.abc import Callable, Iterator
from itertools import islice
from pathlib import Path
from typing import Literal

import msgspec

from crosswalk.errors import UnreadableInput
from crosswalk.findings import Finding
from crosswalk.sheets.cells import ReadOptions, Row
from crosswalk.sheets.encodings import SAMPLE_BYTES, Encoding, Misfit, detect, lines
from crosswalk.sheets.notes import Notes
from crosswalk.sheets.raw import RawSheet
from crosswalk.values.folding import fold

DELIMITERS = (",", ";", "\t")
WORDS = {",": "comma", ";": "semicolon", "\t": "tab"}
MAX_FIELD_CHARS = 16_000_000
LONG_QUOTE_LINES = 100
HEADER_LINES = 30  # where a header is looked for
QUOTE_SAMPLE_LINES = 2_000
MOST_ROWS = 0.8
STATEMENT = "sep="  # some spreadsheet programs open a file with a line that states the delimiter


class Form(msgspec.Struct, frozen=True):
    """How a delimited file is written."""

    encoding: Encoding
    delimiter: str
    quotes: bool  # whether quotation marks enclose cells; else they are text, such as ditto marks
    width: int = 0  # how many cells most rows have, 0 where none has more than one


def read_delimited(path: Path, options: ReadOptions) -> RawSheet:
    """The one table of a delimited file. Encoding and delimiter are detected unless stated, and reported."""
    with path.open("rb") as file:
        sample = file.read(SAMPLE_BYTES)
    encoding = _stated(path, options.encoding) if options.encoding else detect(sample)
    text = sample.decode(encoding.codec, errors="replace").removeprefix("\ufeff")
    delimiter = options.delimiter or detect_delimiter(text, options.known_headings)
    form = Form(encoding, delimiter, _quotes(text, delimiter, options), _evenness(text, delimiter)[1])
    findings: list[Finding] = []
    notes = Notes(findings, str(path))
    _report(notes, form, path)
    if options.marks:
        notes.once("SH22", "delimited text has no colours, strike-outs or notes", value=path.name)

    def rows() -> Iterator[Row]:
        return _rows(path, form, notes)

    return RawSheet(file=str(path), name="", rows=rows, findings=findings, notes=notes)


def detect_delimiter(text: str, known: frozenset[str] = frozenset()) -> str:
    """The delimiter that lays bare most of the headings that are known, folded, in one row; else the one that cuts most
    rows of a sample into the same number of cells, two at least. A comma or semicolon with a blank after it is prose,
    unless most rows have one.

    >>> detect_delimiter("a;b,c;d\\n1;2,5;3\\n"), detect_delimiter("one column\\n1, 2\\n")
    (';', ',')
    """
    if text[: len(STATEMENT)].lower() == STATEMENT and len(text) > len(STATEMENT):
        return text[len(STATEMENT)]
    return max(DELIMITERS, key=lambda one: (_headings(text, one, known), _cuts(text, one), _evenness(text, one)))


def _headings(text: str, delimiter: str, known: frozenset[str]) -> int:
    """How many known headings the row has that has most of them."""
    if not known:
        return 0
    rows = islice(_sample_rows(text, delimiter), HEADER_LINES)
    return max((len(known.intersection(map(fold, row))) for row in rows), default=0)


def _quotes(text: str, delimiter: str, options: ReadOptions) -> bool:
    return uses_quotes(text, delimiter) if options.quotes is None else options.quotes


def uses_quotes(text: str, delimiter: str) -> bool:
    """Whether quotation marks enclose cells. Nobody quoted anything where every cell that begins with a quotation mark
    is that and nothing else, as a ditto mark is, and every line has the same number of cells.

    >>> uses_quotes('0117;VHS\\n0118;"\\n', ";"), uses_quotes('0117;"Dusk; Dawn"\\n0118;"\\n', ";")
    (False, True)
    """
    whole = text[: text.rfind("\n")].splitlines()[:QUOTE_SAMPLE_LINES]
    rows = [line.split(delimiter) for line in whole if line.strip(delimiter)]
    opening = {cell for row in rows for cell in row if cell[:1] == '"'}
    return opening != {'"'} or len({len(row) for row in rows}) != 1


def _cuts(text: str, delimiter: str) -> int:
    """How many rows the delimiter cuts into the most frequent number of cells; none where it is prose."""
    rows = [row for row in _sample_rows(text, delimiter) if any(row)]
    tight = any(not cell[:1].isspace() for row in rows for cell in row[1:])
    count, _ = _evenness(text, delimiter)
    return count if tight or count > len(rows) * MOST_ROWS else 0


def _evenness(text: str, delimiter: str) -> tuple[int, int]:
    """How many rows have the most frequent number of cells above one, and that number."""
    widths = Counter(len(row) for row in _sample_rows(text, delimiter) if len(row) > 1)
    if not widths:
        return (0, 0)
    width, count = max(widths.items(), key=lambda item: (item[1], item[0]))
    return (count, width)


def _sample_rows(text: str, delimiter: str, limit: int = 300) -> Iterator[list[str]]:
    try:
        for row, _ in zip(csv.reader(text.splitlines(keepends=True), delimiter=delimiter), range(limit), strict=False):
            yield row
    except csv.Error:  # the sample ends inside a very large cell; what came before it is enough
        return


def _stated(path: Path, name: str) -> Encoding:
    """An encoding that a person stated; a byte order mark before UTF-8 is taken off all the same."""
    try:
        "".encode(name)
    except LookupError:
        step = 'state one such as "utf-8" or "windows-1252"'
        raise UnreadableInput(path, f'"{name}" is not the name of an encoding', step) from None
    return Encoding("utf-8-sig" if codecs.lookup(name).name == "utf-8" else name, "stated")


def _report(notes: Notes, form: Form, path: Path) -> None:
    cut = WORDS.get(form.delimiter, repr(form.delimiter))
    quotes = "" if form.quotes else ", quotation marks are text such as ditto marks"
    message = f"read as {form.encoding.codec} ({form.encoding.found}), cells divided by {cut}{quotes}"
    notes.once("SH01", message, value=path.name)


def _rows(path: Path, form: Form, notes: Notes) -> Iterator[Row]:
    """Every row that is not blank, with the line it starts on."""
    csv.field_size_limit(max(csv.field_size_limit(), MAX_FIELD_CHARS))
    codec = form.encoding.codec
    quoting: Literal[0, 3] = csv.QUOTE_MINIMAL if form.quotes else csv.QUOTE_NONE
    source = lines(path, codec, _misfit(notes, codec, path), _nul(notes, path))
    reader = csv.reader(source, delimiter=form.delimiter, quoting=quoting)
    written = _Written(path, form)
    start = 1
    try:
        for texts in reader:
            row = Row(start, texts)
            end = reader.line_num
            if (end != start or len(texts) < form.width) and _swallows(texts, form, start, end, written):
                row.moved = "SH04"
                runs_on = f"to line {end}" if end != start else "over others"
                message = f"a quotation mark on line {start} opens a cell that runs on {runs_on}"
                notes.row("SH04", start, f"{path.name}:{start}", message)
            if any(texts):
                yield row
            start = end + 1
    except csv.Error as error:
        raise UnreadableInput(
            f"{path}:{start}",
            f"the row cannot be read ({error})",
            "look for a quotation mark that opens a cell here and is never closed",
        ) from error


class _Written:
    """The lines of a file as they are written, for the few rows over several lines: asked for in ascending order."""

    def __init__(self, path: Path, form: Form) -> None:
        self._lines = lines(path, form.encoding.codec, lambda _: None, lambda _: None)
        self._at = 1

    def lines(self, start: int, end: int) -> list[str]:
        """The lines from `start` to `end`, both included."""
        found = list(islice(self._lines, start - self._at, end - self._at + 1))
        self._at = end + 1
        return found


def _misfit(notes: Notes, codec: str, path: Path) -> Callable[[Misfit], None]:
    def report(one: Misfit) -> None:
        message = (
            f"line {one.line}: bytes {one.problem} are not {codec}; read as Windows-1252, "
            "as is everything further on that does not fit"
        )
        notes.row("SH02", one.line, f"{path.name}:{one.line}", message, one.text)

    return report


def _nul(notes: Notes, path: Path) -> Callable[[int], None]:
    def report(line: int) -> None:
        notes.row("SH03", line, f"{path.name}:{line}", f"line {line}: the text has NUL bytes")

    return report


def _swallows(texts: list[str], form: Form, start: int, end: int, written: _Written) -> bool:
    """Whether a row holds a cell that took in others. One over several lines did so where it goes on and on, begins
    with a delimiter, since a quotation mark stood alone, or holds about as many cells as a row; or where its closing
    mark is not the end of it, or never comes. One in a short row did where it holds the cells that are missing."""
    if end == start:
        return any(_inner(form.delimiter, text) >= form.width - len(texts) for text in texts if form.delimiter in text)
    long = [text for text in texts if "\n" in text or "\r" in text]
    if end - start > LONG_QUOTE_LINES or any(text[:1] == form.delimiter for text in long):
        return True
    if form.width > 2 and any(_inner(form.delimiter, text) >= max(2, form.width - 2) for text in long):
        return True
    try:
        list(csv.reader(written.lines(start, end), delimiter=form.delimiter, strict=True))
    except csv.Error:
        return True
    return False


def _inner(delimiter: str, text: str) -> int:
    """How many delimiters in a cell may divide others; in prose a blank follows each."""
    return len(re.findall(rf"{re.escape(delimiter)}(?!\s)", text))

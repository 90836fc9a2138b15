"""Flat tables for systems that import tables: a workbook, or a folder of CSV files, of one layout (`flat_layout`).

Every cell is text: no zero is lost, nothing is a formula. What is written reads back equal.
"""

from __future__ import annotations

import csv
import io
import zipfile
from collections.abc import Callable, Iterable, Iterator
from difflib import get_close_matches
from itertools import islice, zip_longest
from pathlib import Path

from crosswalk.errors import UnreadableInput
from crosswalk.findings import Finding, Origin, Severity, finding
from crosswalk.records import Record
from crosswalk.standards.base import Document, ReadOptions, Standard, WriteOptions
from crosswalk.standards.flat_layout import AS, KEY, OF, SHEETS
from crosswalk.standards.flat_rows import Joined, Placed, Tables
from crosswalk.standards.naming import numbered
from crosswalk.standards.pbcore_write import identifier_of
from crosswalk.tables import CREATED

RECORDS_A_FILE = 10_000
SUFFIX = ".flat.xlsx"
# A cell of a workbook holds 32,767 characters; a longer text goes on another sheet in pieces, with `\>` and its number
# in the cell. Pieces are half as long, since characters beyond U+FFFF count twice.
LONGEST_CELL, PIECE, LONG, GOES_ON = 32_000, 16_000, "long texts", "\\>"
Rows = Iterator[list[str]]


def write_workbooks(records: Iterable[Record], options: WriteOptions) -> Iterator[Document]:
    """The records as workbooks, 10,000 in each."""
    for number, batch in enumerate(_batches(records), 1):
        content = _workbook(Tables(batch))
        yield Document(numbered(options.stem, number) + SUFFIX, content, tuple(map(identifier_of, batch)))


def write_csv(records: Iterable[Record], options: WriteOptions) -> Iterator[Document]:
    """The records as folders of CSV files, 10,000 in each; a file a sheet, with a heading even where it has no row."""
    for number, batch in enumerate(_batches(records), 1):
        tables = Tables(batch)
        for sheet in SHEETS:
            names = tuple(map(identifier_of, batch)) if sheet == "assets" else ()
            yield Document(f"{numbered(options.stem, number)}/{_file(sheet)}", _csv(tables, sheet), names)


def read_workbook(path: Path, options: ReadOptions) -> Iterator[Record | Finding]:
    """The records of a workbook in the flat layout. The whole workbook is held in memory."""
    from python_calamine import CalamineError, load_workbook

    _guard(path, options)
    try:
        book = load_workbook(path)
        grids = {
            name: [list(map(_text, row)) for row in book.get_sheet_by_name(name).iter_rows()]
            for name in book.sheet_names
        }
    except (CalamineError, OSError) as error:
        raise UnreadableInput(path, f"is not a workbook ({error})", "save it as XLSX") from error
    long = _long_texts(grids.pop(LONG, []))
    unknown = [(name, Origin(file=str(path), cell=name), grids.pop(name)) for name in [*grids] if name not in SHEETS]
    sheets = ((name, _placed(grids[name], name, _cell_of(path, name), long)) for name in SHEETS if name in grids)
    yield from _joined([row for _, rows in sheets for row in rows])
    yield from _strangers("sheet", unknown)
    yield from _missing("sheet", Origin(file=str(path)), [name for name in SHEETS if name not in grids])


def read_csv(path: Path, options: ReadOptions) -> Iterator[Record | Finding]:
    """The records of a folder of CSV files. Given as one of the files, the first of them stands for the folder, and
    the others have nothing to add."""
    folder = path if path.is_dir() else path.parent
    files = {sheet: folder / _file(sheet) for sheet in SHEETS if (folder / _file(sheet)).is_file()}
    others = [file for file in sorted(folder.glob("*")) if file not in files.values() and _has_layout(file)]
    if path not in (folder, *[*files.values(), *others][:1]):
        return
    placed: list[Placed] = []
    for sheet, file in files.items():
        placed += _placed(_csv_rows(file), sheet, _line_of(file), {})
    yield from _joined(placed)
    yield from _strangers("file", [(file.stem, Origin(file=str(file)), _csv_rows(file)) for file in others])
    yield from _missing("file", Origin(file=str(folder)), [_file(sheet) for sheet in SHEETS if sheet not in files])


def _strangers(kind: str, found: Iterable[tuple[str, Origin, list[list[str]]]]) -> Iterator[Finding]:
    """What is said of tables that the layout does not have: nothing of them is read."""
    for name, origin, grid in found:
        rows = sum(any(row) for row in grid[1:])
        message = f"the layout has no {kind} {name!r}, so its {rows} rows are in no record"
        meant = [sheet for sheet in SHEETS if sheet in _plain(name)] or get_close_matches(_plain(name), SHEETS, 1)
        suggested = tuple(map(_file, meant)) if kind == "file" else tuple(meant)
        severity = None if rows else Severity.NOTE
        yield finding("FT06", origin, message, value=name, suggestions=suggested, severity=severity)


def _missing(kind: str, origin: Origin, names: list[str]) -> Iterator[Finding]:
    if names:
        are = f"the {kind} {names[0]} is" if len(names) == 1 else f"the {kind}s {', '.join(names)} are"
        yield finding("FT07", origin, f"{are} missing, which the layout always has", value=", ".join(names))


def _has_layout(file: Path) -> bool:
    if file.suffix.lower() != ".csv" or not file.is_file():
        return False
    with file.open("rb") as stream:
        return recognise_csv(stream.read(100), file.name)


def _plain(name: str) -> str:
    return name.lower().replace("-", " ").replace("_", " ").strip()


def _batches(records: Iterable[Record]) -> Iterator[list[Record]]:
    left = iter(records)
    while batch := list(islice(left, RECORDS_A_FILE)):
        yield batch


def _file(sheet: str) -> str:
    return sheet.replace(" ", "-") + ".csv"


def _csv(tables: Tables, sheet: str) -> bytes:
    out = io.StringIO(newline="")
    writer = csv.DictWriter(out, tables.header(sheet), restval="", lineterminator="\r\n")  # RFC 4180
    writer.writeheader()
    writer.writerows(tables.rows[sheet])
    return out.getvalue().encode()


def _workbook(tables: Tables) -> bytes:
    import xlsxwriter

    out = io.BytesIO()
    book = xlsxwriter.Workbook(out, {"in_memory": True, "strings_to_formulas": False, "strings_to_urls": False})
    book.set_properties({"created": CREATED})
    text, head = book.add_format({"num_format": "@"}), book.add_format({"num_format": "@", "bold": True})
    long: list[tuple[int, str]] = []
    for sheet in SHEETS:
        header = tables.header(sheet)
        page = book.add_worksheet(sheet)
        page.freeze_panes(1, 1)
        page.set_column(0, len(header) - 1, 24, text)
        for column, label in enumerate(header):
            page.write_string(0, column, label, head)
        for number, row in enumerate(tables.rows[sheet], 1):
            for column, label in enumerate(header):
                if value := row.get(label):
                    page.write_string(number, column, _cell(value, long), text)
    if long:
        page = book.add_worksheet(LONG)
        for number, (text_number, piece) in enumerate([(0, "piece"), *long]):
            page.write_string(number, 0, str(text_number) if text_number else "number", text)
            page.write_string(number, 1, piece, text)
    book.close()
    return out.getvalue()


def _cell(value: str, long: list[tuple[int, str]]) -> str:
    """The text of a cell; a text too long for one is put aside in pieces, and the cell says under which number."""
    if len(value) <= PIECE or len(value.encode("utf-16-le")) // 2 <= LONGEST_CELL:
        return value
    number = long[-1][0] + 1 if long else 1
    long += [(number, value[start : start + PIECE]) for start in range(0, len(value), PIECE)]
    return f"{GOES_ON}{number}"


def _long_texts(rows: list[list[str]]) -> dict[str, str]:
    texts: dict[str, str] = {}
    for number, piece, *_ in rows[1:]:
        texts[GOES_ON + number] = texts.get(GOES_ON + number, "") + piece
    return texts


def _text(value: object) -> str:
    """The text of a cell that a person may have typed a number into."""
    return str(int(value)) if isinstance(value, float) and value.is_integer() else str(value)


def _guard(path: Path, options: ReadOptions) -> None:
    """Refuses a workbook that would unpack to more than the options allow, before anything unpacks it."""
    try:
        with zipfile.ZipFile(path) as archive:
            size = sum(info.file_size for info in archive.infolist())
    except (OSError, zipfile.BadZipFile) as error:
        raise UnreadableInput(path, f"is not a workbook ({error})", "save it as XLSX") from error
    if size > min(options.max_bytes, 2_000_000_000):
        raise UnreadableInput(path, f"unpacks to {size:,} bytes", "split it into smaller workbooks")


def _csv_rows(file: Path) -> list[list[str]]:
    try:
        with file.open(encoding="utf-8-sig", newline="") as stream:
            return list(csv.reader(stream, strict=True))
    except (OSError, UnicodeDecodeError, csv.Error) as error:
        raise UnreadableInput(file, f"cannot be read as CSV in UTF-8 ({error})", "export it again") from error


def _placed(grid: list[list[str]], sheet: str, origin: Callable[[int], Origin], long: dict[str, str]) -> list[Placed]:
    header, *rows = grid or [[]]
    header = [label if label not in header[:place] else f"{label} (again)" for place, label in enumerate(header)]
    placed = []
    for number, row in enumerate(rows, 2):
        cells = {label: long.get(text, text) for label, text in zip_longest(header, row, fillvalue="") if text}
        if cells:
            placed.append(Placed(sheet, cells, origin(number)))
    return placed


def _cell_of(path: Path, sheet: str) -> Callable[[int], Origin]:
    return lambda number: Origin(file=str(path), cell=f"{sheet}!A{number}")


def _line_of(file: Path) -> Callable[[int], Origin]:
    return lambda number: Origin(file=str(file), line=number)


def _joined(placed: list[Placed]) -> Iterator[Record | Finding]:
    joined = Joined(placed)
    records = list(joined.records())
    yield from joined.findings
    yield from records


def recognise_workbook(start: bytes, name: str) -> bool:
    """Whether a file is a workbook in the flat layout; its name says so, since its start cannot.

    >>> recognise_workbook(b"PK", "records-0001.flat.xlsx")
    True
    """
    return start.startswith(b"PK") and name.lower().endswith(SUFFIX)


def recognise_csv(start: bytes, name: str) -> bool:
    """Whether a file is one of the flat layout, under whatever name: the reader says what it makes of the name.

    >>> recognise_csv(b"key,of,as,title", "assets.csv"), recognise_csv(b"key;of;as", "assets.csv")
    (True, False)
    """
    head = ",".join((KEY, OF, AS)).encode()
    return start.removeprefix(b"\xef\xbb\xbf").startswith(head) and name.lower().endswith(".csv")


STANDARDS = (
    Standard(
        name="flat",
        title="Flat tables in a workbook",
        suffix=SUFFIX,
        media_type="application/vnd.openxmlformats-officedocument.spreadsheetml.sheet",
        recognise=recognise_workbook,
        read=read_workbook,
        write=write_workbooks,
    ),
    Standard(
        name="flat_csv",
        title="Flat tables as CSV files",
        suffix=".csv",
        media_type="text/csv",
        recognise=recognise_csv,
        read=read_csv,
        write=write_csv,
    ),
)

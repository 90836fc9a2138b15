"""A marked copy of a workbook: some cells replaced, filled or noted, everything else as it was."""

from __future__ import annotations

import io
import os
import re
import zipfile
from collections.abc import Iterable
from datetime import datetime
from pathlib import Path
from typing import Any

import msgspec

from crosswalk.errors import CannotContinue, UnreadableInput
from crosswalk.sheets.container import FileKind, Package, file_kind
from crosswalk.sheets.write import MAX_CELL_CHARS
from crosswalk.xmlio import write_whole

NOTE_AUTHOR = ""
FIXED_MOMENT = (1980, 1, 1, 0, 0, 0)  # the first that a ZIP knows
UNWANTED = re.compile("[\x00-\x08\x0b\x0c\x0e-\x1f\ud800-\udfff\ufffe\uffff]")


class CellMark(msgspec.Struct, frozen=True, kw_only=True):
    """What to do to one cell: `row` from 1, `index` of the column from 0. None leaves value, fill or note as it is;
    a note is added below one that is there."""

    sheet: str
    row: int
    index: int
    text: str | None = None
    fill: str | None = None  # RRGGBB
    note: str | None = None


def mark_copy(source: Path, target: Path, marks: Iterable[CellMark]) -> None:
    """Writes `target`, a copy of the XLSX workbook `source` with the marks in place. Formulas, formats, widths, merged
    and hidden cells stay; pictures, charts and macros do not survive (openpyxl does not carry them all).

    Raises UnreadableInput where the source is no XLSX workbook; CannotContinue where source and target are one file or
    a sheet is not in the workbook; UnwritableOutput."""
    if target.exists() and os.path.samefile(source, target):
        raise CannotContinue(target, "would overwrite the workbook that is copied", "choose another name for the copy")
    if file_kind(source) is not FileKind.XLSX:
        raise UnreadableInput(source, "is not an XLSX workbook", "save it as XLSX to have a marked copy")
    book = _load(source)
    stamp = book.properties.modified
    for mark in marks:
        if mark.sheet not in book.sheetnames:
            raise CannotContinue(source, f'has no sheet "{mark.sheet}"', "check the marks against the workbook")
        _apply(book[mark.sheet], mark)
    content = io.BytesIO()
    book.save(content)
    write_whole(target, _settled(content.getvalue(), stamp))


def _load(source: Path) -> Any:
    from openpyxl import load_workbook

    with Package(source, max_bytes=2_000_000_000) as package:
        package.prove(lambda name: True)
    return load_workbook(source, rich_text=True)


def _apply(sheet: Any, mark: CellMark) -> None:
    from openpyxl.cell.cell import MergedCell
    from openpyxl.comments import Comment
    from openpyxl.styles import PatternFill

    cell = sheet.cell(mark.row, mark.index + 1)
    if mark.text is not None and not isinstance(cell, MergedCell):  # a covered cell has no value of its own
        cell.value = UNWANTED.sub("", mark.text)[:MAX_CELL_CHARS] or None
        if cell.value is not None:
            cell.data_type = "s"
            cell.number_format = "@"
    if mark.fill is not None:
        cell.fill = PatternFill("solid", fgColor=f"FF{mark.fill}")
    if mark.note is not None and not isinstance(cell, MergedCell):
        before = f"{cell.comment.text}\n" if cell.comment is not None else ""
        cell.comment = Comment(before + UNWANTED.sub("", mark.note), NOTE_AUTHOR, width=320, height=120)


def _settled(content: bytes, modified: datetime | None) -> bytes:
    """The workbook with the moments that saving wrote into it taken out, so that the same marks give the same bytes."""
    settled = io.BytesIO()
    with zipfile.ZipFile(io.BytesIO(content)) as old, zipfile.ZipFile(settled, "w", zipfile.ZIP_DEFLATED) as new:
        for info in old.infolist():
            part = old.read(info)
            if info.filename == "docProps/core.xml":
                part = _with_moment(part, modified)
            new.writestr(zipfile.ZipInfo(info.filename, FIXED_MOMENT), part, zipfile.ZIP_DEFLATED)
    return settled.getvalue()


def _with_moment(part: bytes, modified: datetime | None) -> bytes:
    stamp = (modified or datetime(2000, 1, 1)).strftime("%Y-%m-%dT%H:%M:%SZ").encode()
    return re.sub(rb"(<dcterms:modified[^>]*>)[^<]*", lambda match: match[1] + stamp, part)

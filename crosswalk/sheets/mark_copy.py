"""A marked copy of a workbook: some cells replaced, filled or noted, everything else as it was."""

from __future__ import annotations

import io
import re
import zipfile
from collections import Counter
from collections.abc import Iterable
from pathlib import Path
from typing import Any

import msgspec

from crosswalk.errors import CannotContinue, UnreadableInput
from crosswalk.sheets.container import SAVE_AS, FileKind, Package, file_kind
from crosswalk.sheets.settle import settle, stored_values
from crosswalk.sheets.write import MAX_CELL_CHARS
from crosswalk.writing import write_whole

NOTE_AUTHOR = ""
KINDS = (
    "media/", "charts/", "drawings/drawing", "vbaProject", "pivotTables/", "embeddings/", "slicers/", "ctrlProps/",
    "threadedComments/",
)  # fmt: skip
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


def mark_copy(source: Path, target: Path, marks: Iterable[CellMark]) -> tuple[str, ...]:
    """Writes `target`, a copy of the XLSX workbook `source` with the marks in place. Formulas with their stored values,
    formats, widths, merged and hidden cells stay. Returns the parts that the copy does not have, such as charts and
    macros, which openpyxl does not carry.

    Raises UnreadableInput where the source is no XLSX workbook; CannotContinue where source and target are one file or
    a sheet is not in the workbook; UnwritableOutput."""
    if target.exists() and target.samefile(source):
        raise CannotContinue(target, "would overwrite the workbook that is copied", "choose another name for the copy")
    if file_kind(source) is not FileKind.XLSX:
        raise UnreadableInput(source, "is not an XLSX workbook", "save it as XLSX to have a marked copy")
    parts, properties = _prove(source)
    book = _load(source, formulas=True)
    for mark in marks:
        if mark.sheet not in book.sheetnames:
            raise CannotContinue(source, f'has no sheet "{mark.sheet}"', "check the marks against the workbook")
        _apply(book[mark.sheet], mark)
    content = io.BytesIO()
    book.save(content)
    settled = settle(content.getvalue(), stored_values(book, _load(source, formulas=False)), properties)
    write_whole(target, settled)
    return _lost(parts, settled)


def _prove(source: Path) -> tuple[frozenset[str], bytes]:
    """The names of the parts, all of them proved harmless, and the document's properties."""
    with Package(source, max_bytes=2_000_000_000) as package:
        package.prove(lambda name: True)
        return package.names, package.read("docProps/core.xml")


def _load(source: Path, *, formulas: bool) -> Any:
    from openpyxl import load_workbook

    try:
        return load_workbook(source, rich_text=formulas, data_only=not formulas)
    except Exception as error:  # openpyxl raises nearly anything for a workbook that is not quite as it expects
        raise UnreadableInput(source, f"cannot be copied ({error})", SAVE_AS) from error


def _lost(before: frozenset[str], copy: bytes) -> tuple[str, ...]:
    """The parts of every kind of which the copy has fewer."""
    with zipfile.ZipFile(io.BytesIO(copy)) as package:
        after = Counter(map(_part_kind, package.namelist()))
    fewer = {kind for kind, count in Counter(map(_part_kind, before)).items() if kind and after[kind] < count}
    return tuple(name for name in sorted(before) if _part_kind(name) in fewer)


def _part_kind(name: str) -> str:
    return next((kind for kind in KINDS if name.startswith(f"xl/{kind}")), "")


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

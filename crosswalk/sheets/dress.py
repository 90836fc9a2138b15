"""Fills and strike-outs that no mark of a mapping asks for: a struck-out row may mean that the tape is gone."""

from __future__ import annotations

from lxml import etree

from crosswalk.sheets.cells import Mark, ReadOptions, Row
from crosswalk.sheets.marks import colour_of
from crosswalk.sheets.raw import Dress, RawSheet

STRUCK = "struck out"
PLAIN_FILLS = frozenset({"", "FFFFFF"})
MOST_ROWS = 1 / 3  # a colour of more rows than that is decoration, such as every other row


def looks(mark: Mark) -> tuple[str, ...]:
    """The fill and the strike-out of a cell by their names.

    >>> looks(Mark("FFFF00", True)), looks(Mark("FFFFFF"))
    (('FFFF00', 'struck out'), ())
    """
    fill = () if mark.fill in PLAIN_FILLS else (mark.fill,)
    return (*fill, STRUCK) if mark.struck else fill


def styles_dressed(styles: etree._Element, theme: list[str]) -> dict[int, tuple[str, ...]]:
    """The looks of the cell styles of an XLSX workbook that have any, by number (ECMA-376 Part 1, 18.8.10)."""
    fills = [_fill(one, theme) for group in named(styles, "fills") for one in named(group, "fill")]
    struck = [is_struck(one) for group in named(styles, "fonts") for one in named(group, "font")]
    found = {}
    for number, style in enumerate(one for group in named(styles, "cellXfs") for one in named(group, "xf")):
        fill, font = int(style.get("fillId", "0")), int(style.get("fontId", "0"))
        mark = Mark(fills[fill] if fill < len(fills) else "", font < len(struck) and struck[font])
        found[number] = looks(mark)
    return {number: names for number, names in found.items() if names}


def dressed(dress: Dress, row: Row, rows: range) -> None:
    """Notes the looks of a row's cells with content for the rows that it stands for."""
    shown = [mark for index, mark in row.marks.items() if index < len(row.texts) and row.texts[index]]
    for name in {name for mark in shown for name in looks(mark)}:
        dress.setdefault(name, set()).update(rows)


def report_unread_dress(raw: RawSheet, header_row: int, options: ReadOptions) -> None:
    """The findings about fills and strike-outs below the header that nothing asks for."""
    below = max((raw.row_count or 0) - header_row, 0)
    for name, rows in sorted(raw.dress.items()):
        found = {row for row in rows if row > header_row}
        if not found or name in options.looks or (name != STRUCK and len(found) > below * MOST_ROWS):
            continue
        many = "1 row" if len(found) == 1 else f"{len(found)} rows"
        shown = "struck-out text" if name == STRUCK else f"cells filled with {name}"
        message = f'sheet "{raw.name}": {many} with {shown}, from row {min(found)} on; no mark asks for that'
        code = "SH26" if name == STRUCK else "SH27"
        raw.notes.once(code, message, cell=raw.address(min(found), 0), value=name)


def _fill(fill: etree._Element, theme: list[str]) -> str:
    pattern = next(iter(named(fill, "patternFill")), None)
    colour = next(iter(named(fill, "fgColor")), None)
    if pattern is None or colour is None or pattern.get("patternType") != "solid":
        return ""
    kind = next((kind for kind in ("rgb", "indexed", "theme") if colour.get(kind)), "")
    return colour_of(kind, colour.get(kind, ""), float(colour.get("tint", "0")), theme)


def is_struck(font: etree._Element) -> bool:
    """Whether the properties of a font, of a cell or of a run of text, strike out."""
    return any(one.get("val", "1") not in ("0", "false") for one in named(font, "strike"))


def named(root: etree._Element, name: str) -> list[etree._Element]:
    """The elements of that local name, in whichever of the standard's name spaces."""
    return list(root.iter("{*}" + name))

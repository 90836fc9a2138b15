"""Fills, strike-outs and notes of an XLSX workbook. Only openpyxl reads them, so it is opened only on request."""

from __future__ import annotations

import colorsys
import warnings
from collections.abc import Iterator
from pathlib import Path
from typing import Any

from lxml import etree

from crosswalk.sheets.cells import Mark
from crosswalk.xmlio import parse_tree

Marks = dict[int, dict[int, Mark]]  # by row number and column index
THEME_ORDER = ("lt1", "dk1", "lt2", "dk2", "accent1", "accent2", "accent3", "accent4", "accent5", "accent6")


def read_marks(path: Path, names: list[str]) -> tuple[dict[str, Marks], str]:
    """The marked cells of the named sheets, and what went wrong, if anything did. Colours of the theme and of the old
    palette are worked out to RRGGBB, tints to within one step; colours that come and go by a condition are no marks."""
    from openpyxl import load_workbook

    try:
        with warnings.catch_warnings(action="ignore"):  # of things that are not marks
            book = load_workbook(path, rich_text=False)
            theme = theme_colours(parse_tree(book.loaded_theme, "theme") if book.loaded_theme else None)
            return {name: _sheet_marks(book[name], theme) for name in names if name in book.sheetnames}, ""
    except Exception as error:  # openpyxl raises nearly anything for a workbook that is not quite as it expects
        return {}, str(error).partition("\n")[0]


def _sheet_marks(sheet: Any, theme: list[str]) -> Marks:
    found: Marks = {}
    memo: dict[int, Mark] = {}
    for row in sheet.iter_rows():
        for cell in row:
            if not cell.has_style and cell.comment is None:
                continue
            style = cell._style.fontId << 32 | cell._style.fillId
            if style not in memo:
                memo[style] = Mark(_fill(cell.fill, theme), bool(cell.font.strike))
            mark = memo[style]
            if cell.comment is not None:
                mark = Mark(mark.fill, mark.struck, cell.comment.text)
            if mark != Mark():
                found.setdefault(cell.row, {})[cell.column - 1] = mark
    return found


def _fill(fill: Any, theme: list[str]) -> str:
    """The colour of a solid fill; patterns and gradients are decoration."""
    if getattr(fill, "patternType", None) != "solid":
        return ""
    colour = fill.fgColor
    return colour_of(colour.type, colour.value, colour.tint or 0.0, theme)


def colour_of(kind: str, value: Any, tint: float, theme: list[str]) -> str:
    """RRGGBB of a colour given as `rgb`, as `indexed` in the old palette, or as `theme`; "" where it has none."""
    if kind == "rgb":
        return str(value)[-6:].upper()
    if kind == "indexed":
        from openpyxl.styles.colors import COLOR_INDEX

        return COLOR_INDEX[int(value)][-6:].upper() if int(value) < len(COLOR_INDEX) else ""
    if kind == "theme" and int(value) < len(theme):
        return _tinted(theme[int(value)], tint)
    return ""


def _tinted(rgb: str, tint: float) -> str:
    """A theme colour made lighter or darker (ECMA-376 Part 1, 18.8.19, tint)."""
    red, green, blue = (int(rgb[place : place + 2], 16) / 255 for place in (0, 2, 4))
    hue, light, saturation = colorsys.rgb_to_hls(red, green, blue)
    light = light * (1 + tint) if tint < 0 else light * (1 - tint) + tint
    return "".join(f"{round(part * 255):02X}" for part in colorsys.hls_to_rgb(hue, light, saturation))


def theme_colours(root: etree._Element | None) -> list[str]:
    """The colours of a workbook's theme, in the order in which cells count them."""
    if root is None:
        return []
    colours = {str(part.tag).rpartition("}")[2]: part for part in root.iter() if str(part.tag).endswith(THEME_ORDER)}
    return [next(_values(colours[name]), "000000") if name in colours else "000000" for name in THEME_ORDER]


def _values(element: Any) -> Iterator[str]:
    for part in element:
        value = part.get("lastClr") or part.get("val") or ""
        if len(value) == 6:
            yield value.upper()

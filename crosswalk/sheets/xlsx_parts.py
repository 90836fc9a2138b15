"""The parts of an XLSX package that stand beside the worksheets: which sheet is which part, styles, epoch."""

from __future__ import annotations

import posixpath
import re

import msgspec
from lxml import etree

from crosswalk.sheets.container import Package
from crosswalk.sheets.dress import named, styles_dressed
from crosswalk.sheets.formats import BUILT_IN, Format, Shows, parse_format
from crosswalk.sheets.marks import theme_colours
from crosswalk.sheets.rich import part_struck
from crosswalk.sheets.xlsx_look import Styles
from crosswalk.xmlio import parse_tree

NOTE = re.compile(rb"""<(?:\w+:)?comment\s[^>]*?\bref=["']([A-Z]+[0-9]+)["']""")


class Part(msgspec.Struct, frozen=True):
    """A worksheet as the workbook lists it."""

    name: str
    path: str
    hidden: bool


class Parts(msgspec.Struct, frozen=True):
    """What the workbook says of its worksheets."""

    sheets: tuple[Part, ...]
    styles: Styles


def read_parts(package: Package) -> Parts:
    """The worksheets in the workbook's order, and its styles. Works for both name spaces of the standard (the strict
    one and the transitional one), so names are compared without them."""
    book_path = _target(package, "_rels/.rels", "", "/officeDocument") or "xl/workbook.xml"
    book = parse_tree(package.read(book_path), f"{package.path}!{book_path}")
    folder = posixpath.dirname(book_path)
    related = _relations(package, f"{folder}/_rels/{posixpath.basename(book_path)}.rels", folder)
    sheets = tuple(
        Part(sheet.get("name", ""), related[key][1], sheet.get("state", "visible") != "visible")
        for sheet in named(book, "sheet")
        if (key := _relation_id(sheet)) in related and related[key][0].endswith("/worksheet")
    )
    epoch_1904 = any(one.get("date1904") in ("1", "true") for one in named(book, "workbookPr"))
    styles = _part(package, related, "/styles")
    theme = theme_colours(_part(package, related, "/theme"))
    looks = {} if styles is None else styles_dressed(styles, theme)
    formats = {} if styles is None else _formats(styles)
    shared = next((path for kind, path in related.values() if kind.endswith("/sharedStrings")), "")
    struck = part_struck(package.read(shared), f"{package.path}!{shared}")
    return Parts(sheets, Styles(formats, epoch_1904, looks, struck))


def noted_cells(package: Package, part: Part) -> list[str]:
    """The cells of a worksheet that have a note, such as B7, in the order of the part that holds them."""
    folder, name = posixpath.split(part.path)
    related = _relations(package, f"{folder}/_rels/{name}.rels", folder).values()
    noted = [target for kind, target in related if kind.endswith("/comments")]
    return [found[1].decode() for target in noted for found in NOTE.finditer(package.read(target))]


def beside_cells(package: Package, part: Part) -> list[str]:
    """What a worksheet has besides its cells: where its links lead, and the words of its text boxes."""
    folder, name = posixpath.split(part.path)
    content = package.read(f"{folder}/_rels/{name}.rels")
    related = named(parse_tree(content, f"{package.path}!{part.path}"), "Relationship") if content else []
    links = [f"a link to {one.get('Target', '')}" for one in related if one.get("Type", "").endswith("/hyperlink")]
    drawings = [_resolved(folder, one.get("Target", "")) for one in related if one.get("Type", "").endswith("/drawing")]
    boxes = [text for path in drawings for text in _boxes(package, path)]
    return links + [f'a text box "{text}"' for text in boxes]


def _boxes(package: Package, path: str) -> list[str]:
    content = package.read(path)
    bodies = named(parse_tree(content, f"{package.path}!{path}"), "txBody") if content else []
    texts = (" ".join("".join(part.text or "" for part in named(body, "t")).split()) for body in bodies)
    return [text for text in texts if text]


def _part(package: Package, related: dict[str, tuple[str, str]], kind: str) -> etree._Element | None:
    path = next((path for type_, path in related.values() if type_.endswith(kind)), "")
    content = package.read(path)
    return parse_tree(content, f"{package.path}!{path}") if content else None


def _formats(root: etree._Element) -> dict[int, Format]:
    """The formats that show more than the number, by style number (ECMA-376 Part 1, 18.8.10 and 18.8.30)."""
    codes = BUILT_IN | {int(one.get("numFmtId", "0")): one.get("formatCode", "") for one in named(root, "numFmt")}
    formats = {number: parse_format(code) for number, code in codes.items()}
    styles = [style for group in named(root, "cellXfs") for style in named(group, "xf")]
    numbered = ((n, formats.get(int(style.get("numFmtId", "0")))) for n, style in enumerate(styles))
    return {n: form for n, form in numbered if form is not None and form.shows is not Shows.PLAIN}


def _relations(package: Package, path: str, folder: str) -> dict[str, tuple[str, str]]:
    """Type and target of each relation, by its identifier."""
    content = package.read(path)
    found = named(parse_tree(content, f"{package.path}!{path}"), "Relationship") if content else []
    return {one.get("Id", ""): (one.get("Type", ""), _resolved(folder, one.get("Target", ""))) for one in found}


def _target(package: Package, path: str, folder: str, kind: str) -> str:
    relations = _relations(package, path, folder).values()
    return next((target for type_, target in relations if type_.endswith(kind)), "")


def _resolved(folder: str, target: str) -> str:
    return posixpath.normpath(posixpath.join("/", folder, target)).lstrip("/")


def _relation_id(sheet: etree._Element) -> str:
    return next((str(value) for key, value in sheet.attrib.items() if str(key).endswith("}id")), "")

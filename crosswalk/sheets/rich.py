"""Texts of which only a part is struck out: what they say together nobody wrote."""

from __future__ import annotations

from lxml import etree

from crosswalk.sheets.dress import is_struck, named
from crosswalk.xmlio import parse_tree

STRIKE = b"strike"


def part_struck(content: bytes, name: str) -> dict[int, str]:
    """The shared strings of a workbook that are struck out in part or in runs, by number: what is left of each."""
    if STRIKE not in content:
        return {}
    items = enumerate(named(parse_tree(content, name), "si"))
    return {number: left for number, item in items if (left := unstruck(item)) is not None}


def unstruck(item: etree._Element) -> str | None:
    """What is left of a rich text without its struck-out runs; None where none is struck out (ECMA-376 Part 1, 18.4.4).

    >>> from crosswalk.xmlio import parse_tree
    >>> rich = b"<si><r><rPr><strike/></rPr><t>Dawn</t></r><r><t> Dusk</t></r></si>"
    >>> unstruck(parse_tree(rich, "shared strings"))
    'Dusk'
    """
    runs = [
        (any(map(is_struck, named(run, "rPr"))), "".join(part.text or "" for part in named(run, "t")))
        for run in named(item, "r")
    ]
    if not any(struck and text.strip() for struck, text in runs):
        return None
    return " ".join("".join("" if struck else text for struck, text in runs).split())

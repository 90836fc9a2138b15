"""Random sheets and random mappings for them, of all the shapes that a mapping file can have."""

from __future__ import annotations

import csv
import io
import json
from dataclasses import dataclass, field
from pathlib import Path

import openpyxl
from hypothesis import strategies as st
from openpyxl.comments import Comment
from openpyxl.styles import PatternFill

HEADINGS = (
    "Tape", "Series", "No", "Format", "Date", "Length", "Title", "Name 1", "Role 1", "Name 2", "Role 2", "Code",
    "Check", "Odd", "Story", "Kind",
)  # fmt: skip
PLAIN = (
    "0117", "TDLN", "423", "0423", "Umatic", "Beta", '1" C', "3.4.87", "31.4.87", "9/87", "c. 1969", "58:30", "1:75",
    "salt marsh; waders", "Quill, Perpetua", "Host", "Presenter", "B", "Q7", "gone", "n/a", "-", '"', "ditto", "DITTO ",
    "TOTAL", "Tape", "=1+1", "@x", "a,b", 'say "so"', "Café", "two\nlines", "{0}", "[sic]", "<b>", "x" * 300,
)  # fmt: skip
WHITE = (" ", "  ", "\xa0")
CONTROL = ("a\x0bb", "p\x0cq", "\x01")
ERRORS = ("#REF!", "#N/A", "=A1")
CODES = (("B", "Betacam"), ("Q6", "D3"), ("U", "Umatic"), ("U", "VHS"))

ENTRIES: dict[str, tuple[str, ...]] = {
    "Tape": (
        'to = "instantiation.identifier"\nsource = "Shelf"',
        'to = "instantiation.identifier"\nsource = "Shelf"\nread = "identifier"',
        'aside = "not wanted"',
    ),
    "Series": ('to = "asset.title"\ntype = "Series"', ""),
    "No": ('to = "asset.annotation"\ntype = "No"', ""),
    "Format": (
        'to = "instantiation.physical"\nread = "carrier"',
        'to = "instantiation.physical"\nread = "carrier"\nsure = false',
        'to = "instantiation.physical"',
    ),
    "Date": (
        'to = "instantiation.date"\ntype = "created"\nread = "date"',
        'to = "asset.date"\nread = "date"\nday-first = true',
        'to = "instantiation.date"\ntype-from = "Kind"',
    ),
    "Length": ('to = "instantiation.duration"\nread = "duration"', 'to = "instantiation.duration"'),
    "Title": (
        'to = "asset.title"', 'to = "asset.title"\ntype-from = "Kind"', 'to = "asset.subject"\nsplit = ";"',
        'to = "instantiation.location"',
        'to = "asset.rights-summary"\npublic = false',
        'to = "asset.subject"\nsplit = [";", ","]',
    ),
    "Code": ('to = "instantiation.generations"', 'to = "instantiation.location"', 'to = "track.encoding"\ntrack = 2'),
    "Check": ('aside = "superseded"', 'to = "instantiation.annotation"\npublic = false'),
    "Story": ('to = "asset.annotation"\ntype = "Story"', ""),
    "Kind": ('to = "asset.type"', ""),
}  # fmt: skip
LOOKUP = 'to = "instantiation.physical"\nlookup = { sheet = "Codes", key = "Code", value = "Meaning" }'
LOOKUP_TOO = 'to = "instantiation.generations"\nlookup = { sheet = "Codes", key = "Code", value = "Meaning" }'
PAIRS = (
    '[[column]]\nheading = "Name *"\nto = "asset.contributor"\nrole-from = "Role *"\n',
    '[[column]]\nheading = "Name *"\nto = "asset.contributor"\nread = "name"\nrole-from = "Role *"\n'
    '[[column]]\nheading = "Role *"\nread = "role"\n',
    '[[column]]\nheading = "Name 1"\nto = "asset.creator"\nrole-from = "Role 1"\npublic = false\n',
)
CONSTANTS = (
    'to = "asset.identifier"\nvalue = "{Series}[-{No}][/{Story}]"\nsource = "Log"',
    'to = "asset.identifier"\nvalue = "{Series}-{No}"\nsource = "Log"',
    'to = "asset.identifier"\nvalue = "unknown"\nsource = "Log"\nwhen-missing = true',
    'to = "asset.title"\nvalue = "Untitled"\nwhen-missing = true',
    'to = "asset.description"\nvalue = "None yet"',
    'to = "instantiation.identifier"\nvalue = "no number"\nsource = "Shelf"\nwhen-missing = true',
    'to = "instantiation.location"\nvalue = "Store {Code}"',
    'to = "instantiation.location"\nvalue = "The store"',
    'to = "asset.annotation"\nvalue = "for us"\npublic = false',
    'to = "instantiation.media-type"\nvalue = "Moving Image"',
)
REQUIRED = tuple(one for one in CONSTANTS if "when-missing" in one or "None yet" in one or "The store" in one)
MARKS = (
    'fill = "FFFF00"\nto = "instantiation.annotation"\nvalue = "digitised"',
    'note = true\nto = "instantiation.annotation"\ntype = "Note"',
    'struck = true\nheading = "Tape"\nto = "instantiation.annotation"\nvalue = "gone"',
)
REST = '[[column]]\nheading = "*"\naside = "the rest is not carried"\n'


@dataclass
class Case:
    """A sheet and a mapping. `above` are rows over the header; `fills` and `notes` mark cells (row, column)."""

    header: list[str]
    rows: list[list[str]]
    mapping: str
    above: list[list[str]] = field(default_factory=list)
    fills: set[tuple[int, int]] = field(default_factory=set)
    notes: set[tuple[int, int]] = field(default_factory=set)

    def grid(self) -> list[list[str]]:
        return [*self.above, self.header, *self.rows]

    def write_csv(self, folder: Path) -> Path:
        buffer = io.StringIO()
        csv.writer(buffer).writerows(self.grid())
        path = folder / "tapes.csv"
        path.write_bytes(buffer.getvalue().encode())
        return path

    def write_xlsx(self, folder: Path) -> Path:
        book = openpyxl.Workbook()
        sheet = book.active
        assert sheet is not None
        sheet.title = "Tapes"
        for number, row in enumerate(self.grid(), 1):
            for index, text in enumerate(row, 1):
                if text:
                    cell = sheet.cell(number, index, text)
                    cell.data_type = "e" if text.startswith("#") else "f" if text == "=A1" else "s"
                    if (number, index) in self.fills:
                        cell.fill = PatternFill("solid", fgColor="FFFFFF00")
                    if (number, index) in self.notes:
                        cell.comment = Comment("see the box", "A")
        codes = book.create_sheet("Codes")
        for pair in (("Code", "Meaning"), *CODES):
            codes.append(pair)
        path = folder / "tapes.xlsx"
        book.save(path)
        return path


@st.composite
def cases(draw: st.DrawFn, workbook: bool) -> Case:
    header = draw(st.lists(st.sampled_from((*HEADINGS, *HEADINGS, "")), min_size=3, max_size=9).filter(any))
    cell = st.sampled_from(("", "", *PLAIN, *WHITE, *(ERRORS if workbook else CONTROL)))
    extra = 0 if workbook else 2
    row = st.lists(cell, max_size=len(header) + extra)
    rows = draw(st.lists(row, max_size=8))
    above = draw(st.sampled_from(([], [["The library", "", " "]])))
    places = st.sets(st.tuples(st.integers(2, 9), st.integers(1, 5)), max_size=4)
    marked = draw(places) if workbook else set()
    noted = draw(places) if workbook else set()
    return Case(header, rows, draw(mappings(header, len(above) + 1, workbook)), above, marked, noted)


@st.composite
def mappings(draw: st.DrawFn, header: list[str], header_row: int, workbook: bool) -> str:
    keys = draw(st.lists(st.sampled_from(("Series", "No", "Story")), unique=True))
    keys = keys if set(keys) & set(header) else []
    constants = list(draw(st.lists(st.sampled_from(CONSTANTS), unique=True, max_size=4)))
    constants += [one for one in draw(st.sampled_from((REQUIRED, REQUIRED, ()))) if one not in constants]
    pairs = draw(st.sampled_from(("", *PAIRS)))
    columns = []
    absent = draw(st.lists(st.sampled_from(sorted(ENTRIES)), unique=True, max_size=2))
    for heading in sorted({*draw(st.sets(st.sampled_from(header), min_size=2)), *absent} & ENTRIES.keys()):
        options = (*ENTRIES[heading], LOOKUP, LOOKUP_TOO) if workbook and heading == "Code" else ENTRIES[heading]
        entry = draw(st.sampled_from(options))
        served = heading in keys or any(f"{{{heading}}}" in constant for constant in constants)
        if entry or served:
            columns.append(f"[[column]]\nheading = {json.dumps(draw(spellings(heading)))}\n{entry}\n")
    top = [f"header-row = {header_row}", "header-rows = 1", 'blank = ["n/a", "-"]', f"asset-key = {json.dumps(keys)}"]
    top += draw(st.sampled_from(([], ["ditto = ['\"', \"ditto\"]"])))
    top += ['sheets = ["Tapes"]'] if workbook else []
    parts = ["\n".join(top), *columns, pairs]
    parts += [f"[[constant]]\n{constant}\n" for constant in constants]
    if workbook:
        parts += [f"[[mark]]\n{mark}\n" for mark in draw(st.lists(st.sampled_from(MARKS), unique=True))]
    if draw(st.booleans()):
        parts.append('[[skip]]\nheading = "Check"\ntexts = ["gone"]\nreason = "thrown away"\n')
    if draw(st.booleans()) or not (columns or pairs):
        parts.append(REST)
    return "\n\n".join(parts)


def spellings(heading: str) -> st.SearchStrategy[str | list[str]]:
    return st.sampled_from((heading, [heading.upper(), f"{heading} (old)"]))

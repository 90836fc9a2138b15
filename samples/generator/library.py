"""The workbook `tape-library.xlsx`: the programme log and a sheet a decade."""

from __future__ import annotations

import random
from pathlib import Path

from generator.grid import Book, Grid
from generator.layouts import LAYOUTS, PROGRAMME_COLUMNS, Layout
from generator.model import Asset, Carrier, Cell, Trouble
from generator.people import written_name, written_role
from generator.wordings import written_date

WIDTHS = {"title": 44, "location": 20, "remarks": 40, "label": 26, "format": 18, "generation": 16, "date": 12}
RIGHTS_NOTES = [
    "all house",
    "music: blanket licence to 1999 only",
    "archive film, one cut, source unknown",
    "contributor forms in box",
    "still by a reader, name not kept",
    "house, and the harbour board's own film",
]
RIGHTS_NOTES_BY_SUBJECT = {
    "songs": "songs: publishers to be asked",
    "children": "minors in picture, forms missing",
    "choirs": "hymn book arrangements, see file",
}
LANGUAGES = ["English", "English", "English", "eng", "English"]
FORCED_DATES = {"TDLN-0402": Cell("3.4.87"), "HNDW-1207": Cell("9/87")}
HIDDEN_ROWS = {"Video 1960s": [6], "Video 1980s": [17, 58]}  # the nth carrier of the sheet
MERGED = {"Video 1970s": (12, 3)}  # from the nth carrier, so many rows: one shelf place for all


def contributor_cells(asset: Asset, rng: random.Random) -> list[str]:
    cells = []
    for given, surname, role in asset.contributors:
        cells += [written_name(given, surname, rng), written_role(role, rng)]
    return cells + [""] * (6 - len(cells))


def programme_row(asset: Asset, rng: random.Random) -> list[Cell]:
    """One asset in the columns of the programme log."""
    date = FORCED_DATES.get(asset.id) or (written_date(asset.date, "Programmes", rng) if asset.date else Cell(None))
    field = asset.level == "field recording"
    first: list[str] = [
        asset.id,
        asset.series,
        asset.programme,
        asset.part,
        asset.level.capitalize(),
        asset.title,
        asset.description,
    ]
    language = rng.choice(LANGUAGES) if asset.level != "series" else "English"
    note = rng.choice(RIGHTS_NOTES) if rng.random() < 0.35 else ""
    note = next((text for subject, text in RIGHTS_NOTES_BY_SUBJECT.items() if subject in asset.subjects), note)
    last = [asset.part_of, "; ".join(asset.subjects), language, *contributor_cells(asset, rng), note]
    return [*map(Cell, first), Cell(None) if field else date, date if field else Cell(None), *map(Cell, last)]


def programmes(assets: list[Asset], rng: random.Random) -> tuple[Grid, list[Trouble]]:
    """The programme log, one row an asset, in an order that grew."""
    grid = Grid("Programmes", widths={0: 16, 5: 36, 6: 70, 10: 34, 12: 24, 14: 24, 16: 24, 18: 30})
    grid.title_block(["Programme log – everything that went out, or was shot to go out"])
    grid.header(1, PROGRAMME_COLUMNS)
    troubles = []
    for row, asset in enumerate(assets, start=2):
        for column, cell in enumerate(programme_row(asset, rng)):
            address = grid.put(row, column, cell)
            if asset.dangling and PROGRAMME_COLUMNS[column] == "Part of":
                troubles.append(
                    Trouble("relation to nowhere", f"no programme {asset.part_of} is in the log", where=address)
                )
    grid.put(len(assets) + 2, 0, "Entries", "totals")
    grid.put(len(assets) + 2, 1, Cell(len(assets), "formula", formula=f"=COUNTA(A3:A{len(assets) + 2})"), "totals")
    return grid, troubles


def write_header(grid: Grid, layout: Layout) -> None:
    """The header row, and above it the groups, merged over the columns they cover."""
    lower = layout.header_row - 1
    grid.header(lower, [heading for heading, _ in layout.columns])
    if not layout.groups:
        return
    grid.header_rows.insert(0, lower)
    grouped: set[int] = set()
    for first, last, heading in layout.groups:
        grid.put(lower - 1, first, heading, "header")
        grid.merges.append((lower - 1, first, lower - 1, last))
        grouped |= set(range(first, last + 1))
    for column in set(range(len(layout.columns))) - grouped:
        grid.put(lower - 1, column, grid.cells.pop((lower, column)), "header")
        grid.merges.append((lower - 1, column, lower, column))


def box_label(carrier: Carrier, row: int) -> Cell:
    """A formula over three other cells, with its stored value."""
    cells = carrier.cells
    value = " / ".join(str(cells[name].value) for name in ("number", "programme", "format"))
    return Cell(value, "formula", formula=f'=A{row + 1}&" / "&C{row + 1}&" / "&F{row + 1}')


def same_as_above(carrier: Carrier, above: Carrier | None, name: str) -> bool:
    if above is None or name not in carrier.cells or name not in above.cells:
        return False
    here, there = carrier.cells[name], above.cells[name]
    return here.value == there.value and here.kind == there.kind == "text"


def place_carrier(grid: Grid, layout: Layout, carrier: Carrier, ditto: set[str]) -> None:
    """One row. `ditto`: the fields that say only: as above."""
    row, struck = carrier.row - 1, carrier.gone
    for column, (_, name) in enumerate(layout.columns):
        cell = box_label(carrier, row) if name == "label" else carrier.cells.get(name, Cell(None))
        if name in ditto:
            cell = Cell(layout.ditto)
        cell.fill = carrier.digitised and (layout.fill_whole_row or name == "number")
        cell.strike = struck and name in ("number", "title")
        carrier.places[name] = grid.put(row, column, cell)


def write_totals(grid: Grid, layout: Layout, first: int, last: int) -> None:
    """The last row: how many tapes, counted by a formula, and the mean condition where there is one."""
    row = last + 1
    grid.put(row, 0, layout.total_label, "totals")
    grid.put(row, 1, Cell(last - first + 1, "formula", formula=f"=COUNTA(A{first + 1}:A{last + 1})"), "totals")
    names = [name for _, name in layout.columns]
    if "condition" in names:
        column = names.index("condition")
        values = [cell.value for (r, c), cell in grid.cells.items() if c == column and grid.regions[r] == "data"]
        mean = Cell(sum(values) / len(values), "formula", f"=AVERAGE(L{first + 1}:L{last + 1})", "0%")
        grid.put(row, column, mean, "totals")


def merge_places(grid: Grid, layout: Layout, carriers: list[Carrier]) -> list[Trouble]:
    """One shelf place written across several rows: a reader finds it in the first of them only."""
    if grid.name not in MERGED:
        return []
    start, height = MERGED[grid.name]
    column = [name for _, name in layout.columns].index("location")
    first, last = carriers[start].row - 1, carriers[start].row + height - 2
    grid.cells[first, column].value = "Cold store, drawer 3"
    for row in range(first + 1, last + 1):
        grid.cells.pop((row, column), None)
    grid.merges.append((first, column, last, column))
    return [
        Trouble(
            "merged cells",
            f"one place for {height} rows; the value stands in the first only",
            where=grid.address(first, column),
        )
    ]


def decade(sheet: str, carriers: list[Carrier], rng: random.Random) -> tuple[Grid, list[Trouble]]:
    """One decade's sheet."""
    layout = LAYOUTS[sheet]
    names = [name for _, name in layout.columns]
    grid = Grid(sheet, widths={names.index(name): width for name, width in WIDTHS.items() if name in names})
    grid.title_block(layout.title)
    write_header(grid, layout)
    above: Carrier | None = None
    for row, carrier in enumerate(carriers, start=layout.header_row):
        carrier.row = row + 1
        alike = {name for name in layout.ditto_fields if same_as_above(carrier, above, name)}
        place_carrier(grid, layout, carrier, {name for name in sorted(alike) if rng.random() < 0.7})
        above = carrier
    troubles = merge_places(grid, layout, carriers)
    write_totals(grid, layout, layout.header_row, layout.header_row + len(carriers) - 1)
    grid.hidden_columns = [names.index(name) for name in layout.hidden]
    grid.hidden_rows = [carriers[index].row - 1 for index in HIDDEN_ROWS.get(sheet, [])]
    troubles += [
        Trouble("hidden row", "read like any other, and reported", where=grid.address(r, 0)) for r in grid.hidden_rows
    ]
    troubles += [
        Trouble("hidden column", "read like any other, and reported", where=grid.address(layout.header_row - 1, c))
        for c in grid.hidden_columns
    ]
    if "tick" in names:
        find = "a column that nobody can explain; no mapping names it"
        troubles.append(
            Trouble("unexplained column", find, where=grid.address(layout.header_row - 1, names.index("tick")))
        )
    return grid, troubles


def write_library(path: Path, assets: list[Asset], carriers: list[Carrier]) -> tuple[list[Grid], list[Trouble]]:
    """The whole workbook; its grids and what is wrong with the sheets come back."""
    rng = random.Random("merrow library")
    grid, troubles = programmes(assets, rng)
    grids = [grid]
    for sheet in LAYOUTS:
        grid, more = decade(sheet, [c for c in carriers if c.sheet == sheet], rng)
        grids, troubles = [*grids, grid], [*troubles, *more]
    book = Book(path, "Tape library")
    for grid in [*grids[1:], grids[0]]:
        book.add(grid)
    book.file.close()
    return grids, troubles

"""Which mapping reads which sheet, so that each is read once; and the sheets that only say what codes stand for."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator
from pathlib import Path
from typing import TypeAlias

from crosswalk.errors import CannotContinue, MappingError
from crosswalk.findings import Origin, finding
from crosswalk.mapping.loading import load_mapping
from crosswalk.mapping.model import Lookup, Mapping
from crosswalk.mapping.plan import wanted
from crosswalk.pipeline.run import Run
from crosswalk.sheets import Row, Sheet, open_sheets, sheet_names
from crosswalk.values.folding import fold

Assigned: TypeAlias = tuple[Mapping, list[str]]
SetAside: TypeAlias = Callable[[Sheet, str, Run], Iterator[Row]]


def assign(files: Iterable[tuple[Path, list[Path]]]) -> list[tuple[Path, list[Assigned]]]:
    """For each file the mappings that read it, each with the names of its sheets; a file without sheets has one, "".

    Raises `MappingError` where a mapping finds nothing to read, and `CannotContinue` where a file is given twice.
    """
    done: list[tuple[Path, list[Assigned]]] = []
    met: set[Path] = set()
    every: dict[str, tuple[Mapping, Path]] = {}
    for path, mapping_paths in files:
        if path.resolve() in met:
            raise CannotContinue(path, "is given twice", "name each file once")
        met.add(path.resolve())
        mappings = [load_mapping(mapping) for mapping in dict.fromkeys(mapping_paths)]
        every |= {mapping.path: (mapping, path) for mapping in mappings}
        done.append((path, _assigned(path, mappings)))
    used = {mapping.path for _, assigned in done for mapping, _ in assigned}
    for mapping, path in every.values():
        if mapping.path not in used:
            named = ", ".join(mapping.sheets) or "any sheet"
            raise MappingError(path, f"has no sheet for {mapping.path}, which names {named}",
                               f"its sheets are: {', '.join(sheet_names(path))}")  # fmt: skip
    return done


def _assigned(path: Path, mappings: list[Mapping]) -> list[Assigned]:
    names = sheet_names(path)
    if names == [""]:
        return [(_fittest(path, mappings), names)] if mappings else []
    lookups, rest = lookup_sheets(mappings), list(names)
    assigned = []
    for mapping in mappings:
        mine = [name for name in rest if wanted(mapping, name) and fold(name) not in lookups]
        rest = [name for name in rest if name not in mine]
        if mine:
            assigned.append((mapping, mine))
    return assigned


def _fittest(path: Path, mappings: list[Mapping]) -> Mapping:
    """The mapping most of whose columns a delimited file has; of equals the first."""
    if len(mappings) == 1:
        return mappings[0]
    headings = {fold(heading.text) for heading in open_sheets(path)[0].headings}
    return max(mappings, key=lambda one: sum(1 for column in one.column if headings & set(map(fold, column.headings))))


def lookup_sheets(mappings: Iterable[Mapping]) -> set[str]:
    """The folded names of the sheets that only say what codes stand for."""
    return {fold(column.lookup.sheet) for mapping in mappings for column in mapping.column if column.lookup}


def lookup_tables(path: Path, mappings: list[Mapping], run: Run, set_aside: SetAside) -> dict[Lookup, dict[str, str]]:
    """The look-up tables of a workbook: folded code -> what it stands for. The cells of each sheet count once."""
    lookups = dict.fromkeys(one.lookup for mapping in mappings for one in mapping.column if one.lookup)
    by_sheet: dict[str, list[Lookup]] = {}
    for lookup in lookups:
        by_sheet.setdefault(fold(lookup.sheet), []).append(lookup)
    tables: dict[Lookup, dict[str, str]] = {}
    for alike in by_sheet.values():
        sheet = _sheet(path, alike[0])
        rows = [row for row in set_aside(sheet, "look-up sheet", run) if row.role.value == "data"]
        run.log.add(sheet.findings)
        tables |= {lookup: _table(sheet, lookup, rows, run) for lookup in alike}
    return tables


def _sheet(path: Path, lookup: Lookup) -> Sheet:
    sheet = next((sheet for sheet in open_sheets(path) if fold(sheet.name) == fold(lookup.sheet)), None)
    if sheet is None:
        raise MappingError(path, f'has no look-up sheet "{lookup.sheet}"', "name the sheet as the workbook does")
    return sheet


def _table(sheet: Sheet, lookup: Lookup, rows: list[Row], run: Run) -> dict[str, str]:
    index = {fold(heading.text): heading.index for heading in sheet.headings}
    missing = [name for name in (lookup.key, lookup.value) if fold(name) not in index]
    if missing:
        found = ", ".join(heading.text for heading in sheet.headings)
        problem = f'look-up sheet "{lookup.sheet}" has no column "{missing[0]}"'
        raise MappingError(sheet.file, problem, f"headings found: {found}")
    key, value = index[fold(lookup.key)], index[fold(lookup.value)]
    table: dict[str, str] = {}
    doubtful: set[str] = set()
    for row in rows:
        code, meaning = _at(row, key), _at(row, value)
        known = table.setdefault(fold(code), meaning) if code and meaning else meaning
        if known != meaning:
            doubtful.add(fold(code))
            place = Origin(file=sheet.file, cell=sheet.address(row.number, key))
            message = f'"{code}" stands for "{known}" and for "{meaning}"; it is not used'
            run.log.add([finding("MP13", place, message, value=code)])
    return {code: meaning for code, meaning in table.items() if code not in doubtful}


def _at(row: Row, index: int) -> str:
    return row.texts[index].strip() if index < len(row.texts) else ""

"""The door to this package: any file of sheets, opened as what its bytes say it is."""

from __future__ import annotations

from pathlib import Path

from crosswalk.sheets.cells import ReadOptions, Sheet
from crosswalk.sheets.container import FileKind, file_kind
from crosswalk.sheets.delimited import read_delimited
from crosswalk.sheets.table import find_table


def open_sheets(path: str | Path, options: ReadOptions = ReadOptions()) -> list[Sheet]:  # noqa: B008
    """The tables of a workbook (XLSX, ODS) or of a delimited file. Rows stream when they are asked for.

    What is noticed while rows stream is added to the sheet's `findings`: read them after the rows.

    Raises `UnreadableInput` where the file is not a sheet, is damaged or protected, or exceeds a limit.
    """
    place = Path(path)
    kind = file_kind(place)
    if kind is FileKind.XLSX:
        from crosswalk.sheets.xlsx import read_xlsx

        return [find_table(raw, options) for raw in read_xlsx(place, options)]
    if kind is FileKind.ODS:
        from crosswalk.sheets.ods import read_ods

        return [find_table(raw, options) for raw in read_ods(place, options)]
    return [find_table(read_delimited(place, options), options)]


def sheet_names(path: str | Path, options: ReadOptions = ReadOptions()) -> list[str]:  # noqa: B008
    """The names of all sheets of a workbook, without reading their cells; [""] for a delimited file.

    Raises `UnreadableInput` as `open_sheets` does."""
    place = Path(path)
    kind = file_kind(place)
    if kind is FileKind.DELIMITED:
        return [""]
    if kind is FileKind.ODS:
        from crosswalk.sheets.ods import table_names

        return table_names(place, options)
    from crosswalk.sheets.xlsx import worksheet_names

    return worksheet_names(place, options)

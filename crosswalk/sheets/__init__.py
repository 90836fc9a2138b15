"""Workbooks and delimited files to rows of cells, and back."""

from crosswalk.sheets.cells import (
    Heading,
    Kind,
    Mark,
    ReadOptions,
    Role,
    Row,
    Sheet,
    cell_address,
    column_letters,
    fold_heading,
)
from crosswalk.sheets.opening import open_sheets, sheet_names

__all__ = [
    "Heading",
    "Kind",
    "Mark",
    "ReadOptions",
    "Role",
    "Row",
    "Sheet",
    "cell_address",
    "column_letters",
    "fold_heading",
    "open_sheets",
    "sheet_names",
]

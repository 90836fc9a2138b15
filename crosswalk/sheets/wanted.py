"""Which sheets of a workbook are asked for."""

from __future__ import annotations

from collections.abc import Sequence
from fnmatch import fnmatchcase
from pathlib import Path

from crosswalk.errors import UnreadableInput
from crosswalk.sheets.cells import ReadOptions, fold_heading
from crosswalk.sheets.raw import RawSheet


def wanted(name: str, options: ReadOptions) -> bool:
    """Whether the options ask for this sheet: by name, or by shell pattern; case does not matter.

    >>> wanted("Video 1960s", ReadOptions(sheets=("video 19*",))), wanted("Radio", ReadOptions(sheets=("video 19*",)))
    (True, False)
    """
    folded = fold_heading(name)
    return not options.sheets or any(
        folded == fold_heading(asked) or fnmatchcase(folded, fold_heading(asked)) for asked in options.sheets
    )


def report_missing(path: Path, found: Sequence[RawSheet], names: Sequence[str], options: ReadOptions) -> None:
    """Sheets that were asked for and are not there: a finding on the first sheet. None at all ends the run."""
    missing = [
        asked for asked in options.sheets if not any(wanted(raw.name, ReadOptions(sheets=(asked,))) for raw in found)
    ]
    listed = ", ".join(f'"{name}"' for name in names) or "none"
    if not found:
        asked_for = " or ".join(f'"{name}"' for name in options.sheets) or "with cells"
        raise UnreadableInput(path, f"has no sheet {asked_for}; it has: {listed}", "name one of its sheets")
    for asked in missing:
        found[0].notes.once("SH21", f'there is no sheet "{asked}"; the workbook has: {listed}', value=asked)

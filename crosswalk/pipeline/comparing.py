"""`compare`: two sets of records in any readable formats, field by field."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

from crosswalk.checks.fields import UnknownField, field
from crosswalk.delivery.compare import Comparison, Key
from crosswalk.delivery.compare import compare as compare_records
from crosswalk.delivery.differences import EXACT, Equivalences
from crosswalk.errors import CannotContinue, UnreadableInput
from crosswalk.findings import Finding
from crosswalk.pipeline.converting import read_documents
from crosswalk.pipeline.walking import files_in
from crosswalk.records import Record
from crosswalk.standards.base import ReadOptions


def compare(
    left: str | Path, right: str | Path, same: Equivalences = EXACT, key: Key | None = None
) -> Comparison:
    """What differs between the records of two files or folders. What the readers find odd is left to `validate`.

    Raises `CannotContinue` where a file cannot be read, or a field to ignore is no field of a record.
    """
    for name in same.ignore:
        _check_field(name)
    return compare_records(_records(Path(left)), _records(Path(right)), same, key)


def _check_field(name: str) -> None:
    try:
        field(name)
    except UnknownField as error:
        step = "write fields as in mappings: asset.title, instantiation.location@source"
        raise CannotContinue(f"--ignore {name}", str(error), step) from error


def _records(path: Path) -> Iterator[Record]:
    files = [file for file in files_in([path]) if isinstance(file, Path)]
    if not files:
        raise UnreadableInput(path, "holds no file", "give a file or a folder with records")
    for file in files:
        for read in read_documents(file, ReadOptions(evidence=True)):
            if not isinstance(read, Finding):
                yield read


def write_comparison(found: Comparison, kind: str, path: Path) -> None:
    """Writes a comparison as text, json, csv or html."""
    from crosswalk.delivery.compare import as_csv, as_json, as_text
    from crosswalk.reports.comparison import as_html
    from crosswalk.writing import write_whole

    made = {"text": as_text, "csv": as_csv, "html": as_html}
    content = as_json(found) if kind == "json" else made[kind](found).encode()
    write_whole(path, content)

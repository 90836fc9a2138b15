"""What the tests of Dublin Core and RDF share."""

from __future__ import annotations

from pathlib import Path

from crosswalk.findings import Finding
from crosswalk.records import Record
from crosswalk.standards.base import Document, ReadOptions, Standard, WriteOptions

PUBLISHED = Path(__file__).resolve().parents[2].parent / "shared" / "standards"
ABSENT = "the published standards are not beside the checkout"


def written(standard: Standard, *records: Record, **options: object) -> list[Document]:
    assert standard.write is not None
    return list(standard.write(records, WriteOptions(**options)))  # type: ignore[arg-type]


def read(standard: Standard, folder: Path, content: bytes, **options: object) -> tuple[list[Record], list[Finding]]:
    assert standard.read is not None
    path = folder / f"case{standard.suffix}"
    path.write_bytes(content)
    found = list(standard.read(path, ReadOptions(**options)))  # type: ignore[arg-type]
    return [x for x in found if not isinstance(x, Finding)], [x for x in found if isinstance(x, Finding)]

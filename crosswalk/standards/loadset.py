"""A load set for a repository or an asset system: a folder a record, and an index with the columns that are asked for.

A record's folder holds its PBCore, its Simple Dublin Core, and the names and digests of its digital files.
"""

from __future__ import annotations

import csv
import io
from collections.abc import Iterable, Iterator

from crosswalk.records import Record
from crosswalk.standards.base import Document, Standard, WriteOptions, standards
from crosswalk.standards.loadset_template import DigitalFile, digital_files, load_template, rows
from crosswalk.standards.naming import Names
from crosswalk.standards.pbcore_write import identifier_of, write_record
from crosswalk.tables import as_text

DUBLIN_CORE = "oai_dc"


def write(records: Iterable[Record], options: WriteOptions) -> Iterator[Document]:
    """The folders of all records, and the index at the end.

    Raises MappingError where `options.template` makes no sense."""
    template, names, index = load_template(options.template), Names(), io.StringIO(newline="")
    writer = csv.writer(index, delimiter=template.delimiter, lineterminator="\r\n")
    writer.writerow([column.heading for column in template.column])
    for record in records:
        folder = names.unique(identifier_of(record))
        yield Document(f"{folder}/pbcore.xml", write_record(record), (identifier_of(record),))
        yield from _beside(record, folder, options)
        writer.writerows([as_text(cell) for cell in row] for row in rows(record, folder, template))
    yield Document(template.file, index.getvalue().encode())


def _beside(record: Record, folder: str, options: WriteOptions) -> Iterator[Document]:
    other = standards().get(DUBLIN_CORE)
    if other is not None and other.write is not None:
        for document in other.write([record], options):
            yield Document(f"{folder}/{DUBLIN_CORE}.xml", document.content)
    if files := digital_files(record):
        yield Document(f"{folder}/files.csv", _files(files))


def _files(files: list[DigitalFile]) -> bytes:
    out = io.StringIO(newline="")
    writer = csv.writer(out, lineterminator="\r\n")
    writer.writerow(("name", "algorithm", "digest"))
    writer.writerows((each.name, each.algorithm, each.digest) for each in files)
    return out.getvalue().encode()


STANDARD = Standard(
    name="load_set",
    title="Load set: a folder a record, and an index",
    suffix=".csv",
    media_type="text/csv",
    recognise=lambda start, name: False,
    write=write,
    records_valid_as="pbcore",
)

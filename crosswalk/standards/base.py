"""What a standard is to the rest: something that records can be written as, read from, or both."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator
from functools import cache
from importlib import import_module
from pathlib import Path
from pkgutil import iter_modules
from typing import TypeAlias

import msgspec

from crosswalk.findings import Finding
from crosswalk.records import Collection, Record


class Document(msgspec.Struct, frozen=True):
    """One file to be put in place: its name below the output folder (`/` between folders), its bytes, and the
    identifiers of the records in it."""

    name: str
    content: bytes
    records: tuple[str, ...] = ()


class Loss(msgspec.Struct, frozen=True):
    """What a standard cannot carry: the field (`asset.title`, `instantiation.duration@annotation`), how much of it is
    carried ("part" or "none"), and why."""

    field: str
    carried: str
    why: str


class Lost(msgspec.Struct, frozen=True):
    """One value that was not carried whole, in one record."""

    record: str
    field: str
    value: str
    carried: str  # "whole", "part" or "none"
    gone: str = ""  # what went: type, source, time range


class WriteOptions(msgspec.Struct, frozen=True, kw_only=True):
    """How to write. `stamp` is the run's clock as ISO 8601 in UTC, injected, so that same input gives same bytes."""

    batch: int = 500  # records in one document at the most
    one_each: bool = False  # one document a record, named by its identifier
    stem: str = "records"  # documents are called records-0001.xml, ...
    collection: Collection = Collection()  # attributes of the collection
    base_uri: str = "https://example.org/"  # URIs are minted below it
    stamp: str = "2000-01-01T00:00:00Z"
    table: str = ""  # a house's own crosswalk table, overriding rows
    language: str = ""  # of the house's own prose, as BCP 47; "" leaves it unsaid
    contact: str = "records@example.org"  # whom a harvester writes to
    on_loss: Callable[[Lost], None] | None = None  # told of every value, with how much of it is carried
    on_finding: Callable[[Finding], None] | None = None  # told of what is written otherwise than it looks
    evidence: bool = False  # write where values came from, where the format can; never for the public
    template: str = ""  # of a load set: the file that names the columns of its index


class ReadOptions(msgspec.Struct, frozen=True, kw_only=True):
    """How to read. Strict: what a lenient read reports as a warning is an error."""

    strict: bool = False
    max_bytes: int = 20_000_000_000  # of one file, unpacked
    table: str = ""  # a house's own crosswalk table, overriding rows
    repair: bool = False  # mend what can be mended, and report each repair
    evidence: bool = False  # each value knows the line it stood on
    on_collection: Callable[[Collection], None] | None = None  # is told what a collection says of itself


Read: TypeAlias = Callable[[Path, ReadOptions], Iterator[Record | Finding]]
Write: TypeAlias = Callable[[Iterable[Record], WriteOptions], Iterator[Document]]


class Standard(msgspec.Struct, frozen=True, kw_only=True):
    """One standard, as a module of this package declares it in its `STANDARD`."""

    name: str  # what `--to` takes: "pbcore"
    title: str
    suffix: str  # of its documents: ".xml"
    media_type: str
    recognise: Callable[[bytes, str], bool]  # the first 4 kB of a file and its name: is it this?
    read: Read | None = None
    write: Write | None = None
    schema: str = ""  # the file in schemas/ that its documents are valid against
    losses: tuple[Loss, ...] = ()
    batches_apart: bool = False  # nothing in the document of one batch depends on the other batches
    records_valid_as: str = ""  # the standard that each record must be valid in before it is written in this one


@cache
def standards() -> dict[str, Standard]:
    """All standards by name: every module beside this one that has a `STANDARD` or `STANDARDS`."""
    found: list[Standard] = []
    for module in iter_modules(import_module("crosswalk.standards").__path__):
        loaded = import_module(f"crosswalk.standards.{module.name}")
        found.extend(getattr(loaded, "STANDARDS", ()))
        if hasattr(loaded, "STANDARD"):
            found.append(loaded.STANDARD)
    return {standard.name: standard for standard in sorted(found, key=lambda standard: standard.name)}

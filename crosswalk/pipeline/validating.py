"""`validate`: finished documents and sheets against the layers of checks; findings as they come, or a report."""

from __future__ import annotations

import sys
from collections.abc import Iterable, Iterator
from concurrent.futures import ProcessPoolExecutor
from functools import partial
from pathlib import Path
from typing import BinaryIO, cast

import msgspec
from lxml import etree

from crosswalk.checks.accepted import read_known, read_waivers
from crosswalk.checks.index import Gathered, RecordIndex, Rows
from crosswalk.checks.place import Place
from crosswalk.checks.run import Index, Validator
from crosswalk.checks.run import Plan as Layers
from crosswalk.checks.schema import SchemaCheck, unreadable
from crosswalk.checks.selection import LAYERS, selection
from crosswalk.errors import CannotContinue, UnreadableInput
from crosswalk.findings import Finding
from crosswalk.ledger import Ledger
from crosswalk.mapping.store import RowStore
from crosswalk.pipeline.converting import from_rows, recognised
from crosswalk.pipeline.gather import find_mapping, gather
from crosswalk.pipeline.run import FindingLog, Options, Progress, Run
from crosswalk.pipeline.walking import LOADED, STDIN, files_in
from crosswalk.records import ROOTS, Asset, Record, located
from crosswalk.reports.model import Report
from crosswalk.standards import pbcore_fast
from crosswalk.standards.base import ReadOptions, Standard, standards

SHEETS = (".xlsx", ".ods", ".csv", ".tsv", ".xlsm")
RDF_FORMATS = (".ttl", ".nt", ".jsonld", ".rdf")


class ValidateOptions(msgspec.Struct, frozen=True, kw_only=True):
    """What to check, and which findings count. `workers` above 1 checks files side by side."""

    layers: tuple[str, ...] = LAYERS
    profile: str = ""
    phase: str = ""
    select: tuple[str, ...] = ()
    ignore: tuple[str, ...] = ()
    known: str = ""
    waivers: str = ""
    mappings: tuple[str, ...] = ()
    strict: bool = False
    workers: int = 1
    progress: Progress | None = None


class Counts(msgspec.Struct):
    """What went through a validation."""

    files: list[str] = []
    records: int = 0
    carriers: int = 0


def validate(paths: Iterable[str | Path], options: ValidateOptions | None = None) -> Report:
    """Checks files and folders and reports. Raises `CannotContinue` only where the options make no sense or nothing is
    there to check; a file that cannot be read is a finding.

    >>> validate(["README.md"]).by_code().keys()
    dict_keys(['SC13'])
    """
    counts = Counts()
    found = tuple(iter_findings(paths, options, counts))
    from importlib.metadata import version

    return Report(
        title="validate", files=tuple(counts.files), records=counts.records, carriers=counts.carriers, findings=found,
        version=version("shelf-to-standard"), schemas={"pbcore": "the project's own writing of PBCore 2.1"},
    )  # fmt: skip


def iter_findings(
    paths: Iterable[str | Path], options: ValidateOptions | None = None, counts: Counts | None = None
) -> Iterator[Finding]:
    """The findings as they come, those that count: selected, not known, not waived."""
    options, counts = options or ValidateOptions(), counts if counts is not None else Counts()
    found = selection(options.select, options.ignore).of(_all(paths, options, counts))
    if options.waivers:
        waivers = read_waivers(Path(options.waivers))
        found = _then(waivers.left(found), waivers.unused)
    if options.known:
        known = read_known(Path(options.known))
        found = _then(known.unknown(found), known.gone)
    return found


def _then(found: Iterator[Finding], last: object) -> Iterator[Finding]:
    yield from found
    yield from last()  # type: ignore[operator]


def _all(paths: Iterable[str | Path], options: ValidateOptions, counts: Counts) -> Iterator[Finding]:
    index = RecordIndex()
    one = partial(_one_file, options=options)
    files = files_in(paths)
    if options.workers > 1:
        with ProcessPoolExecutor(options.workers) as pool:
            for name, found, gathered, records, carriers in pool.map(one, files, chunksize=8):
                index.add_rows(*gathered)
                yield from _counted(name, found, records, carriers, counts, options)
    else:
        for file in files:
            if isinstance(file, Finding):
                yield file
                continue
            validator = Validator(_layers(options), index)
            index.within = _set_of(file)
            yield from _checked(file, validator, options, index)
            yield from _counted(str(file), [], validator.records, validator.carriers, counts, options)
    if "rules" in options.layers:
        yield from index.findings()


def _counted(
    name: str, found: list[Finding], records: int, carriers: int, counts: Counts, options: ValidateOptions
) -> Iterator[Finding]:
    counts.files.append(name)
    counts.records += records
    counts.carriers += carriers
    if options.progress is not None:
        options.progress("checking files", len(counts.files))
    yield from found


def _one_file(
    file: Path | Finding, options: ValidateOptions
) -> tuple[str, list[Finding], Rows, int, int]:
    """One file in a worker: its findings, and what another process needs for the checks between records."""
    if isinstance(file, Finding):
        return file.origin.file, [file], ([], []), 0, 0
    gathered = Gathered(_set_of(file))
    validator = Validator(_layers(options), gathered)
    found = list(_checked(file, validator, options, gathered))
    return str(file), found, gathered.rows, validator.records, validator.carriers


def _set_of(file: Path) -> str:
    """The set that the records of a file belong to: a job writes the same ones in several standards, and to load."""
    try:
        standard = _standard(file) if str(file) != STDIN else None
    except UnreadableInput:
        return ""
    return f"{standard.name if standard else ''}{' of a load set' if file.name == LOADED else ''}"


def _layers(options: ValidateOptions) -> Layers:
    return Layers(layers=options.layers, profile=options.profile, phase=options.phase)


def _checked(file: Path, validator: Validator, options: ValidateOptions, index: Index) -> Iterator[Finding]:
    try:
        yield from _by_kind(file, validator, options)
    except UnreadableInput as error:
        yield unreadable(error, str(file))


def _by_kind(file: Path, validator: Validator, options: ValidateOptions) -> Iterator[Finding]:
    if str(file) == STDIN:
        pieces = iter(partial(cast("BinaryIO", sys.stdin.buffer).read, 1 << 16), b"")
        yield from validator.stream(pieces, "standard input", to_record)
    elif options.mappings and file.suffix.lower() in SHEETS:
        yield from validator.read(_from_sheet(file, options))
    elif (standard := _standard(file)) is None or standard.name == "pbcore":
        yield from validator.file(file, to_record)
    else:
        yield from _other(file, standard, validator, options)


def _standard(file: Path) -> Standard | None:
    """The standard of a file; None for XML that none recognises, which is then checked as PBCore and told so."""
    try:
        return recognised(file)
    except UnreadableInput:
        if file.suffix.lower() in (".xml", ".gz", ".zip"):
            return None
        raise


def _other(file: Path, standard: Standard, validator: Validator, options: ValidateOptions) -> Iterator[Finding]:
    if standard.schema and "schema" in options.layers:
        yield from schema_findings(file, standard)
    assert standard.read is not None
    place = Place(file=str(file))
    read = standard.read(file, ReadOptions(strict=options.strict))
    if standard.losses:  # PBCore's rules ask for what such a standard cannot say; its own schema judges it
        yield from _only_findings(read, validator)
        return
    yield from validator.read((item, place if isinstance(item, Finding) else place.of(item)) for item in read)


def _only_findings(read: Iterator[Record | Finding], validator: Validator) -> Iterator[Finding]:
    for item in read:
        if isinstance(item, Finding):
            yield item
        else:
            validator.records += 1
            validator.carriers += len(item.instantiations) if isinstance(item, Asset) else 1


def schema_findings(file: Path, standard: Standard) -> Iterator[Finding]:
    """What the schema or the shapes of a standard say of a file."""
    if standard.schema.endswith(".ttl"):
        from crosswalk.checks.shacl import ShapeCheck

        yield from ShapeCheck(standard.schema).file(file)
    else:
        yield from SchemaCheck(standard.schema, tags=()).file(file)


def _from_sheet(file: Path, options: ValidateOptions) -> Iterator[tuple[Record | Finding, Place]]:
    """The records of a sheet; the findings of reading it come first, those of a record before the record."""
    store, log = RowStore(), FindingLog()
    try:
        sources = gather([(file, [find_mapping(name) for name in options.mappings])], store, _silent(log))
        nowhere = Place(file=str(file))
        for one in log.kept:
            yield one, nowhere
        for assembled in from_rows(sources, store.groups()):
            for one in assembled.findings:
                yield one, nowhere
            asset = located(assembled.asset)
            yield asset, nowhere.of(asset)
    finally:
        store.close()


def _silent(log: FindingLog) -> Run:
    return Run(Options(out=Path()), Ledger(), log)


def to_record(element: etree._Element) -> Record | None:
    """The record in an element; None where it is too odd to be read, which the schema layer explains."""
    name = str(element.tag).rpartition("}")[2]
    try:
        return pbcore_fast.read(element, cast("type[Record]", ROOTS[name]))
    except pbcore_fast.Odd:
        return _read_leniently(element, cast("type[Record]", ROOTS[name]))


def _read_leniently(element: etree._Element, cls: type[Record]) -> Record | None:
    from crosswalk.standards.pbcore_tree import Walk

    try:
        walk = Walk(element, "", "", list, namespace=str(element.tag)[1:].partition("}")[0])
        return cast("Record", walk.read(element, cls))
    except (CannotContinue, IndexError):
        return None


def readable() -> list[str]:
    """The names of the standards that can be read."""
    return [name for name, standard in standards().items() if standard.read is not None]

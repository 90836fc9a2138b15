"""Validation beside libxml2's bare parse-and-validate, in one run: schema only, with vocabulary and rules, two workers,
and the memory for a large collection beside a small one. Processor time of whole processes, the least of three; only
the ratios travel. That of two workers is by the clock, and needs two idle cores.

    python -m tests.benchmarks.bench_validate [records] [large collection in MB]
"""

from __future__ import annotations

import resource
import subprocess
import sys
import tempfile
import time
from collections.abc import Callable
from concurrent.futures import ProcessPoolExecutor
from pathlib import Path
from typing import cast

from lxml import etree

from crosswalk.checks.index import Gathered, RecordIndex
from crosswalk.checks.run import Plan, Validator
from crosswalk.checks.schema import NAMESPACE
from crosswalk.findings import Finding
from crosswalk.records import ROOTS, Record
from crosswalk.resources import schema_path

SCHEMA_ONLY = Plan(layers=("well-formed", "schema"))
FULL = Plan(layers=("well-formed", "schema", "vocabulary", "rules"))
FILES = 16  # for two workers
LIMITS = {"schema only": 1.3, "with vocabulary and rules": 4.0, "two workers": 1.7, "memory, MB more": 40.0}

CARRIER = """    <pbcoreInstantiation>
      <instantiationIdentifier source="Merrow shelf number">{number:06d}-{copy}</instantiationIdentifier>
      <instantiationDate dateType="created">{year}-04-03</instantiationDate>
      <instantiationPhysical>U-matic</instantiationPhysical>
      <instantiationStandard>PAL</instantiationStandard>
      <instantiationLocation>Vault A, bay {bay}</instantiationLocation>
      <instantiationMediaType>Moving Image</instantiationMediaType>
      <instantiationGenerations>Master</instantiationGenerations>
      <instantiationDuration>00:28:{second:02d}</instantiationDuration>
      <instantiationColors>Color</instantiationColors>
      <instantiationLanguage>eng</instantiationLanguage>
      <instantiationEssenceTrack>
        <essenceTrackType>Video</essenceTrackType>
        <essenceTrackStandard>PAL</essenceTrackStandard>
      </instantiationEssenceTrack>
      <instantiationAnnotation annotationType="Condition">a little dusty at the head</instantiationAnnotation>
    </pbcoreInstantiation>
"""
RECORD = """  <pbcoreDescriptionDocument>
    <pbcoreAssetType>Episode</pbcoreAssetType>
    <pbcoreAssetDate dateType="broadcast">{year}-06-{day:02d}</pbcoreAssetDate>
    <pbcoreIdentifier source="Merrow programme log">TDLN-{number:07d}</pbcoreIdentifier>
    <pbcoreTitle titleType="Series">Tideline</pbcoreTitle>
    <pbcoreTitle titleType="Episode">The spring tide, {number}</pbcoreTitle>
    <pbcoreSubject subjectType="topic">salt marsh</pbcoreSubject>
    <pbcoreSubject subjectType="topic">waders</pbcoreSubject>
    <pbcoreDescription descriptionType="Summary">A walk over the flats at the lowest water, number {number}, with \
the people who dig there and what the birds leave behind for those who look.</pbcoreDescription>
    <pbcoreGenre>Documentary</pbcoreGenre>
    <pbcoreRelation>
      <pbcoreRelationType>Is Related To</pbcoreRelationType>
      <pbcoreRelationIdentifier>TDLN-{other:07d}</pbcoreRelationIdentifier>
    </pbcoreRelation>
    <pbcoreCoverage>
      <coverage>Merrow Coast</coverage>
      <coverageType>Spatial</coverageType>
    </pbcoreCoverage>
    <pbcoreContributor>
      <contributor>Quill, Perpetua</contributor>
      <contributorRole>Host</contributorRole>
    </pbcoreContributor>
    <pbcoreContributor>
      <contributor>Brackwell, Tamsin</contributor>
      <contributorRole>Camera Operator</contributorRole>
    </pbcoreContributor>
    <pbcoreRightsSummary>
      <rightsSummary>Merrow Coast Public Media holds all rights</rightsSummary>
    </pbcoreRightsSummary>
{carriers}  </pbcoreDescriptionDocument>
"""


def write_collection(path: Path, first: int, count: int) -> None:
    """A collection of that many records, of about 60 elements and 2.5 instantiations each."""
    with path.open("w", encoding="utf-8") as out:
        out.write(f'<?xml version="1.0" encoding="UTF-8"?>\n<pbcoreCollection xmlns="{NAMESPACE}">\n')
        for number in range(first, first + count):
            out.write(one_record(number))
        out.write("</pbcoreCollection>\n")


def one_record(number: int) -> str:
    """One record; pairs of records are related to each other."""
    year = 1975 + number % 20
    carriers = "".join(
        CARRIER.format(number=number, copy=copy, year=year, bay=number % 40, second=number % 60)
        for copy in range(2 + number % 2)
    )
    return RECORD.format(number=number, other=number ^ 1, year=year, day=number % 28 + 1, carriers=carriers)


def to_record(element: etree._Element) -> Record:
    """The reader of the package."""
    from crosswalk.standards import pbcore_fast

    return pbcore_fast.read(element, cast("type[Record]", ROOTS[str(element.tag).rpartition("}")[2]]))


BARE = """
from lxml import etree
schema = etree.XMLSchema(etree.parse({schema!r}))
assert schema.validate(etree.parse({path!r}))
"""  # the floor: libxml2 parses the file into a tree and validates the tree; nothing of ours is even imported
OURS = """
from pathlib import Path
from tests.benchmarks.bench_validate import FULL, SCHEMA_ONLY, validate
assert validate(Path({path!r}), {plan}) == []
"""


def validate(path: Path, plan: Plan) -> list[Finding]:
    """Ours, in one process, with what shows between records."""
    index = RecordIndex()
    validator = Validator(plan, index)
    found = list(validator.file(path, to_record))
    return found + (list(index.findings()) if "rules" in plan.layers else [])


def in_worker(path: Path) -> tuple[list[Finding], Gathered]:
    """One file in a worker: its findings, and the rows of its index."""
    gathered = Gathered()
    return list(Validator(FULL, gathered).file(path, to_record)), gathered


def many_files(paths: list[Path], workers: int) -> None:
    """Many files, in this process or in a pool."""
    index = RecordIndex()
    if workers == 1:
        for path in paths:
            list(Validator(FULL, index).file(path, to_record))
    else:
        with ProcessPoolExecutor(workers) as pool:
            for _, gathered in pool.map(in_worker, paths):
                index.add_rows(*gathered.rows)
    list(index.findings())


def least(work: Callable[[], float], times: int = 3) -> float:
    """The least of what a piece of work takes: what other programs add to it is not ours to count."""
    return min(work() for _ in range(times))


def wall(work: Callable[[], object]) -> float:
    """Seconds by the clock on the wall."""
    start = time.perf_counter()
    work()
    return time.perf_counter() - start


def process(code: str) -> float:
    """Seconds of processor time of a process of its own that runs some code, from start to end."""
    before = resource.getrusage(resource.RUSAGE_CHILDREN)
    subprocess.run([sys.executable, "-c", code], check=True, cwd=Path.cwd())
    after = resource.getrusage(resource.RUSAGE_CHILDREN)
    return after.ru_utime + after.ru_stime - before.ru_utime - before.ru_stime


def memory_mb(path: Path) -> float:
    """The peak memory of a process that validates one file with all layers, in MB."""
    code = f"from tests.benchmarks.bench_validate import *; validate(Path({str(path)!r}), FULL); print_memory()"
    done = subprocess.run([sys.executable, "-c", code], check=True, capture_output=True, text=True, cwd=Path.cwd())
    return float(done.stdout)


def print_memory() -> None:
    """Prints the peak memory of this process in MB (Linux; `getrusage` also counts the parent's)."""
    status = Path("/proc/self/status").read_text()
    print(int(next(line for line in status.splitlines() if line.startswith("VmHWM")).split()[1]) / 1024)


def main(records: int = 20_000, large_mb: int = 500) -> None:
    """Measures and prints; writes to a temporary folder only."""
    with tempfile.TemporaryDirectory() as name:
        folder = Path(name)
        whole = folder / "whole.xml"
        write_collection(whole, 0, records)
        assert validate(whole, FULL) == [], "the collection is to be clean"
        floor = least(lambda: process(BARE.format(schema=str(schema_path("pbcore-2.1.xsd")), path=str(whole))))
        size = whole.stat().st_size / 1e6
        print(f"{records:,} records, {size:.0f} MB; bare parse and validate {floor:.2f} s of processor time")
        schema = least(lambda: process(OURS.format(path=str(whole), plan="SCHEMA_ONLY")))
        full = least(lambda: process(OURS.format(path=str(whole), plan="FULL")))
        report("schema only", schema / floor)
        report("with vocabulary and rules", full / floor)
        parts = [folder / f"part-{number:02}.xml" for number in range(FILES)]
        for number, part in enumerate(parts):
            write_collection(part, number * (records // FILES), records // FILES)
        alone = least(lambda: wall(lambda: many_files(parts, 1)))
        report("two workers", alone / least(lambda: wall(lambda: many_files(parts, 2))), at_least=True)
        each = size / records
        small, large = folder / "small.xml", folder / "large.xml"
        write_collection(small, 0, int(50 / each))
        write_collection(large, 0, int(large_mb / each))
        before, after = memory_mb(small), memory_mb(large)
        print(f"peak memory: {before:.0f} MB for 50 MB, {after:.0f} MB for {large_mb} MB")
        report("memory, MB more", after - before)


def report(what: str, ratio: float, at_least: bool = False) -> None:
    """Prints one figure beside its limit."""
    limit = LIMITS[what]
    kept = ratio >= limit if at_least else ratio <= limit
    print(f"{what:28} {ratio:6.2f}  ({'at least' if at_least else 'at most'} {limit}{'' if kept else ': NOT KEPT'})")


if __name__ == "__main__":
    main(*(int(word) for word in sys.argv[1:]))

"""The main job beside others on the same rows, in one call: time and peak memory of whole processes, as ratios.

    python -m tests.benchmarks.bench_main_job [--rows 100000] [--million] [--skip-xmlschema]

Beside the tool run: the script that a capable person would write in an afternoon (pandas to dictionaries, lxml
trees), validating each record with libxml2 and with xmlschema; and the floor, libxml2 parsing and validating the
finished files. The tool is run in one process, which gives its cost beside the floor as CPU time; and as it comes, with
a process a core, which gives how long a person waits beside the scripts, on the clock. It answers in JSON here: a run
that did not deliver every record is no measurement.
"""

from __future__ import annotations

import argparse
import json
import resource
import subprocess
import sys
import tempfile
import time
from pathlib import Path
from typing import NamedTuple

from tests.benchmarks.main_job_rows import write_rows

HERE = Path(__file__).parent
ROOT = HERE.parents[1]
SCHEMA = ROOT / "schemas" / "pbcore-2.1.xsd"
FLOOR = """
import sys
from pathlib import Path
from lxml import etree
schema = etree.XMLSchema(etree.parse(sys.argv[1]))
for path in sorted(Path(sys.argv[2]).glob("*.xml")):
    assert schema.validate(etree.parse(str(path)))
"""


class Cost(NamedTuple):
    """What a whole process took, and what it said."""

    cpu_s: float
    clock_s: float
    peak_mb: float  # of the largest process
    said: str


def cost_of(*command: object) -> Cost:
    """Runs a command; user and system time of it and its children, time on the clock, and its peak memory."""
    before, start = resource.getrusage(resource.RUSAGE_CHILDREN), time.perf_counter()
    measured = [sys.executable, "-c", MEASURED, *map(str, command)]
    done = subprocess.run(measured, cwd=ROOT, check=True, stdout=subprocess.PIPE, text=True)
    clock_s, after = time.perf_counter() - start, resource.getrusage(resource.RUSAGE_CHILDREN)
    cpu_s = after.ru_utime + after.ru_stime - before.ru_utime - before.ru_stime
    said, _, peak = done.stdout.rstrip().rpartition("\n")
    return Cost(cpu_s, clock_s, int(peak) / 1024, said)


MEASURED = """
import resource, subprocess, sys
done = subprocess.run([sys.executable, *sys.argv[1:]])
if done.returncode not in (0, 1):
    sys.exit(done.returncode)
print()
print(resource.getrusage(resource.RUSAGE_CHILDREN).ru_maxrss)
"""


def tool(rows: Path, out: Path, *workers: str) -> Cost:
    """The tool itself, with readings, evidence and the ledger of every cell."""
    convert = ("-m", "crosswalk", "convert", rows, "--mapping", HERE / "main_job.toml", "--to", "pbcore", "--json")
    cost = cost_of(*convert, "--out", out, *workers)
    _all_delivered(cost.said)
    return cost


def _all_delivered(said: str) -> None:
    """Stops where the tool did not deliver every record. Its exit status does not tell: 1 is that of a run with
    findings, and of a traceback."""
    outcome = json.loads(said) if said.strip() else {}
    records, delivered = outcome.get("records", 0), outcome.get("delivered", 0)
    if not records or records != delivered:
        sys.exit(f"the tool delivered {delivered} of {records} records: there is nothing to compare")


def script(rows: Path, out: Path, engine: str) -> Cost:
    """The afternoon's script."""
    out.mkdir()
    return cost_of(HERE / "afternoon_script.py", rows, out, SCHEMA, engine)


def main() -> None:
    """Measures and prints."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--rows", type=int, default=100_000)
    parser.add_argument("--million", action="store_true", help="also run ten times the rows, for the peak memory")
    parser.add_argument("--skip-xmlschema", action="store_true")
    options = parser.parse_args()
    with tempfile.TemporaryDirectory() as folder:
        work = Path(folder)
        rows = work / "rows.csv"
        write_rows(rows, options.rows)
        alone = tool(rows, work / "alone", "--workers", "1")
        floor = cost_of("-c", FLOOR, SCHEMA, work / "alone")
        ours = tool(rows, work / "ours")
        print(f"rows {options.rows:,}")
        _print("floor: libxml2 parses and validates", floor, floor)
        _print("the tool, one process", alone, floor)
        _print("the tool, a process a core", ours, floor)
        for engine in ("libxml2",) if options.skip_xmlschema else ("libxml2", "xmlschema"):
            other = script(rows, work / engine, engine)
            _print(f"afternoon's script, {engine}", other, floor)
            print(f"    the tool is {other.clock_s / ours.clock_s:.1f} times faster on the clock;", end=" ")
            print(f"one process of it takes {other.cpu_s / alone.cpu_s:.1f} times less CPU")
        if options.million:
            write_rows(rows, options.rows * 10)
            for name, once, workers in (("one process", alone, ("--workers", "1")), ("a process a core", ours, ())):
                large = tool(rows, work / "large", *workers)
                sizes = f"{large.peak_mb:.0f} MB, at one: {once.peak_mb:.0f} MB"
                print(f"peak memory at ten times the rows, {name}: {sizes}")


def _print(name: str, cost: Cost, floor: Cost) -> None:
    cpu = f"CPU {cost.cpu_s:7.2f} s = {cost.cpu_s / floor.cpu_s:5.1f} floors"
    print(f"{name:38} {cpu}, clock {cost.clock_s:7.2f} s, peak {cost.peak_mb:5.0f} MB")


if __name__ == "__main__":
    main()

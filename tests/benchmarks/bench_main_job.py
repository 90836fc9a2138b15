"""The main job beside others on the same rows, in one call: CPU time and peak memory of whole processes, as ratios.

    python -m tests.benchmarks.bench_main_job [--rows 100000] [--million] [--skip-xmlschema]

Beside the tool run: the script that a capable person would write in an afternoon (pandas to dictionaries, lxml
trees), validating each record with libxml2 and with xmlschema; and the floor, libxml2 parsing and validating the
finished files. The tool answers in JSON here: a run that did not deliver every record is no measurement.
"""

from __future__ import annotations

import argparse
import json
import resource
import subprocess
import sys
import tempfile
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
    peak_mb: float
    said: str


def cost_of(*command: object) -> Cost:
    """Runs a command; user and system time of it and its children, and its peak memory."""
    before = resource.getrusage(resource.RUSAGE_CHILDREN)
    measured = [sys.executable, "-c", MEASURED, *map(str, command)]
    done = subprocess.run(measured, cwd=ROOT, check=True, stdout=subprocess.PIPE, text=True)
    after = resource.getrusage(resource.RUSAGE_CHILDREN)
    cpu_s = after.ru_utime + after.ru_stime - before.ru_utime - before.ru_stime
    said, _, peak = done.stdout.rstrip().rpartition("\n")
    return Cost(cpu_s, int(peak) / 1024, said)


MEASURED = """
import resource, subprocess, sys
done = subprocess.run([sys.executable, *sys.argv[1:]])
if done.returncode not in (0, 1):
    sys.exit(done.returncode)
print()
print(resource.getrusage(resource.RUSAGE_CHILDREN).ru_maxrss)
"""


def tool(rows: Path, out: Path) -> Cost:
    """The tool itself, with readings, evidence and the ledger of every cell."""
    convert = ("-m", "crosswalk", "convert", rows, "--mapping", HERE / "main_job.toml", "--to", "pbcore", "--json")
    cost = cost_of(*convert, "--out", out)
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
        ours = tool(rows, work / "ours")
        floor = cost_of("-c", FLOOR, SCHEMA, work / "ours")
        print(f"rows {options.rows:,}")
        _print("floor: libxml2 parses and validates", floor, floor)
        _print("the tool", ours, floor)
        for engine in ("libxml2",) if options.skip_xmlschema else ("libxml2", "xmlschema"):
            other = script(rows, work / engine, engine)
            _print(f"afternoon's script, {engine}", other, floor)
            print(f"    the tool is {other.cpu_s / ours.cpu_s:.1f} times faster")
        if options.million:
            write_rows(rows, options.rows * 10)
            large = tool(rows, work / "large")
            print(f"peak memory at ten times the rows: {large.peak_mb:.0f} MB, at one: {ours.peak_mb:.0f} MB")


def _print(name: str, cost: Cost, floor: Cost) -> None:
    print(f"{name:38} CPU {cost.cpu_s:7.2f} s = {cost.cpu_s / floor.cpu_s:5.1f} floors, peak {cost.peak_mb:5.0f} MB")


if __name__ == "__main__":
    main()

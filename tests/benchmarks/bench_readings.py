"""Speed of the readings, as ratios within one run. Usage: python tests/benchmarks/bench_readings.py [ROUNDS]

Prints, for dates, lengths and text: a column of 1,000,000 values from 2,000 wordings, and 100,000 all-different values
against one plain regular-expression match each. Ratios travel between machines, seconds do not.
"""

from __future__ import annotations

import random
import re
import sys
from collections.abc import Callable, Sequence
from pathlib import Path
from statistics import median
from time import perf_counter

sys.path.insert(0, str(Path(__file__).resolve().parents[2]))

from crosswalk.values.columns import ColumnReader, column_context
from crosswalk.values.reading import Context
from crosswalk.values.registry import parser

MONTHS = [
    "January",
    "February",
    "March",
    "April",
    "May",
    "June",
    "July",
    "August",
    "September",
    "October",
    "November",
    "December",
]
PLAIN = {
    "date": re.compile(
        r"\s*(?:(\d{1,4})[-/. ](\d{1,2}|[A-Z][a-z]{2,8}\.?)[-/. ](\d{1,4})|([A-Z][a-z]{2,8})\.? (\d{1,2}), (\d{4}))\s*"
    ),
    "duration": re.compile(r"\s*(?:(\d{1,3}):(\d\d)(?::(\d\d))?(?:[:;](\d\d))?|(\d+) ?(min|sec|hr)s?\.?)\s*"),
    "text": re.compile(r"[\w ,.;:()'-]+"),
}


def dates(count: int, rng: random.Random) -> list[str]:
    """Different date wordings of the usual shapes."""
    made: set[str] = set()
    while len(made) < count:
        y, m, d = rng.randint(1920, 2019), rng.randint(1, 12), rng.randint(1, 28)
        shape = rng.randrange(8)
        made.add(
            (
                f"{y}-{m:02}-{d:02}", f"{m}/{d + 13 if d < 16 else d}/{y}", f"{MONTHS[m - 1]} {d}, {y}", f"{d} {MONTHS[m - 1][:3]} {y}",
                f"{d:02}-{MONTHS[m - 1][:3]}-{y}", f"{y}-{m:02}-{d:02} 00:00:00", f"{MONTHS[m - 1]} {d} {y}", f"{d}. {MONTHS[m - 1]} {y}",
            )[shape]
        )  # fmt: skip
    return sorted(made, key=lambda _: rng.random())


def lengths(count: int, rng: random.Random) -> list[str]:
    """Different length wordings of the usual shapes."""
    made: set[str] = set()
    while len(made) < count:
        h, m, s, f = rng.randint(0, 4), rng.randint(0, 59), rng.randint(0, 59), rng.randint(0, 24)
        shape = rng.randrange(6)
        made.add(
            (
                f"{h:02}:{m:02}:{s:02}", f"{h}:{m:02}:{s:02}", f"{m + 60 * h}:{s:02}", f"{h:02}:{m:02}:{s:02}:{f:02}",
                f"{h:02}:{m:02}:{s:02};{f + 2:02}", f"{m + 60 * h} min {s} sec",
            )[shape]
        )  # fmt: skip
    return sorted(made, key=lambda _: rng.random())


def texts(count: int, rng: random.Random) -> list[str]:
    """Different titles, a few of them broken."""
    words = ["tide", "marsh", "ferry", "harbour", "kelp", "loom", "wheel", "clay", "net", "chart", "buoy", "heron"]
    made = [" ".join(rng.choices(words, k=6)) + f" {number}" for number in range(count)]
    return [text + " cafÃ©" if rng.random() < 0.01 else text for text in made]


MAKERS: dict[str, Callable[[int, random.Random], list[str]]] = {"date": dates, "duration": lengths, "text": texts}


def seconds(work: Callable[[], object], rounds: int) -> float:
    """The median of some rounds."""
    times = []
    for _ in range(rounds):
        start = perf_counter()
        work()
        times.append(perf_counter() - start)
    return median(times)


def report(kind: str, rounds: int) -> None:
    """Prints both figures of one kind."""
    rng = random.Random(7)
    different = MAKERS[kind](100_000, rng)
    few = different[:2_000]
    column = rng.choices(few, k=1_000_000)
    plain, read = PLAIN[kind].match, parser(kind)
    matching = seconds(lambda: [plain(text) for text in different], rounds)
    reading = seconds(lambda: _each(read, different), rounds)
    whole = seconds(lambda: ColumnReader(kind, column_context(kind, few)).read_all(column), rounds)
    evidence = seconds(lambda: column_context(kind, different), rounds)
    print(
        f"{kind:9} 100,000 different: {reading / matching:5.1f} times a plain match (with column evidence"
        f" {(reading + evidence) / matching:5.1f}); 1,000,000 from 2,000: {whole:.3f} s ="
        f" {whole / (10 * matching):.2f} times a plain match of each"
    )


def _each(read: Callable[[str, Context], object], values: Sequence[str]) -> None:
    context = Context()
    for text in values:
        read(text, context)


if __name__ == "__main__":
    for name in MAKERS:
        report(name, int(sys.argv[1]) if len(sys.argv) > 1 else 5)

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
# One match that finds the parts a reading needs, and nothing more.
PLAIN = {
    "usual dates": re.compile(
        r"\s*(?:(\d{1,4})[-/. ](\w+)\.?[-/. ](\d{1,4})|([A-Z][a-z]{2,8})\.? (\d{1,2}),? (\d{4}))\s*"
    ),
    "odd dates": re.compile(r"([^\d]*)(\d+)(?:(\D+)(\d+))?(?:(\D+)(\d+))?(?:(\D+)(\d+))?\D*"),
    "lengths": re.compile(r"\s*(?:(\d{1,3}):(\d\d)(?::(\d\d))?(?:[:;](\d\d))?|(\d+) ?(min|sec|hr)s?\.?)\s*"),
    "odd lengths": re.compile(r"([^\d]*)(\d+)(?:(\D+)(\d+))?(?:(\D+)(\d+))?\D*"),
    "texts": re.compile(r"[\w ,.;:()'-]+"),
}


def dates(count: int, rng: random.Random) -> list[str]:
    """Different date wordings of the usual shapes."""
    made: set[str] = set()
    while len(made) < count:
        y, m, d = rng.randint(1920, 2019), rng.randint(1, 12), rng.randint(1, 28)
        shape = rng.randrange(8)
        made.add(
            (
                f"{y}-{m:02}-{d:02}",
                f"{m}/{d + 13 if d < 16 else d}/{y}",
                f"{MONTHS[m - 1]} {d}, {y}",
                f"{d} {MONTHS[m - 1][:3]} {y}",
                f"{d:02}-{MONTHS[m - 1][:3]}-{y}",
                f"{y}-{m:02}-{d:02} 00:00:00",
                f"{MONTHS[m - 1]} {d} {y}",
                f"{d}. {MONTHS[m - 1]} {y}",
            )[shape]
        )
    return sorted(made, key=lambda _: rng.random())


def odd_dates(count: int, rng: random.Random) -> list[str]:
    """Different date wordings of the less usual shapes, as long as they last."""
    made: set[str] = set()
    seasons = ("Spring", "Summer", "Fall")
    for _ in range(count * 20):
        y, m, d = rng.randint(1920, 2010), rng.randint(1, 12), rng.randint(13, 28)
        month = MONTHS[m - 1]
        made.add(
            (
                f"c. {y}",
                f"{seasons[m % 3]} {y}",
                f"{m}/{d}/{y % 100:02}",
                f"{month} {d - 10}-{d}, {y}",
                f"Recorded {month} {d}, {y}.",
                f"{month[:3]} {d}, {y} to {month[:3]} {d}, {y + m}",
                f"{d} de abril de {y}",
                f"before {month} {d}, {y}",
                f"{y}-{y + d}",
            )[rng.randrange(9)]
        )
        if len(made) == count:
            break
    return sorted(made, key=lambda _: rng.random())


def lengths(count: int, rng: random.Random) -> list[str]:
    """Different length wordings of the usual shapes."""
    made: set[str] = set()
    while len(made) < count:
        h, m, s, f = rng.randint(0, 4), rng.randint(0, 59), rng.randint(0, 59), rng.randint(0, 24)
        shape = rng.randrange(6)
        made.add(
            (
                f"{h:02}:{m:02}:{s:02}",
                f"{h}:{m:02}:{s:02}",
                f"{m + 60 * h}:{s:02}",
                f"{h:02}:{m:02}:{s:02}:{f:02}",
                f"{h:02}:{m:02}:{s:02};{f + 2:02}",
                f"{m + 60 * h} min {s} sec",
            )[shape]
        )
    return sorted(made, key=lambda _: rng.random())


def odd_lengths(count: int, rng: random.Random) -> list[str]:
    """Different length wordings of the less usual shapes, as long as they last."""
    made: set[str] = set()
    for _ in range(count * 20):
        h, m, s = rng.randint(1, 4), rng.randint(10, 59), rng.randint(10, 59)
        made.add(
            (
                f"TRT {m}:{s}",
                f"({m} min., {s} sec.)",
                f"{m}'{s}\"",
                f"ca. {m} min {s} sec",
                f"{h} hr {m} min {s} sec",
                f"Length: {h}:{m}:{s}",
                f"{h}h{m}m{s}s",
                f"1 videocassette ({m} min., {s} sec.)",
                f"{h} x {m}:{s}",
            )[rng.randrange(9)]
        )
        if len(made) == count:
            break
    return sorted(made, key=lambda _: rng.random())


def texts(count: int, rng: random.Random) -> list[str]:
    """Different titles, a few of them broken."""
    words = ["tide", "marsh", "ferry", "harbour", "kelp", "loom", "wheel", "clay", "net", "chart", "buoy", "heron"]
    made = [" ".join(rng.choices(words, k=6)) + f" {number}" for number in range(count)]
    return [text + " cafÃ©" if rng.random() < 0.01 else text for text in made]


MAKERS: dict[str, tuple[str, Callable[[int, random.Random], list[str]]]] = {
    "usual dates": ("date", dates),
    "odd dates": ("date", odd_dates),
    "lengths": ("duration", lengths),
    "odd lengths": ("duration", odd_lengths),
    "texts": ("text", texts),
}


def seconds(work: Callable[[], object], rounds: int) -> float:
    """The median of some rounds."""
    times = []
    for _ in range(rounds):
        start = perf_counter()
        work()
        times.append(perf_counter() - start)
    return median(times)


def report(name: str, rounds: int) -> None:
    """Prints both figures of one kind."""
    rng = random.Random(7)
    kind, maker = MAKERS[name]
    different = maker(100_000, rng)
    few = different[:2_000]
    column = rng.choices(few, k=1_000_000)
    plain, read = PLAIN[name].match, parser(kind)
    matching = seconds(lambda: [plain(text) for text in different], rounds)
    reading = seconds(lambda: _each(read, different), rounds)
    whole = seconds(lambda: ColumnReader(kind, column_context(kind, few)).read_all(column), rounds)
    evidence = seconds(lambda: column_context(kind, different), rounds)
    print(
        f"{name:12} {len(different):,} different: {reading / matching:5.1f} times a plain match (with column evidence"
        f" {(reading + evidence) / matching:5.1f}); 1,000,000 from 2,000: {whole:.3f} s ="
        f" {whole / (1_000_000 / len(different) * matching):.2f} times a plain match of each"
    )


def _each(read: Callable[[str, Context], object], values: Sequence[str]) -> None:
    context = Context()
    for text in values:
        read(text, context)


if __name__ == "__main__":
    for name in MAKERS:
        report(name, int(sys.argv[1]) if len(sys.argv) > 1 else 5)

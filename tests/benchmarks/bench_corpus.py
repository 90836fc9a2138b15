"""Accuracy of the readings over labelled wordings: prints, per file, what is resolved, right, and wrongly confident.

Usage: python tests/benchmarks/bench_corpus.py [FOLDER] [--misses] [--column]

The files are CSV with the columns value, gold, note: dates.csv (EDTF), durations.csv (seconds), formats.csv (published
terms). A gold of `ambiguous...` or `unresolvable...` must not be resolved with confidence; `accept:` in a note names
further right answers. A note that begins `CTX:` names context that was given with the wording.
"""

from __future__ import annotations

import csv
import re
import sys
from collections.abc import Callable
from pathlib import Path
from typing import NamedTuple

sys.path.insert(0, str(Path(__file__).resolve().parents[2]))

from crosswalk.values.columns import column_context
from crosswalk.values.durations import duration_ms
from crosswalk.values.reading import NO_CONTEXT, Context, Reading
from crosswalk.values.registry import parser

CORPUS = Path(__file__).resolve().parents[2].parent / "shared" / "corpus"
Same = Callable[[str, str], bool]


class Labelled(NamedTuple):
    value: str
    gold: str
    note: str

    @property
    def answerable(self) -> bool:
        return not self.gold.startswith(("ambiguous", "unresolvable"))

    @property
    def golds(self) -> list[str]:
        also = re.search(r"accept:(.*)", self.note)
        return [self.gold, *(part.strip() for part in re.split(r";| or ", also[1]) if also)] if also else [self.gold]


class Score(NamedTuple):
    resolved: int
    answerable: int
    right: int
    overconfident: int
    unanswerable: int
    misses: list[str]

    def __str__(self) -> str:
        resolved = 100 * self.resolved / max(1, self.answerable)
        right = 100 * self.right / max(1, self.resolved)
        return (
            f"resolved {self.resolved}/{self.answerable} = {resolved:.1f} %; "
            f"right of resolved {self.right}/{self.resolved} = {right:.1f} %; "
            f"ambiguous or meaningless resolved {self.overconfident} of {self.unanswerable}"
        )


def load(path: Path) -> list[Labelled]:
    with path.open(encoding="utf-8", newline="") as lines:
        return [Labelled(row["value"], row["gold"], row["note"] or "") for row in csv.DictReader(lines)]


def given(note: str) -> Context:
    """The context that a note names."""
    if "CTX" not in note:
        return NO_CONTEXT
    if "mm.ss" in note:
        return Context(point_is_clock=True)
    return Context(bare_unit="s") if "secs" in note else NO_CONTEXT


def score(kind: str, rows: list[Labelled], same: Same, context: Context | None) -> Score:
    """Counts over the rows. With a context, it is used for all of them instead of what the notes give."""
    read = parser(kind)
    resolved = right = over = 0
    misses = []
    for row in rows:
        reading = read(row.value, given(row.note) if context is None else context)
        correct = reading.settled and row.answerable and any(same(str(reading.value), gold) for gold in row.golds)
        resolved += reading.settled and row.answerable
        right += correct and row.answerable
        over += reading.settled and not row.answerable
        if correct != row.answerable or (reading.settled and not row.answerable):
            misses.append(_miss(row, reading))
    answerable = sum(row.answerable for row in rows)
    return Score(resolved, answerable, right, over, len(rows) - answerable, misses)


def with_order(rows: list[Labelled]) -> str:
    """Dates whose note gives the answer under a month-first column: how many are then right."""
    noted = [(row.value, row.note.partition("->")[2].strip()) for row in rows if "m/d" in row.note and "->" in row.note]
    read = parser("date")
    right = sum(read(value, Context(day_first=False)).value == answer for value, answer in noted)
    return f"  with the order of day and month given: {right} of {len(noted)} right"


def _miss(row: Labelled, reading: Reading) -> str:
    doubts = ", ".join(f"{doubt.code} {doubt.suggestions}" for doubt in reading.doubts)
    return f"  {row.value!r}: gold {row.gold}, read {reading.value} [{doubts}] {row.note}"


def same_text(value: str, gold: str) -> bool:
    return value == gold


def same_seconds(value: str, gold: str) -> bool:
    return abs(duration_ms(value) / 1000 - float(gold)) < 0.5


def same_term(value: str, gold: str) -> bool:
    """The published term agrees; a detail after the colon is beyond what the labels say."""
    return value.split(":")[0].strip() == gold.split(":")[0].strip()


FILES: dict[str, tuple[str, Same]] = {
    "dates.csv": ("date", same_text),
    "durations.csv": ("duration", same_seconds),
    "formats.csv": ("carrier", same_term),
}


def main(arguments: list[str]) -> None:
    folders = [Path(argument) for argument in arguments if not argument.startswith("--")]
    for name, (kind, same) in FILES.items():
        path = (folders[0] if folders else CORPUS) / name
        if not path.exists():
            print(f"{name}: not there")
            continue
        rows = load(path)
        context = column_context(kind, [row.value for row in rows]) if "--column" in arguments else None
        try:
            result = score(kind, rows, same, context)
        except ImportError as problem:
            print(f"{name}: {problem}")
            continue
        print(f"{name}: {result}")
        if kind == "date":
            print(with_order(rows))
        if "--misses" in arguments:
            print("\n".join(result.misses))


if __name__ == "__main__":
    main(sys.argv[1:])

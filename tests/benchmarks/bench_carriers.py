"""Speed of reading carriers, as ratios within one run. Usage: python tests/benchmarks/bench_carriers.py [ROUNDS]

Prints, against one plain regular-expression search each: 100,000 all-different wordings of three kinds (known parts
with numbers; lengths of time and unknown words; unknown words first), and 1,000,000 values from 2,000 wordings.
"""

from __future__ import annotations

import random
import re
import sys
from pathlib import Path
from statistics import median
from time import perf_counter

sys.path.insert(0, str(Path(__file__).resolve().parents[2]))

from crosswalk.values import carriers
from crosswalk.values.carriers import read_carrier
from crosswalk.values.reading import NO_CONTEXT

PLAIN = re.compile(r"\b(?:betacam|vhs|u-?matic|dv|film|tape|cassette|disc)\b", re.IGNORECASE)
BASES = [
    "Betacam SP", "VHS", "U-matic", '3/4" Umatic SP', "Digital Betacam", '1" type C videotape', "1/4 inch audio tape",
    "16mm film", "MiniDV", "DVCAM", "HDCAM SR", "Audio cassette", "LP", "DAT", "Open reel video", "2 inch quad", "Hi8",
    "DVD-R",
]  # fmt: skip
TAILS = [
    "Master",
    "dub",
    "copy, PAL",
    "[NTSC]",
    "color, sound",
    "large",
    "30 min.",
    "; 1 of 2",
    "b&w; silent",
    "window dub",
]


def unknown(rng: random.Random) -> str:
    return "".join(rng.choice("abcdefghijklmnoprstuvw") for _ in range(rng.randint(4, 8)))


def wordings(count: int, rng: random.Random) -> dict[str, list[str]]:
    """All-different wordings of three kinds."""
    pick = rng.choice
    return {
        "parts and numbers": [f"{pick(BASES)} {pick(TAILS)} {n}" for n in range(count)],
        "lengths and unknown words": [
            f"{pick(BASES)}; {pick(TAILS)} ({rng.randint(1, 20000) / 100} min.) {n // 7} {unknown(rng)}"
            for n in range(count)
        ],
        "unknown words first": [f"{unknown(rng)} {pick(BASES)} {n}" for n in range(count)],
    }


def seconds(texts: list[str]) -> tuple[float, float]:
    """Seconds for reading all texts from nothing, and for one plain search each."""
    carriers._READERS.clear()
    read_carrier("VHS", NO_CONTEXT)  # loads the vocabulary
    start = perf_counter()
    for text in texts:
        read_carrier(text, NO_CONTEXT)
    middle = perf_counter()
    for text in texts:
        PLAIN.search(text)
    return middle - start, perf_counter() - middle


def main(rounds: int) -> None:
    rng = random.Random(4)
    made = wordings(100_000, rng)
    for kind, texts in made.items():
        pairs = [seconds(texts) for _ in range(rounds)]
        ratio = median(read / plain for read, plain in pairs)
        print(f"carriers, 100,000 different, {kind}: {ratio:.1f} times a plain search each")
    column = rng.choices(made["parts and numbers"][:2000], k=1_000_000)
    read, plain = seconds(column)
    print(f"carriers, 1,000,000 from 2,000: {read / plain:.2f} times a plain search each, {read:.2f} s")


if __name__ == "__main__":
    main(int(sys.argv[1]) if len(sys.argv) > 1 else 3)

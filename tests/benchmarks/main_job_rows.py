"""The rows of the main-job benchmark: 40 columns, two or three carriers an asset, written as a delimited file."""

from __future__ import annotations

import csv
import random
from pathlib import Path

HEADINGS = [
    "Asset ID", "Level", "Series", "Title", "Description", "Subjects", "Genre", "First TX", "Recorded", "Part of",
    "Place", "Period", "Audience", "Rating", "Creator", "Contributor 1", "Role 1", "Contributor 2", "Role 2",
    "Publisher", "Rights", "Asset note", "Tape No.", "Barcode", "Tape date", "Reel size", "Format", "Standard", "Store",
    "Generation", "Length", "Colour", "Tracks", "Channels", "Language", "Captions", "Track type", "Aspect", "Speed",
    "Shelf note",
]  # fmt: skip
FORMATS = ["U-matic", "Betacam SP", "Digital Betacam", "VHS", "1/4 inch audio tape", "DVCAM", "D3", "HDCAM", "16mm"]
WORDS = [
    "tide", "salt", "harbour", "ferry", "lamp", "net", "oar", "rope", "dune", "gull", "kelp", "pier", "bell", "fog",
    "quay", "crab", "loom", "kiln", "oak", "reed",
]  # fmt: skip
NAMES = ["Quill, Perpetua", "Ambrose Tolliver", "Loach, Cyprian", "Dunnabeck, Marguerite", "Idris Fennimoor"]


def write_rows(path: Path, count: int) -> None:
    """Writes `count` carrier rows; the rows of one asset are adjacent."""
    chance = random.Random(7)
    with path.open("w", encoding="utf-8", newline="") as file:
        writer = csv.writer(file)
        writer.writerow(HEADINGS)
        number, asset = 0, 0
        while number < count:
            asset += 1
            shared = _asset(asset, chance)
            for copy in range(min(2 + asset % 2, count - number)):
                number += 1
                writer.writerow([*shared, *_carrier(number, copy, chance)])


def _asset(number: int, chance: random.Random) -> list[str]:
    words = [chance.choice(WORDS) for _ in range(40)]
    parent = f"MC-{max(1, number - number % 40):07d}"
    year, month, day = 1960 + number % 50, 1 + number % 12, 1 + number % 28
    return [
        f"MC-{number:07d}", "Episode", "Tideline", " ".join(words[:4]).title(), " ".join(words).capitalize() + ".",
        f"{words[0]}; {words[1]} & {words[2]}; {words[3]}", "Documentary", f"{day}.{month}.{year}", str(year),
        parent, "Merrow Quay", f"{year - 10}-{year}", "General", "", chance.choice(NAMES),
        chance.choice(NAMES), "Host", chance.choice(NAMES), "Producer", "Merrow Coast Public Media",
        "house, all rights", "" if number % 3 else "checked against the log",
    ]  # fmt: skip


def _carrier(number: int, copy: int, chance: random.Random) -> list[str]:
    minutes = 20 + number % 35
    date = f"{1 + number % 28}.{1 + number % 12}.{1998 + number % 14}"
    return [
        f"{number:07d}", f"BC{number:09d}" if number % 2 else "", date,
        "7 in" if number % 5 == 0 else "", FORMATS[number % len(FORMATS)], "PAL", f"Vault {number % 9}, bay {copy}",
        ("Master", "Dub", "Copy")[copy % 3], f"00:{minutes:02d}:{number % 60:02d}", "Color", "2", "stereo", "eng",
        "" if number % 4 else "open captions", "Video", "4:3", "", "" if number % 6 else f"spliced {number % 7} times",
    ]  # fmt: skip

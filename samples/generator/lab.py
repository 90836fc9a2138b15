"""`kestrel-manifest.csv`: what Kestrel Transfer House says is on its drives, with the slips of any such list."""

from __future__ import annotations

import csv
import hashlib
from pathlib import Path

from generator.layouts import MANIFEST_COLUMNS
from generator.model import Carrier, Trouble
from generator.wordings import clock

NAME = "kestrel-manifest.csv"
# role: (suffix of a moving image file, suffix of a sound file, Mbit/s of image, Mbit/s of sound)
ROLES = {
    "preservation master": ("pm.mkv", "pm.wav", 90.0, 4.608),
    "mezzanine": ("mz.mov", "mz.wav", 50.0, 2.304),
    "access": ("ac.mp4", "ac.mp3", 4.0, 0.192),
}
Row = list[str]


def rows_of(number: str, ms: int, sound: bool, algorithm: str) -> list[Row]:
    """The three files made of one carrier."""
    rows = []
    for role, (image, audio, image_rate, sound_rate) in ROLES.items():
        name = f"kth_{number.lower()}_{audio if sound else image}"
        size = round(ms / 1000 * (sound_rate if sound else image_rate) * 1_000_000 / 8) + len(name) * 7
        digest = hashlib.new(algorithm.replace("-", ""), name.encode(), usedforsecurity=False).hexdigest()
        rows.append([number, name, role, str(size), algorithm, digest, clock(ms // 1000, hours=True)])
    return rows


def add_slips(groups: list[list[Row]]) -> list[tuple[Row, str, str, int]]:
    """Break the list in a few places: (row, kind, what to find, column counted from 1)."""
    unknown = rows_of("4711", 1_725_000, sound=False, algorithm="SHA-256")
    groups.insert(40, unknown)
    missing = groups[12].pop()
    doubled = list(groups[25][0])
    groups[25].insert(1, doubled)
    groups[33][1][5] = groups[33][1][5][:-1]
    short = groups[50][0]
    minutes = int(short[6][3:5])
    short[6] = f"{short[6][:3]}{minutes // 2:02d}{short[6][5:]}"
    return [
        (unknown[0], "file for an unknown tape", "no carrier 4711 is in the library", 1),
        (groups[12][-1], "missing access file", f"{missing[1]} is not listed", 2),
        (doubled, "file listed twice", "the same file, size and checksum in two lines", 2),
        (groups[33][1], "checksum of the wrong length", "63 hexadecimal digits where SHA-256 has 64", 6),
        (short, "file shorter than the tape", "half of the length that the library gives", 7),
    ]


def write_manifest(path: Path, carriers: list[Carrier]) -> tuple[int, list[Trouble]]:
    """The list, and what is wrong with it. The number of rows comes back first."""
    groups = []
    for index, carrier in enumerate(c for c in carriers if c.digitised):
        algorithm = "MD5" if index % 9 == 8 else "SHA-256"
        groups.append(rows_of(carrier.number, carrier.duration_ms or 1_725_000, carrier.sheet == "radio", algorithm))
    slips = add_slips(groups)
    rows = [row for group in groups for row in group]
    with path.open("w", encoding="utf-8", newline="") as file:
        writer = csv.writer(file, lineterminator="\n")
        writer.writerows([MANIFEST_COLUMNS, *rows])
    line = {id(row): number for number, row in enumerate(rows, start=2)}
    return len(rows), [
        Trouble(kind, find, where=f"{NAME}:{line[id(row)]}:{column}") for row, kind, find, column in slips
    ]

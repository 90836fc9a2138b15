"""Figures beside a carrier's name that say no carrier: speeds, sampling rates, stock codes, sizes."""

from __future__ import annotations

import re
from typing import NamedTuple

_INCH = "(?:\"|''|”|″|in\\.?(?![a-z])|inch(?:es)?|zoll)"
_CODES = "[CETLP]|BCT|KCS|KCA|DVM|MBR|KSP|ST|SE|TC|EC|P[56]|PFD"  # of tapes, before their length
_FIGURES = (
    ("speed", re.compile(r"(?<![\d.,])(\d{1,2}(?:[.,]\d{1,3})?) ?cm/s\b", re.IGNORECASE), "{} cm/s"),
    ("sampling", re.compile(r"(?<![\d.,])(\d{2,3}(?:[.,]\d)?) ?k(?:hz)?\b(?!m)", re.IGNORECASE), "{} kHz"),
    ("stock", re.compile(rf"(?<![\w-])((?:{_CODES})[-‐‑]?\d{{2,3}}[A-Z]{{0,3}})(?![\w-])"), "{}"),
    ("size", re.compile(rf"(?<![\d.,/])((?:[5-9]|1\d)(?:[.,]5)?|10 1/2)[ -]?{_INCH}", re.IGNORECASE), "{} in"),
)
_SIZES = [f"{halves / 2:g}" for halves in range(10, 40)] + ["10 1/2"]
# Pieces as written without which a wording holds none of these figures: the patterns cost more than all else.
SIGNS = frozenset(
    {
        f"{size}{gap}{unit}"
        for size in _SIZES
        for gap in ("", " ", "-")
        for unit in ('"', "''", "in", "inch", "inches", "zoll")
    }
    | {"s", "k", "khz", "c", "e", "t", "l", "p", "bct", "kcs", "kca", "dvm", "mbr", "ksp", "st", "se", "tc", "ec"}
    | {"pfd"}
)


class Figure(NamedTuple):
    """A figure as (kind, value), and where in the wording it stands."""

    said: tuple[str, str]
    start: int
    end: int


def figures(text: str, said: tuple[tuple[str, str], ...]) -> list[Figure]:
    """The figures of a wording, but for kinds that are said already.

    >>> [figures(text, ())[0].said for text in ('Acetate disc 16"', "Tonband 38 cm/s", "Kassette C90")]
    [('size', '16 in'), ('speed', '38 cm/s'), ('stock', 'C90')]
    """
    known = {kind for kind, _ in said}
    found = ((kind, pattern.search(text), shown) for kind, pattern, shown in _FIGURES if kind not in known)
    return [Figure((kind, shown.format(hit[1])), *hit.span()) for kind, hit, shown in found if hit]

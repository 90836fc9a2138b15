"""Lengths as `HH:MM:SS`, with `.mmm` or `:FF` and `;FF` behind it where written; and as milliseconds."""

from __future__ import annotations

import re
from fractions import Fraction

from crosswalk.values.timecodes import rate

_LENGTH = re.compile(r"(\d{2,}):([0-5]\d):([0-5]\d)(?:\.(\d{3})|([:;])(\d\d))?")


def from_seconds(seconds: Fraction | int, tail: str = "") -> str:
    """The `HH:MM:SS` of that many seconds, with milliseconds where they are not whole.

    >>> from_seconds(3510), from_seconds(Fraction(7, 2)), from_seconds(3510, ";12")
    ('00:58:30', '00:00:03.500', '00:58:30;12')
    """
    total_ms = round(seconds * 1000)
    whole, ms = divmod(total_ms, 1000)
    clock = f"{whole // 3600:02}:{whole // 60 % 60:02}:{whole % 60:02}"
    return f"{clock}{tail}" if tail else f"{clock}.{ms:03}" if ms else clock


def duration_ms(value: str, fps: str = "") -> int:
    """The milliseconds of a `HH:MM:SS` value; ValueError for any other text.

    Frames count at `fps`. Where no rate is known, `;FF` counts at 29.97 (drop-frame's usual rate) and `:FF` adds
    nothing, so that the answer is short by less than a second rather than made up.

    >>> duration_ms("00:58:30"), duration_ms("00:00:01:12", "25"), duration_ms("00:00:03.500")
    (3510000, 1480, 3500)
    """
    match = _LENGTH.fullmatch(value)
    if not match:
        raise ValueError(f'"{value}" is not a length of the form HH:MM:SS')
    whole = (int(match[1]) * 60 + int(match[2])) * 60 + int(match[3])
    return whole * 1000 + int(match[4] or 0) + _frames_ms(match[5], match[6], fps)


def _frames_ms(sign: str | None, frames: str | None, fps: str) -> int:
    if not sign or not frames or not (fps or sign == ";"):
        return 0
    return round(Fraction(int(frames) * 1000) / rate(fps or "29.97"))

"""Time addresses and frame counts (SMPTE ST 12-1): drop-frame and non-drop, at every rate in use."""

from __future__ import annotations

import re
from fractions import Fraction
from typing import Final

import msgspec

from crosswalk.values.reading import NO_CONTEXT, Context, How, Reading, refused

# Frames a second: the numbers that are counted, and the rate at which they run.
RATES: Final[dict[str, tuple[int, Fraction]]] = {
    "23.976": (24, Fraction(24000, 1001)),
    "24": (24, Fraction(24)),
    "25": (25, Fraction(25)),
    "29.97": (30, Fraction(30000, 1001)),
    "30": (30, Fraction(30)),
    "50": (50, Fraction(50)),
    "59.94": (60, Fraction(60000, 1001)),
    "60": (60, Fraction(60)),
}
_ALIASES: Final = {"23.98": "23.976", "29.97002997": "29.97", "23.976023976": "23.976", "59.94005994": "59.94"}
_ADDRESS = re.compile(r"(\d\d):(\d\d):(\d\d)([:;.])(\d\d)")
_LOOSE = re.compile(r"(\d{1,2})[:;.](\d{1,2})[:;.](\d{1,2})([:;.,])(\d{1,2})")
HOURS_A_DAY = 24


class Counting(msgspec.Struct, frozen=True):
    """How frames are numbered: so many a second, so many numbers dropped a minute; and their true rate."""

    base: int
    rate: Fraction
    dropped: int = 0

    @property
    def a_minute(self) -> int:
        """Frames in a minute that drops numbers."""
        return self.base * 60 - self.dropped

    @property
    def ten_minutes(self) -> int:
        """Frames in ten minutes: nine minutes drop numbers, the tenth does not."""
        return self.base * 600 - 9 * self.dropped

    @property
    def a_day(self) -> int:
        """Frames in 24 hours of addresses."""
        return self.ten_minutes * 6 * HOURS_A_DAY


def counting(fps: str) -> Counting:
    """The counting that a text such as "25", "29.97" or "29.97df" names; ValueError for a rate that is not in use.

    Drop-frame drops 2 numbers at 29.97 and 4 at 59.94 (SMPTE ST 12-1); at other rates there is none.

    >>> counting("29.97df").ten_minutes, counting("25").a_day
    (17982, 2160000)
    """
    name = fps.strip().lower().removesuffix("fps").strip()
    bare = name.removesuffix("ndf").removesuffix("df").removesuffix("nd").strip()
    bare = _ALIASES.get(bare, bare)
    if bare not in RATES:
        raise ValueError(
            f'"{fps}" is no frame rate in use; those are {", ".join(RATES)}, with df behind 29.97 or 59.94'
        )
    drop = name.endswith("df") and not name.endswith("ndf")
    if drop and bare not in ("29.97", "59.94"):
        raise ValueError(f"there is no drop-frame counting at {bare} frames a second")
    base, true_rate = RATES[bare]
    return Counting(base, true_rate, base // 15 if drop else 0)


def rate(fps: str) -> Fraction:
    """The true frames a second.

    >>> rate("29.97df")
    Fraction(30000, 1001)
    """
    return counting(fps).rate


def to_frames(address: str, fps: str) -> int:
    """The number of frames before that address; ValueError where the counting has no such address.

    >>> to_frames("00:01:00;02", "29.97df"), to_frames("01:00:00:00", "25")
    (1800, 90000)
    """
    count = counting(fps)
    match = _ADDRESS.fullmatch(address)
    if not match:
        raise ValueError(f'"{address}" is not an address of the form HH:MM:SS:FF')
    problem = impossible(address, count)
    if problem:
        raise ValueError(problem)
    hours, minutes, seconds, frames = (int(match[group]) for group in (1, 2, 3, 5))
    total_minutes = hours * 60 + minutes
    dropped = count.dropped * (total_minutes - total_minutes // 10)
    return (total_minutes * 60 + seconds) * count.base + frames - dropped


def from_frames(frames: int, fps: str) -> str:
    """The address of the frame with that many before it, counted round a day; `;` before the frames of drop-frame.

    >>> from_frames(1800, "29.97df"), from_frames(90000, "25")
    ('00:01:00;02', '01:00:00:00')
    """
    count = counting(fps)
    tens, rest = divmod(frames % count.a_day, count.ten_minutes)
    number = frames % count.a_day
    if count.dropped:
        later_minutes = max(0, rest - count.dropped) // count.a_minute  # the first of ten keeps its numbers
        number += count.dropped * (9 * tens + later_minutes)
    seconds, ff = divmod(number, count.base)
    sign = ";" if count.dropped else ":"
    return f"{seconds // 3600:02}:{seconds // 60 % 60:02}:{seconds % 60:02}{sign}{ff:02}"


def address_ms(address: str, fps: str) -> int:
    """The true time of that address in milliseconds.

    >>> address_ms("01:00:00;00", "29.97df"), address_ms("01:00:00:00", "29.97")
    (3599996, 3603600)
    """
    return round(to_frames(address, fps) * 1000 / rate(fps))


def is_dropped(address: str, count: Counting) -> bool:
    """Whether drop-frame counting skips that number.

    >>> is_dropped("00:01:00;01", counting("29.97df")), is_dropped("00:10:00;01", counting("29.97df"))
    (True, False)
    """
    minutes, seconds, frames = int(address[3:5]), int(address[6:8]), int(address[9:11])
    return bool(minutes % 10) and seconds == 0 and frames < count.dropped


def impossible(address: str, count: Counting) -> str:
    """What is wrong with an address under a counting, in words; empty where nothing is."""
    hours, minutes, seconds, frames = int(address[:2]), int(address[3:5]), int(address[6:8]), int(address[9:11])
    if hours >= HOURS_A_DAY:
        return f"{address}: hours count to 23"
    if minutes > 59 or seconds > 59:
        return f"{address}: minutes and seconds count to 59"
    if frames >= count.base:
        return f"{address}: frames count to {count.base - 1} at this rate"
    return f"{address}: drop-frame counting skips this number" if is_dropped(address, count) else ""


def read_timecode(text: str, context: Context = NO_CONTEXT) -> Reading:
    """The time address as `HH:MM:SS:FF`, or `HH:MM:SS;FF` where it was counted drop-frame.

    >>> read_timecode("1:00:00:00").value
    '01:00:00:00'
    >>> [doubt.code for doubt in read_timecode("00:01:00;00").doubts]
    ['DU10']
    """
    match = _LOOSE.fullmatch(text.strip()) if len(text) < 40 else None
    if not match:
        return refused("DU12", "a time address has hours, minutes, seconds and frames")
    drop = match[4] in ";," or (context.fps.lower().endswith("df") and not context.fps.lower().endswith("ndf"))
    sign = ";" if drop else ":"
    address = f"{int(match[1]):02}:{int(match[2]):02}:{int(match[3]):02}{sign}{int(match[5]):02}"
    return _checked(address, text.strip(), _counting_of(context, drop, int(match[5])))


def _counting_of(context: Context, drop: bool, frames: int) -> Counting:
    """The counting that the context names; otherwise the slowest usual one that has this frame number."""
    fast = "59.94" if frames > 29 else "29.97"
    try:
        stated = counting(context.fps) if context.fps else None
    except ValueError:
        stated = None
    if stated and (stated.dropped or not drop or stated.base % 30):
        return stated
    return counting(f"{fast}df" if drop else {"59.94": "60", "29.97": "30"}[fast])


def _checked(address: str, text: str, count: Counting) -> Reading:
    problem = impossible(address, count)
    if not problem:
        return Reading(
            address, How.EXACT if address == text else How.PATTERN, (), "" if address == text else "time-address"
        )
    if is_dropped(address, count) and "skips" in problem:
        return refused("DU10", problem, f"{address[:9]}{count.dropped:02}")
    return refused("DU11", problem)

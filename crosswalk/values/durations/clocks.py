"""Clock forms: what `58:30`, `1:02:03`, `00:58:30;12` and `59:13:00` mean, and when two meanings are possible."""

from __future__ import annotations

import re
from fractions import Fraction

import msgspec

from crosswalk.values.durations.times import from_seconds
from crosswalk.values.reading import Context

DoubtRow = tuple[str, str, tuple[str, ...]]
_PARTS = re.compile(r"[:;]")
SURELY_MINUTES = 5  # from 5:00 on, hours before the colon would be longer than nearly every carrier
SURELY_FRAMES = 24  # hours that no carrier holds: the last part counts frames
PERHAPS_FRAMES = 10
MOST_FRAMES = 30


class Length(msgspec.Struct):
    """Seconds, frames behind them as written (":12", ";12"), and doubts."""

    seconds: Fraction
    tail: str = ""
    doubts: tuple[DoubtRow, ...] = ()
    round_clock: bool = True  # seconds a multiple of five: more likely hours and minutes
    impossible: bool = False

    @property
    def text(self) -> str:
        """The `HH:MM:SS` form."""
        return from_seconds(self.seconds, self.tail)


def clock(text: str, context: Context, minutes_first: bool | None, labelled: bool = False) -> Length:
    """The length that a clock form means. `minutes_first` is what a unit beside it or the context says."""
    digits, _, fraction = text.replace(",", ".").partition(".")
    parts = [int(part or 0) for part in _PARTS.split(digits)]
    if len(parts) == 4:
        return _with_frames(parts, _last_sign(digits), context) if not fraction else _refuse(text)
    if len(parts) == 3 and (_last_sign(digits) == ";" and ":" in digits):
        return _minutes_seconds_frames(parts, ";", context)
    extra = Fraction(int(fraction), 10 ** len(fraction)) if fraction else Fraction(0)
    if len(parts) == 3:
        return _three(parts, extra, context)
    if len(digits) - digits.rfind(":") == 2 and digits[0] != ":" and extra == 0:  # 16:9
        return _one_figure(parts)
    return _two(parts, extra, context, minutes_first, labelled, digits[0] == ":")


def _one_figure(parts: list[int]) -> Length:
    """One figure behind the colon is no usual clock; it may be a ratio."""
    length = Length(Fraction(parts[0] * 60 + parts[1]))
    length.doubts = (("DU03", "one figure behind the colon: a clock has two", (length.text,)),)
    return length


def _last_sign(digits: str) -> str:
    return next((char for char in reversed(digits) if char in ":;"), "")


def _refuse(text: str, *suggestions: str) -> Length:
    words = f'"{text}": minutes and seconds count to 59'
    return Length(Fraction(0), doubts=(("DU02", words, suggestions),), impossible=True)


def _two(
    parts: list[int], extra: Fraction, context: Context, minutes_first: bool | None, labelled: bool, spot: bool
) -> Length:
    """Two figures; a spot such as `:60` or `:90` counts its seconds beyond 59."""
    first, second = parts
    if spot and second > 59:
        return Length(second + extra)
    if second > 59:
        carried = first + second // 60
        return _refuse(f"{first}:{second:02}", f"{carried}:{second % 60:02}")
    as_minutes, as_hours = Length(first * 60 + second + extra), Length(Fraction(first * 3600 + second * 60))
    if minutes_first is None and extra and (spot or not 0 < first < SURELY_MINUTES):
        minutes_first = True
    if minutes_first is None:
        minutes_first = True if spot else _decided(first, second, as_hours, context, labelled)
    if minutes_first is not None:
        return as_minutes if minutes_first else as_hours
    doubt = ("DU03", "hours and minutes, or minutes and seconds", (as_minutes.text, as_hours.text))
    return Length(as_minutes.seconds, doubts=(doubt,))


def _decided(first: int, second: int, as_hours: Length, context: Context, labelled: bool) -> bool | None:
    """Whether minutes come first, where the figures or the carrier's capacity leave no other sense; else None."""
    if context.minutes_first is not None:
        return context.minutes_first
    if first >= SURELY_MINUTES or (labelled and second % 5):
        return True
    if context.capacity_ms and as_hours.seconds * 1000 > context.capacity_ms * Fraction(11, 10):
        return True
    return None


def _three(parts: list[int], extra: Fraction, context: Context) -> Length:
    first, second, third = parts
    if second > 59 or third > 59:
        return _refuse(":".join(f"{part:02}" for part in parts))
    hours = Length(Fraction((first * 60 + second) * 60 + third) + extra)
    if first < PERHAPS_FRAMES or extra:
        return hours
    frames = _minutes_seconds_frames(parts, ":", context)
    too_long = context.capacity_ms is not None and hours.seconds * 1000 > context.capacity_ms * Fraction(5, 4)
    if (first >= SURELY_FRAMES or too_long) and third < MOST_FRAMES:
        return frames
    hours.doubts = (("DU14", "hours, or minutes with seconds and frames", (hours.text, frames.text)),)
    return hours


def _minutes_seconds_frames(parts: list[int], sign: str, context: Context) -> Length:
    return _with_frames([parts[0] // 60, parts[0] % 60, *parts[1:]], sign, context)


def _with_frames(parts: list[int], sign: str, context: Context) -> Length:
    hours, minutes, seconds, frames = parts
    tail = f"{sign}{frames:02}"
    shown = f"{hours:02}:{minutes:02}:{seconds:02}{tail}"
    if minutes > 59 or seconds > 59:
        return _refuse(shown)
    if frames >= _base(context.fps):
        return Length(
            Fraction(0), doubts=(("DU11", f"{shown} has more frames than a second holds", ()),), impossible=True
        )
    if _dropped(minutes, seconds, frames, tail, context):
        later = f"{shown[:-2]}{frames + 2:02}"
        return Length(Fraction(0), doubts=(("DU10", f"drop-frame counting skips {shown}", (later,)),), impossible=True)
    length = Length(Fraction((hours * 60 + minutes) * 60 + seconds), tail)
    if hours >= PERHAPS_FRAMES:
        length.doubts = (("DU14", "an address on the tape rather than a length", (length.text,)),)
    return length


def _dropped(minutes: int, seconds: int, frames: int, tail: str, context: Context) -> bool:
    """A skipped number. `;00` on a whole minute passes where no rate is stated: many write it for "no frames"."""
    stated = context.fps.lower().endswith("df") and not context.fps.lower().endswith("ndf")
    skipped = tail[0] == ";" and seconds == 0 and minutes % 10 != 0 and frames < 2
    return skipped and (frames > 0 or stated)


def _base(fps: str) -> int:
    from crosswalk.values.timecodes import counting

    try:
        return counting(fps).base if fps else 60
    except ValueError:
        return 60

"""Time addresses: against the `timecode` package over a whole day, and against the rule of drop-frame counting."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st
from timecode import Timecode  # type: ignore[attr-defined]

from crosswalk.values.reading import Context
from crosswalk.values.timecodes import (
    RATES,
    address_ms,
    counting,
    from_frames,
    is_dropped,
    rate,
    read_timecode,
    to_frames,
)
from tests.search import examples

ALL = [*RATES, "29.97df", "59.94df"]


def sampled(fps: str) -> list[int]:
    """Frames of a whole day: every minute's edges, and a step that meets every second's inside."""
    count = counting(fps)
    edges = {minute * count.base * 60 + offset for minute in range(0, 1440, 7) for offset in range(-3, 4)}
    return sorted(frame for frame in edges | set(range(0, count.a_day, 9973)) if 0 <= frame < count.a_day)


@pytest.mark.parametrize("fps", ALL)
def test_a_whole_day_agrees_with_the_timecode_package(fps: str) -> None:
    """The package counts from 1 and writes drop-frame for 29.97 and 59.94 unless told otherwise."""
    drop = fps.endswith("df")
    name = fps.removesuffix("df")
    for frame in sampled(fps)[:: 3 if fps.startswith(("5", "6")) else 1]:
        theirs = Timecode(name, frames=frame + 1, force_non_drop_frame=not drop)
        assert str(theirs).replace(";", ":") == from_frames(frame, fps).replace(";", ":"), frame


@pytest.mark.parametrize("fps", ALL)
def test_frames_and_addresses_are_inverse_over_a_day(fps: str) -> None:
    for frame in sampled(fps):
        assert to_frames(from_frames(frame, fps), fps) == frame


@pytest.mark.parametrize(("fps", "dropped"), [("29.97df", 2), ("59.94df", 4)])
def test_drop_frame_skips_numbers_each_minute_but_every_tenth(fps: str, dropped: int) -> None:
    """SMPTE ST 12-1: the first numbers of each minute, except minutes 0, 10, 20, 30, 40 and 50."""
    for minute in range(60):
        for frames in range(6):
            address = f"03:{minute:02}:00;{frames:02}"
            skipped = minute % 10 != 0 and frames < dropped
            assert is_dropped(address, counting(fps)) == skipped
            if skipped:
                with pytest.raises(ValueError, match="skips"):
                    to_frames(address, fps)
            else:
                assert from_frames(to_frames(address, fps), fps) == address


# Computed from the rule: address, frames before it, and elapsed seconds at 30000/1001 frames a second.
COMPUTED = [
    ("00:00:59;29", 1799, 60.026633),
    ("00:01:00;02", 1800, 60.06),
    ("00:02:00;02", 3598, 120.053267),
    ("00:05:00;10", 9000, 300.3),
    ("00:09:59;29", 17981, 599.966033),
    ("00:10:00;00", 17982, 599.9994),
    ("01:00:00;00", 107892, 3599.9964),
    ("23:59:59;29", 2589407, 86399.880233),
]


@pytest.mark.parametrize(("address", "frames", "seconds"), COMPUTED)
def test_computed_addresses(address: str, frames: int, seconds: float) -> None:
    assert to_frames(address, "29.97df") == frames
    assert from_frames(frames, "29.97df") == address
    assert abs(address_ms(address, "29.97df") - seconds * 1000) <= 1


def test_an_hour_of_drop_frame_is_an_hour_of_clock_to_four_milliseconds() -> None:
    assert address_ms("01:00:00;00", "29.97df") == 3_599_996
    assert address_ms("01:00:00:00", "29.97") == 3_603_600


@examples(300)
@given(st.sampled_from(ALL), st.integers(0, 10_000_000))
def test_counting_goes_round_the_day(fps: str, frames: int) -> None:
    day = counting(fps).a_day
    assert from_frames(frames, fps) == from_frames(frames % day, fps)


@pytest.mark.parametrize("fps", ["", "26", "25df", "24df", "thirty"])
def test_rates_that_are_not_in_use_are_refused(fps: str) -> None:
    with pytest.raises(ValueError, match=r"frame rate|drop-frame"):
        counting(fps)


@pytest.mark.parametrize(
    ("written", "meant"), [("23.98", "23.976"), ("29.97 ndf", "29.97"), ("25 fps", "25"), ("29.97DF", "29.97df")]
)
def test_other_ways_to_write_a_rate(written: str, meant: str) -> None:
    assert counting(written) == counting(meant)
    assert rate(written) == rate(meant)


@pytest.mark.parametrize(
    ("text", "fps", "value"),
    [
        ("01:00:00:00", "", "01:00:00:00"),
        ("1:00:00:00", "", "01:00:00:00"),
        ("01:00:00;00", "", "01:00:00;00"),
        ("00:01:00;02", "", "00:01:00;02"),
        ("00:10:00;00", "29.97df", "00:10:00;00"),
        ("01:00:00:24", "25", "01:00:00:24"),
        ("01:00:00:59", "59.94", "01:00:00:59"),
        ("01:00:00:59", "", "01:00:00:59"),
        ("01.00.00.10", "25", "01:00:00:10"),
        ("01:00:10:10", "29.97df", "01:00:10;10"),
    ],
)
def test_addresses_that_exist(text: str, fps: str, value: str) -> None:
    reading = read_timecode(text, Context(fps=fps))
    assert (reading.value, reading.doubts) == (value, ())


@pytest.mark.parametrize(
    ("text", "fps", "code"),
    [
        ("00:01:00;00", "", "DU10"),
        ("00:01:00;01", "29.97df", "DU10"),
        ("00:01:00;03", "59.94df", "DU10"),
        ("01:00:00:25", "25", "DU11"),
        ("01:00:60:00", "25", "DU11"),
        ("01:60:00:00", "25", "DU11"),
        ("24:00:00:00", "25", "DU11"),
        ("01:00:00:60", "", "DU11"),
        ("58:30", "", "DU12"),
        ("", "", "DU12"),
        ("hello", "", "DU12"),
        ("1:" * 20_000, "", "DU12"),
        ("01:00:00:00 ✓", "", "DU12"),
    ],
)
def test_addresses_that_do_not(text: str, fps: str, code: str) -> None:
    reading = read_timecode(text, Context(fps=fps))
    assert reading.value is None
    assert [doubt.code for doubt in reading.doubts] == [code]


@examples(300)
@given(st.text(max_size=30), st.sampled_from(["", "25", "29.97df", "nonsense"]))
def test_any_text_is_read_or_refused(text: str, fps: str) -> None:
    reading = read_timecode(text, Context(fps=fps))
    assert reading.settled or reading.doubts

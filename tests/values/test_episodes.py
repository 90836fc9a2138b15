"""Episode codes by the house's pattern; four digits SSEE name season and episode (common practice, no source)."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from crosswalk.values.episodes import read_episode
from crosswalk.values.reading import NO_CONTEXT, Context


def house(pattern: str) -> Context:
    return Context(episode_pattern=pattern)


@pytest.mark.parametrize(
    "pattern, text, value, season, episode",
    [
        ("SSEE", "0423", "0423", "4", "23"),
        ("SSEE", "423", "0423", "4", "23"),
        ("SSEE", "423.0", "0423", "4", "23"),
        ("SSEE", "1201", "1201", "12", "1"),
        ("SSEE", "#423", "0423", "4", "23"),
        ("SSEE", "Ep. 423", "0423", "4", "23"),
        ("SSEE", "S4E23", "0423", "4", "23"),
        ("SSEE", "s04 e23", "0423", "4", "23"),
        ("SSEE", "4x23", "0423", "4", "23"),
        ("SSEE", "Season 4, Episode 23", "0423", "4", "23"),
        ("SSEE", "Staffel 4 Folge 23", "0423", "4", "23"),
        ("SSEEE", "4123", "04123", "4", "123"),
        ("SS/EE", "4/23", "04/23", "4", "23"),
        ("SS-EE", "423", "04-23", "4", "23"),
        ("TDLN-SSEE", "TDLN-0423", "TDLN-0423", "4", "23"),
        ("TDLN-SSEE", "tdln-423", "TDLN-0423", "4", "23"),
        ("TDLN-SSEE", "423", "TDLN-0423", "4", "23"),
        ("SEASIDE-SSEE", "423", "SEASIDE-0423", "4", "23"),
    ],
)
def test_by_the_pattern(pattern: str, text: str, value: str, season: str, episode: str) -> None:
    reading = read_episode(text, house(pattern))
    assert (reading.value, reading.doubts) == (value, ())
    assert reading.also == (("season", season), ("episode", episode))


def test_a_pattern_without_seasons() -> None:
    reading = read_episode("7", house("EEEE"))
    assert (reading.value, reading.also, reading.doubts) == ("0007", (("episode", "7"),), ())


@pytest.mark.parametrize("text, value", [("423", "423"), ("0423", "0423"), ("423.0", "423"), ("MC-12b", "MC-12b")])
def test_without_a_pattern_nothing_is_filled_up(text: str, value: str) -> None:
    reading = read_episode(text, NO_CONTEXT)
    assert (reading.value, reading.settled) == (value, True)


@pytest.mark.parametrize(
    "text, code",
    [
        ("23", "ID02"),
        ("0400", "ID02"),
        ("12345", "ID01"),
        ("4a23", "ID01"),
        ("", "ID01"),
        ("pilot", "ID01"),
        ("٤٢٣", "ID01"),
    ],
)
def test_doubts(text: str, code: str) -> None:
    reading = read_episode(text, house("SSEE"))
    assert [doubt.code for doubt in reading.doubts] == [code]


@given(st.integers(1, 99), st.integers(1, 99))
def test_lost_zeros_come_back(season: int, episode: int) -> None:
    code = f"{season:02}{episode:02}"
    for text in (code, code.lstrip("0"), f"{int(code)}.0", f"S{season}E{episode}"):
        assert read_episode(text, house("SSEE")).value == code


@given(st.text(max_size=100), st.sampled_from(["", "SSEE", "SS-EE", "EEE", "nonsense", "((SS"]))
def test_any_text_is_read_or_refused(text: str, pattern: str) -> None:
    reading = read_episode(text, house(pattern))
    assert (reading.value is None) == bool(reading.doubts and not reading.value)

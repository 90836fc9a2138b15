"""Lengths: wordings with their answers, what the context decides, and properties held by any text."""

from __future__ import annotations

import csv
import re
from fractions import Fraction
from pathlib import Path

import isodate
import pytest
from hypothesis import given
from hypothesis import strategies as st

from crosswalk.findings import codes
from crosswalk.values.durations import duration_ms, from_seconds, read_duration
from crosswalk.values.durations.plans import planned
from crosswalk.values.durations.quick import quick
from crosswalk.values.durations.reader import considered
from crosswalk.values.reading import NO_CONTEXT, Context
from tests.search import examples
from tests.values.duration_wordings import DOUBTFUL, SETTLED
from tests.values.work import lines_run

DATA = Path(__file__).parents[1] / "data" / "length_wordings.csv"  # common practice, no source
with DATA.open(encoding="utf-8", newline="") as file:
    TABLE = [(row["wording"], row["seconds"]) for row in csv.DictReader(file)]


def words(text: str) -> list[str]:
    return text.split()


FORM = re.compile(r"\d{2,}:[0-5]\d:[0-5]\d(?:\.\d{3}|[:;]\d\d)?")


@pytest.mark.parametrize(
    ("text", "seconds"),
    [
        pytest.param(text, seconds, id=f"{group}: {text[:40]}-{number}")
        for group, pairs in SETTLED.items()
        for number, (text, seconds) in enumerate(pairs)
    ],
)
def test_wordings_with_one_answer(text: str, seconds: float) -> None:
    reading = read_duration(text)
    assert reading.doubts == ()
    value = str(reading.value)
    assert FORM.fullmatch(value)
    frames = 1000 if re.search(r"[:;]\d\d$", value[8:]) else 0
    assert 0 <= duration_ms(value) - seconds * 1000 <= frames


@pytest.mark.parametrize(
    ("text", "code"),
    [
        pytest.param(text, code, id=f"{group}: {text[:40]}-{number}")
        for group, pairs in DOUBTFUL.items()
        for number, (text, code) in enumerate(pairs)
    ],
)
def test_wordings_that_are_doubts(text: str, code: str) -> None:
    reading = read_duration(text)
    assert not reading.settled
    assert code in [doubt.code for doubt in reading.doubts]


@pytest.mark.parametrize(("text", "seconds"), [pair for pair in TABLE if pair[1]], ids=lambda value: value[:40])
def test_the_table_of_wordings_with_one_answer(text: str, seconds: str) -> None:
    reading = read_duration(text)
    assert reading.settled, reading
    assert abs(duration_ms(str(reading.value)) - float(seconds) * 1000) < 1000


@pytest.mark.parametrize("text", [text for text, seconds in TABLE if not seconds], ids=lambda value: value[:40])
def test_the_table_of_wordings_that_a_person_must_look_at(text: str) -> None:
    reading = read_duration(text)
    assert not reading.settled
    assert reading.doubts


def test_the_tables_are_large_enough_to_mean_something() -> None:
    assert sum(map(len, SETTLED.values())) >= 180
    assert sum(map(len, DOUBTFUL.values())) >= 70
    assert sum(1 for _, seconds in TABLE if seconds) > 900
    assert sum(1 for _, seconds in TABLE if not seconds) > 600


@pytest.mark.parametrize(
    ("text", "value"),
    [
        ("58:30", "00:58:30"),
        ("00:58:30;12", "00:58:30;12"),
        ("0:58:30:12", "00:58:30:12"),
        ("58:30;12", "00:58:30;12"),
        ("59:13:00", "00:59:13:00"),
        ("1:02:03.5", "01:02:03.500"),
        ("PT3.5S", "00:00:03.500"),
        ("100 hours", "100:00:00"),
        ("1h02m03s04f", "01:02:03:04"),
    ],
)
def test_the_form_keeps_what_was_written(text: str, value: str) -> None:
    assert read_duration(text).value == value


HOUR_TAPE = Context(capacity_ms=3_600_000)


@pytest.mark.parametrize(
    ("text", "context", "value"),
    [
        ("1:30", Context(minutes_first=True), "00:01:30"),
        ("1:30", Context(minutes_first=False), "01:30:00"),
        ("1:30", Context(capacity_ms=1_800_000), "00:01:30"),
        ("12.30 min", Context(point_is_clock=True), "00:12:30"),
        ("12.30 min", Context(point_is_clock=False), "00:12:18"),
        ("(.45 mins)", Context(point_is_clock=True), "00:00:45"),
        ("12.30", Context(point_is_clock=True), "00:12:30"),
        ("0.2 min", Context(point_is_clock=True), "00:00:12"),
        ("27", Context(bare_unit="min"), "00:27:00"),
        ("27", Context(bare_unit="s"), "00:00:27"),
        ("1.5", Context(bare_unit="h"), "01:30:00"),
        ("194", HOUR_TAPE, "00:03:14"),
        ("12:30:20", HOUR_TAPE, "00:12:30:20"),
        ("58:30", HOUR_TAPE, "00:58:30"),
        ("62:00", HOUR_TAPE, "01:02:00"),
        ("1900-01-01 00:27:40", HOUR_TAPE, "00:27:40"),
        ("0.4583333", Context(bare_unit="h"), "00:27:30"),
    ],
)
def test_context_decides(text: str, context: Context, value: str) -> None:
    reading = read_duration(text, context)
    assert (reading.value, reading.doubts) == (value, ())


@pytest.mark.parametrize("text", ["1:30", "0:90:00", "3:00:00", "180 min", "PT3H"])
def test_what_does_not_fit_on_the_carrier_is_never_settled(text: str) -> None:
    assert not read_duration(text, HOUR_TAPE).settled or text == "1:30"
    if text in ("3:00:00", "180 min", "PT3H"):
        assert [doubt.code for doubt in read_duration(text, HOUR_TAPE).doubts] == ["DU13"]


@pytest.mark.parametrize(
    ("text", "suggestions"),
    [
        ("1:75", ("2:15",)),
        ("1:30", ("00:01:30", "01:30:00")),
        ("27", ("00:27:00", "00:00:27")),
        ("12.30 min", ("00:12:30", "00:12:18")),
        ("30 min, 28 min", ("00:30:00", "00:28:00", "00:58:00")),
    ],
)
def test_doubts_offer_what_may_have_been_meant(text: str, suggestions: tuple[str, ...]) -> None:
    assert read_duration(text).doubts[0].suggestions == suggestions


@pytest.mark.parametrize("text", ["ca. 30 min", "30 min?", "(30 mins, c)", "unconfirmed: 30 min"])
def test_what_is_about_is_told_beside_the_value(text: str) -> None:
    assert read_duration(text).also == (("approximate", "yes"),)


def test_what_the_carrier_holds_is_told_beside_the_value() -> None:
    reading = read_duration("ca. 27 min of a 30-min tape")
    assert reading.also == (("approximate", "yes"), ("capacity", "00:30:00"), ("note", "a 30-min tape"))


def test_letters_that_stand_for_figures_are_told_as_the_rule() -> None:
    assert read_duration("Tape 2, 4O min").rule == "figures-for-letters"
    assert read_duration("Tape 2, 4O min").also == (("note", "Tape 2"),)


@pytest.mark.parametrize(
    ("value", "fps", "ms"),
    [
        ("00:58:30", "", 3_510_000),
        ("00:00:00.250", "", 250),
        ("00:00:01:12", "25", 1480),
        ("00:00:01:12", "24", 1500),
        ("00:00:01;15", "29.97df", 1500),
        ("00:00:01;15", "", 1500),
        ("00:00:01:15", "", 1000),
        ("100:00:00", "", 360_000_000),
    ],
)
def test_milliseconds(value: str, fps: str, ms: int) -> None:
    assert abs(duration_ms(value, fps) - ms) <= 1


@pytest.mark.parametrize("value", ["", "58:30", "00:60:00", "00:00:60", "1 hr"])
def test_milliseconds_of_another_form_are_refused(value: str) -> None:
    with pytest.raises(ValueError, match="HH:MM:SS"):
        duration_ms(value)


# -- properties


@examples(400)
@given(st.integers(1, 400_000_000))
def test_printing_and_counting_are_inverse(ms: int) -> None:
    assert duration_ms(from_seconds(Fraction(ms, 1000))) == ms


@examples(300)
@given(st.integers(0, 30), st.integers(0, 59), st.integers(0, 59))
def test_iso_durations_agree_with_isodate(hours: int, minutes: int, seconds: int) -> None:
    """isodate as the outside check of ISO 8601 durations."""
    text = f"PT{hours}H{minutes}M{seconds}S"
    reading = read_duration(text)
    expected = isodate.parse_duration(text).total_seconds() * 1000
    assert reading.value is None if not expected else duration_ms(str(reading.value)) == expected


FORMS = (
    "{h}:{m:02}:{s:02}|{h:02}:{m:02}:{s:02}|{m}:{s:02}|{h:02}:{m:02}:{s:02}:{f:02}|{h:02}:{m:02}:{s:02};{f:02}|"
    "{m} min {s} sec|{m}min|{h} hr. {m} min.|{h}h {m}m|{m} MINS|{s} s|{h} hours, {m} minutes|{m} m {s} s|{m} m"
)
CLOCKS = st.builds(
    lambda form, h, m, s, f: form.format(h=h, m=m, s=s, f=f),
    st.sampled_from(FORMS.split("|")),
    st.integers(0, 30),
    st.integers(0, 130),
    st.integers(0, 70),
    st.integers(0, 60),
)
CONTEXTS = st.sampled_from(
    [NO_CONTEXT, HOUR_TAPE, Context(minutes_first=True), Context(minutes_first=False), Context(fps="29.97df")]
)


@examples(1200)
@given(CLOCKS, CONTEXTS)
def test_the_shortcut_gives_what_the_grammar_gives(text: str, context: Context) -> None:
    shortcut = quick(text, context)
    assert shortcut is None or shortcut == considered(text, context)


WORDS = words(
    """
    30 5 1 90 1.5 12.30 1:30 58:30 00:58:30;12 min sec hr hours ' " x + and , & ( ) - ~ ? ca. TRT Length : each tape
    under twenty forty and of part minuts (min): @ on May missing
    half a an ½ 1/2 ft m s h Std. et demie 400 0 00:00:00 pm each : ; . /
    """
)


@examples(1500)
@given(st.lists(st.sampled_from(WORDS), max_size=8), st.sampled_from(["", " "]))
def test_what_is_read_has_the_standard_form(words: list[str], glue: str) -> None:
    reading = read_duration(glue.join(words))
    assert reading.value is not None or reading.doubts
    if reading.value is not None:
        assert FORM.fullmatch(reading.value)
        assert duration_ms(reading.value) >= 0


@examples(400)
@given(st.text(max_size=60), CONTEXTS)
def test_any_text_is_read_or_refused_with_a_known_code(text: str, context: Context) -> None:
    reading = read_duration(text, context)
    assert reading.value is not None or reading.doubts
    assert all(doubt.code in codes() for doubt in reading.doubts)


PLACES = words(
    """
    {a} {b} {c} {a}:{b} {a}:{b}:{c} 1:{a}:{b} 3:{a} :{a} {a}' {b}" min sec hr h m s x 2 3 + and , ( ) - ca. TRT Length:
    each tape {a}.{b} {a}.5 1 5 90 ; / half ft {a}:{b}:{c}:{a} {a}:{b};{c} hours video 00: 1/2
    0: {a}h 01: on May Friday part of minuts twenty reel @ missing (min): {a}s 2 x {a} x {b} {a}'{b}'
    {a}:{b}:{c}AM 12:{a}:{b} 1899-12-30 1900-01-01 AM PM reels 2reels {a}reels {a}-min tape recorded used de von je à
    rpm : {a} : {b} : {b} C-{a} C{a} O l {a}:3O ips tape, film (?) ish ~ u. long capacity episodes 60mintape sur 0.{a}
    """
)
FIGURES = st.tuples(st.integers(10, 59), st.integers(10, 59), st.integers(10, 59))


@examples(1000)
@given(
    st.lists(st.sampled_from(PLACES), min_size=1, max_size=6),
    st.sampled_from(["", " "]),
    st.lists(FIGURES, min_size=3, max_size=3),
    CONTEXTS,
)
def test_plans_give_what_the_grammar_gives(
    places: list[str], glue: str, figures: list[tuple[int, int, int]], context: Context
) -> None:
    for a, b, c in figures:
        text = glue.join(places).format(a=a, b=b, c=c)
        assert planned(text, context, considered) == considered(text, context), text


def steps(text: str) -> int:
    """The work of one reading."""
    return lines_run(lambda: read_duration(text))


@pytest.mark.parametrize(
    "unit",
    [
        "1 ",
        "1:",
        "1:30 ",
        "1+",
        "1x",
        "2 x ",
        "1 min ",
        "1/2 ",
        "half ",
        "and ",
        "ca. ",
        "length ",
        "- ",
        "' ",
        "1'",
        "a ",
        "hundred ",
        "twenty ",
        "and a ",
        "part ",
        "- 1",
        "min 1 ",
        "u - ",
    ],
)
def test_work_grows_with_the_length_and_then_stops(unit: str) -> None:
    short, long = unit * (150 // len(unit)), unit * (300 // len(unit))
    assert steps(long) <= 2.6 * steps(short) + 500
    assert steps(unit * 20_000) < 100


@pytest.mark.parametrize(
    ("text", "value", "notes"),
    [
        ("58:30 (incl. ads)", "00:58:30", ["incl. ads"]),
        ("45 min, no sound", "00:45:00", ["no sound"]),
        ("58:30 + credits", "00:58:30", ["credits"]),
        ("Reel 2, 28 min", "00:28:00", ["Reel 2"]),
        ("400' (11 min)", "00:11:00", ["400'"]),
        ("length: 45 minutes (part 1)", "00:45:00", ["part 1"]),
        ("45 minutos aprox. sin imágenes", "00:45:00", ["sin imágenes"]),
        ("TRT 28:30", "00:28:30", []),
        ("approx. 45 min", "00:45:00", []),
        ("Duration (min): 27", "00:27:00", []),
        ("28:30 (28 min 30 s)", "00:28:30", []),
        ("1 hr and 5 min", "01:05:00", []),
        ("58:30 + 28:30", "01:27:00", []),
        ("2:48, 45 U/min", "00:02:48", ["45 U/min"]),
        ("2 reels, 11 min each", "00:22:00", ["2 reels", "each"]),
        ("C-60, 27 min", "00:27:00", ["C-60"]),
    ],
)
def test_words_that_are_no_part_of_the_length_are_kept(text: str, value: str, notes: list[str]) -> None:
    reading = read_duration(text)
    assert (reading.value, reading.settled) == (value, True)
    assert [told for kind, told in reading.also if kind == "note"] == notes


@pytest.mark.parametrize(
    ("text", "suggestions"),
    [
        ("58:30 + 10 min bonus", ("00:58:30", "01:08:30")),
        ("58:30 + 12:00 (leader)", ("00:58:30", "01:10:30")),
        ("45 min plus 5 min of extras", ("00:45:00", "00:50:00")),
    ],
)
def test_a_sum_with_an_extra_is_a_doubt(text: str, suggestions: tuple[str, ...]) -> None:
    (doubt,) = read_duration(text).doubts
    assert (doubt.code, doubt.suggestions) == ("DU08", suggestions)


@pytest.mark.parametrize(
    ("text", "point_is_clock", "value"),
    [
        ("28,5", None, "00:28:30"),
        ("28.5", None, "00:28:30"),
        ("59,9", False, "00:59:54"),
        ("7,0", None, "00:07:00"),
        ("12,75", None, "00:12:45"),
        ("12,30", False, "00:12:18"),
        ("12,30", True, "00:12:30"),
        ("1,660", None, "27:40:00"),
    ],
)
def test_bare_figures_in_a_stated_unit(text: str, point_is_clock: bool | None, value: str) -> None:
    reading = read_duration(text, Context(bare_unit="min", point_is_clock=point_is_clock))
    assert (reading.value, reading.doubts) == (value, ())


def test_two_decimals_in_a_stated_unit_may_be_sixtieths() -> None:
    (doubt,) = read_duration("12,30", Context(bare_unit="min")).doubts
    assert (doubt.code, doubt.suggestions) == ("DU04", ("00:12:30", "00:12:18"))

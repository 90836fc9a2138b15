"""Languages to ISO 639-2 codes (bibliographic form, as in the PBCore schema's own example eng;fre)."""

from __future__ import annotations

from typing import Any

import pycountry
import pytest
from hypothesis import given
from hypothesis import strategies as st

from crosswalk.values.languages import read_language
from crosswalk.values.reading import NO_CONTEXT, How


@pytest.mark.parametrize(
    "text, code",
    [
        ("eng", "eng"),
        ("en", "eng"),
        ("English", "eng"),
        ("Eng.", "eng"),
        ("en-GB", "eng"),
        ("English (US)", "eng"),
        ("Deutsch", "ger"),
        ("deu", "ger"),
        ("français", "fre"),
        ("Francais", "fre"),
        ("Espagnol", "spa"),
        ("castellano", "spa"),
        ("Norsk", "nor"),
        ("norw.", "nor"),
        ("frz.", "fre"),
        ("中文", "chi"),
        ("Cymraeg", "wel"),
        ("Kreyòl", "hat"),
        ("English/Spanish", "eng;spa"),
        ("English, French and German", "eng;fre;ger"),
        ("eng;fre", "eng;fre"),
        ("ENGLISH", "eng"),
        ("American Sign Language", "sgn"),
        ("no dialogue", "zxx"),
        ("unknown", "und"),
        ("Adyghe", "ady"),  # not in our table: ISO 639-3
        ("yue", "yue"),
    ],
)
def test_codes_names_and_native_names(text: str, code: str) -> None:
    reading = read_language(text, NO_CONTEXT)
    assert (reading.value, reading.settled) == (code, True)


TWO_LETTERS = [language for language in pycountry.languages if hasattr(language, "alpha_2")]


@pytest.mark.parametrize("language", TWO_LETTERS, ids=lambda language: language.alpha_3)
def test_every_language_with_two_letters(language: Any) -> None:
    """Against pycountry: by name, by both codes."""
    if language.alpha_3 == "hbs":
        return  # Serbo-Croatian has codes for its parts only in ISO 639-2
    code = getattr(language, "bibliographic", language.alpha_3)
    texts = [language.name, language.alpha_3, code, *([language.alpha_2] if language.alpha_2 != "no" else [])]
    assert {read_language(text, NO_CONTEXT).value for text in texts} == {code}


@pytest.mark.parametrize(
    "text, code, suggested",
    [
        ("Gaelic", "LA02", ("gle", "gla")),
        ("no", "LA02", ("nor", "zxx")),
        ("Serbo-Croatian", "LA02", ("srp", "hrv", "bos")),
        ("Serbo-Croat", "LA02", ("srp", "hrv", "bos")),
        ("English?", "LA02", ()),
        ("Englsh", "LA01", ("eng",)),
        ("blue", "LA01", ()),
        ("", "LA01", ()),
        ("12", "LA01", ()),
        ("English and blue", "LA01", ()),
    ],
)
def test_doubts(text: str, code: str, suggested: tuple[str, ...]) -> None:
    reading = read_language(text, NO_CONTEXT)
    assert [doubt.code for doubt in reading.doubts] == [code]
    assert reading.doubts[0].suggestions == suggested


def test_subtitles_stand_beside() -> None:
    reading = read_language("French with English subtitles", NO_CONTEXT)
    assert (reading.value, reading.also) == ("fre", (("subtitles", "eng"),))


@pytest.mark.parametrize(
    "text, code, also",
    [
        ("German (dubbed)", "ger", (("note", "dubbed"),)),
        ("German [dubbed], English ()", "ger;eng", (("note", "dubbed"),)),
        ("English (US)", "eng", (("note", "US"),)),
        ("German with English narration", "ger", (("narration", "eng"),)),
    ],
)
def test_what_else_a_cell_says(text: str, code: str, also: tuple[tuple[str, str], ...]) -> None:
    reading = read_language(text, NO_CONTEXT)
    assert (reading.value, reading.settled, reading.also) == (code, True, also)


@given(st.text(max_size=500))
def test_any_text_gives_codes_or_a_doubt(text: str) -> None:
    reading = read_language(text, NO_CONTEXT)
    assert (reading.value is None) == (reading.how is How.UNREAD)
    if reading.value is not None:
        assert all(len(code) == 3 and code.isascii() and code.islower() for code in reading.value.split(";"))

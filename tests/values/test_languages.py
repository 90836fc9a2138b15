"""Languages to ISO 639-2 codes (bibliographic form, as in the PBCore schema's own example eng;fre)."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pycountry
import pytest
from hypothesis import given
from hypothesis import strategies as st

from crosswalk.values.language_words import iso_639_2, language_words
from crosswalk.values.languages import read_language
from crosswalk.values.reading import NO_CONTEXT, Context, How


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
        ("MOS", "zxx"),  # film shot without sound
        ("ton", "ton"),
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
        ("Yue Chinese", "yue"),
        ("ENG", "eng"),
        ("Eng", "eng"),
        ("fin", "fin"),
        ("may", "may"),
        ("man", "man"),
        ("Fin", "fin"),
        ("se", "sme"),
        ("uk", "ukr"),
        ("DE", "ger"),
        ("EN", "eng"),
        ("Ja", "jpn"),
        ("Welsh/EN", "wel;eng"),
        ("中文", "chi"),
        ("MOS", "zxx"),  # film shot without sound
        ("ton", "ton"),
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
        # a name has four letters, a code two or three (ISO 639-1, ISO 639-2); initials: common practice, no source
        ("E", "LA02", ("eng", "spa")),
        ("S", "LA02", ("spa", "swe")),
        ("w.", "LA02", ("wel",)),
        ("x", "LA01", ()),
        ("Welsh/E", "LA02", ("eng", "spa")),
        ("n/a", "LA01", ()),
        ("sí", "LA01", ()),
        # codes of ISO 639-3 only
        ("yes", "LA02", ("yes",)),
        ("the", "LA02", ("the",)),
        ("and", "LA02", ("and",)),
        ("yue", "LA02", ("yue",)),
        # codes that are words too (common practice, no source)
        ("was", "LA02", ("was",)),
        ("non", "LA02", ("non", "zxx")),
        ("Ton", "LA02", ("ton", "zxx")),
        ("May", "LA02", ("may",)),
        ("PAL", "LA02", ("pal",)),
        ("mos", "LA02", ("mos", "zxx")),
        # codes of countries (ISO 3166-1)
        ("UK", "LA02", ("ukr", "eng")),
        ("CH", "LA02", ("cha", "ger", "fre", "ita")),
        ("SE", "LA02", ("sme", "swe")),
        ("CA", "LA02", ("cat", "eng", "fre")),
        ("AR", "LA02", ("ara", "spa")),
        ("SV", "LA02", ("swe", "spa")),
        ("Se", "LA02", ("sme", "swe")),
        ("German/CH", "LA02", ("cha", "ger", "fre", "ita")),
        ("GB", "LA01", ("eng",)),
    ],
)
def test_doubts(text: str, code: str, suggested: tuple[str, ...]) -> None:
    reading = read_language(text, NO_CONTEXT)
    assert [doubt.code for doubt in reading.doubts] == [code]
    assert reading.doubts[0].suggestions == suggested


SAME = {  # codes of languages that are spoken in the country of that code
    "az", "bg", "de", "es", "fi", "fj", "fo", "fr", "hr", "ht", "hu", "id", "is", "it", "lt", "lv", "mg",
    "mh", "mk", "mn", "mt", "nl", "no", "pl", "pt", "ro", "ru", "rw", "sk", "so", "th", "to", "tr", "uz",
}  # fmt: skip


def test_every_code_of_a_language_that_is_a_country_s_too() -> None:
    """Against pycountry (ISO 639-1, ISO 3166-1): the country speaks that language, or the table says what it speaks."""
    both = {language.alpha_2 for language in TWO_LETTERS} & {c.alpha_2.lower() for c in pycountry.countries}
    assert both - set(language_words().countries) - set(language_words().several) == SAME


def test_the_table_names_codes() -> None:
    words = language_words()
    tables = (words.several, words.words, words.capitalised, words.lower_case, words.letters, words.countries)
    assert [code for table in tables for meant in table.values() for code in meant if code not in iso_639_2()] == []


def test_what_a_house_adds_comes_first(tmp_path: Path) -> None:
    house = tmp_path / "house.toml"
    house.write_text('vocabulary = "languages"\n[aliases]\neng = ["E", "GB"]\n', encoding="utf-8")
    context = Context(house_files=(str(house),))
    assert [read_language(text, context).value for text in ("E", "GB", "Welsh/E")] == ["eng", "eng", "wel;eng"]


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

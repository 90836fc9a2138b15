"""Text: what is repaired and by which rule, what is left alone, and properties held by any text."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st
from lxml import etree

from crosswalk.values.text import RULES, read_text, repair
from tests.search import examples


@pytest.mark.parametrize(
    ("text", "repaired", "rules"),
    [
        ("CafÃ© am Kai", "Café am Kai", ("mojibake",)),
        ("donâ€™t", "don’t", ("mojibake",)),
        ("CafÃƒÂ© am Kai", "Café am Kai", ("mojibake",)),
        ("naÃ¯ve Â£5", "naïve £5", ("mojibake",)),
        ("It\x92s low tide", "It’s low tide", ("mojibake",)),
        ("nets &amp; lines", "nets & lines", ("entity",)),
        ("caf&#233;", "café", ("entity",)),
        ("caf&amp;eacute;", "café", ("entity",)),
        ("nets &amp;amp; lines", "nets & lines", ("entity",)),
        ("salt\xa0marsh", "salt marsh", ("odd-space",)),
        ("salt\tmarsh", "salt marsh", ("odd-space",)),
        ("salt\u2003marsh", "salt marsh", ("odd-space",)),
        ("salt  marsh", "salt marsh", ("doubled-space",)),
        (" salt marsh ", "salt marsh", ("outer-spaces",)),
        ("salt marsh\n", "salt marsh", ("outer-spaces",)),
        ("\ufeffsalt marsh", "salt marsh", ("invisible-character",)),
        ("salt\u200bmarsh", "saltmarsh", ("invisible-character",)),
        ("salt\x00 marsh", "salt marsh", ("forbidden-character",)),
        ("salt\x07 marsh", "salt marsh", ("forbidden-character",)),
        ("salt\ud800 marsh", "salt marsh", ("forbidden-character",)),
        ("salt\r\nmarsh", "salt\nmarsh", ("line-break",)),
        ("salt\x0bmarsh", "salt\nmarsh", ("line-break",)),
        ("salt\u2028marsh", "salt\nmarsh", ("line-break",)),
        ("salt_x000D_\nmarsh", "salt\nmarsh", ("workbook-escape", "line-break")),
        ("salt_x0007_ marsh", "salt marsh", ("workbook-escape", "forbidden-character")),
        ("  CafÃ©\xa0 am Kai", "Café am Kai", ("mojibake", "odd-space", "doubled-space", "outer-spaces")),
    ],
)
def test_what_is_broken_is_repaired_by_named_rules(text: str, repaired: str, rules: tuple[str, ...]) -> None:
    assert repair(text)[0] == repaired
    assert set(repair(text)[1]) == set(rules)
    assert read_text(text).rule == ",".join(repair(text)[1])


@pytest.mark.parametrize(
    "text",
    [
        "Tide tables",
        "Café am Kai",
        "“Tide tables” – the sea’s own",
        '‘smart’ and "plain"',
        "SÃO MIGUEL",
        "Âge d’or",
        "Ærøskøbing",
        "Łódź",
        "Ñandú",
        "AT&T-like names; R&D",
        "5 < 6 & 7 > 6",
        "two\nlines",
        "e\u0301",
        "שלום עולם",
        "مرحبا",
        "海辺の記録",
        "🎞 reel",
        "snake_x_case",
        "x" * 30_000,
        "_x0041_",
    ],
    ids=lambda text: text[:20],
)
def test_what_is_merely_unusual_is_left_alone(text: str) -> None:
    assert repair(text) == (text, ())
    assert read_text(text).value == text


@pytest.mark.parametrize("text", ["", " ", "\t\n", "\xa0", "\u200b", "\x00"])
def test_no_text_is_refused(text: str) -> None:
    reading = read_text(text)
    assert reading.value is None
    assert [doubt.code for doubt in reading.doubts] == ["TX01"]


GOOD = ["café", "Straße", "naïve", "“Tide”", "it’s", "mañana", "£5", "–", "Ærø", "où", "São", "net"]
ANY = st.text(alphabet=st.characters(exclude_categories=()), max_size=80)


@examples(800)
@given(ANY)
def test_repairing_twice_changes_nothing_more(text: str) -> None:
    once, _ = repair(text)
    assert repair(once) == (once, ())


@examples(800)
@given(ANY)
def test_a_repaired_text_can_stand_in_xml(text: str) -> None:
    """libxml2 as the outside check of the characters that XML 1.0 permits."""
    once, _ = repair(text)
    element = etree.Element("a")
    element.text = once
    assert (etree.fromstring(etree.tostring(element, encoding="utf-8")).text or "") == once


@examples(800)
@given(st.text(alphabet=" \n\tab&;#x_0Dé", max_size=12))
def test_the_shortcut_for_plain_text_misses_no_repair(text: str) -> None:
    reading = read_text(text)
    assert (reading.value or "", reading.rule if reading.value else "") == (
        repair(text)[0],
        ",".join(repair(text)[1]) if reading.value else "",
    )


@examples(500)
@given(ANY)
def test_nothing_changes_without_a_name(text: str) -> None:
    repaired, rules = repair(text)
    assert (repaired == text) == (not rules)
    assert set(rules) <= set(RULES)


@examples(500)
@given(st.lists(st.sampled_from(GOOD), min_size=1).map(" ".join))
def test_good_text_that_was_read_in_the_wrong_encoding_comes_back_or_stays(text: str) -> None:
    """A repair of mojibake gives the original, or nothing was repaired: it never gives a third text."""
    broken = text.encode("utf-8").decode("cp1252", errors="replace")
    mended, rules = repair(broken)
    if "mojibake" in rules and "\ufffd" not in broken:
        assert mended == text


@pytest.mark.parametrize("unit", ["Ã©", "&amp;", "  ", "_x000D_", "\xa0 ", "&#", "_x00", "a "])
def test_long_texts_are_read(unit: str) -> None:
    assert read_text(unit * 15_000 + "z").value

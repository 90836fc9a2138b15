"""Rights: addresses where a statement or licence is named, and otherwise the text."""

from __future__ import annotations

import pytest

from crosswalk.values.reading import NO_CONTEXT
from crosswalk.values.rights import read_rights

STATEMENT, LICENCE = "http://rightsstatements.org/vocab/", "http://creativecommons.org/"


@pytest.mark.parametrize(
    "text, address",
    [
        ("In Copyright", f"{STATEMENT}InC/1.0/"),
        ("InC", f"{STATEMENT}InC/1.0/"),
        ("https://rightsstatements.org/page/InC-EDU/1.0/?language=en", f"{STATEMENT}InC-EDU/1.0/"),
        ("Copyright not evaluated", f"{STATEMENT}CNE/1.0/"),
        ("No Known Copyright", f"{STATEMENT}NKC/1.0/"),
        ("CC BY 4.0", f"{LICENCE}licenses/by/4.0/"),
        ("cc-by-nc-nd 3.0", f"{LICENCE}licenses/by-nc-nd/3.0/"),
        ("Licensed under CC BY-SA 4.0", f"{LICENCE}licenses/by-sa/4.0/"),
        ("Creative Commons Attribution 4.0 International", f"{LICENCE}licenses/by/4.0/"),
        ("https://creativecommons.org/licenses/by-sa/2.5/", f"{LICENCE}licenses/by-sa/2.5/"),
        ("CC0", f"{LICENCE}publicdomain/zero/1.0/"),
        ("Public Domain Mark 1.0", f"{LICENCE}publicdomain/mark/1.0/"),
    ],
)
def test_addresses(text: str, address: str) -> None:
    """RightsStatements.org 1.0; Creative Commons."""
    reading = read_rights(text, NO_CONTEXT)
    assert (reading.value, reading.settled) == (address, True)
    assert dict(reading.also)["statement"]


@pytest.mark.parametrize(
    "text",
    [
        "© 1987 Merrow Coast Public Media",
        "All rights reserved",
        "public domain",
        "two runs in three years, expires 1991",
    ],
)
def test_other_wordings_stay_as_they_are(text: str) -> None:
    """Which statement applies is for the house and its law to say."""
    reading = read_rights(text, NO_CONTEXT)
    assert (reading.value, reading.settled) == (text, True)


def test_a_licence_without_a_version_is_not_completed() -> None:
    reading = read_rights("CC BY-NC", NO_CONTEXT)
    assert reading.value is None
    assert [doubt.code for doubt in reading.doubts] == ["VO02"]
    assert reading.doubts[0].suggestions[0] == f"{LICENCE}licenses/by-nc/4.0/"


def test_a_version_that_there_never_was() -> None:
    assert read_rights("CC BY 1.5", NO_CONTEXT).value is None


@pytest.mark.parametrize("text", ["", "...", "x" * 30_000])
def test_what_says_nothing_is_refused(text: str) -> None:
    assert [doubt.code for doubt in read_rights(text, NO_CONTEXT).doubts] == ["VO03"]

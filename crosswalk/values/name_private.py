"""What stands beside a name and is private: telephone numbers, addresses. Common practice, no source.

Figures in a name are life dates, a year of activity, an ordinal behind it, or part of an organisation's name; or they
are no part of it.
"""

from __future__ import annotations

import re
from functools import cache

from crosswalk.values.name_words import is_organisation, key, name_words

_YEAR = r"(?:1\d{3}|20[0-2]\d)"
_TO = r"\s*[-–]\s*"
_ORDINAL = re.compile(r"\b\d{1,3}(?:st|nd|rd|th)\b", re.IGNORECASE)
_YEARS = re.compile(rf"\b{_YEAR}\b")
_POSTCODE = re.compile(r"\b[A-Z]{1,2}\d[A-Z\d]? ?\d[A-Z]{2}\b")
_WORD = re.compile(r"[^\W_]+(?:[.'’/-][^\W_]+)*")
_LONGEST_LIFE = 120  # years
_MANY_FIGURES = 5  # more than a year has: a telephone number
_FIGURES_OF_A_HOUSE = 3  # Studio 54, Radio 101


def without_life(name: str) -> tuple[str, str]:
    """The name, and the life dates or years of activity behind it as they are written.

    >>> without_life("Vale, Anna, b. 1923"), without_life("Anna Vale 1923")
    (('Vale, Anna', 'b. 1923'), ('Anna Vale 1923', ''))
    """
    found = _life().search(name)
    if not found or not found.start():
        return name, ""
    years = [int(year) for year in _YEARS.findall(found[0])]
    if len(years) > 1 and not 0 <= years[-1] - years[0] <= _LONGEST_LIFE:
        return name, ""
    return name[: found.start()], found[0].strip(" ,")


@cache
def _life() -> re.Pattern[str]:
    words = "|".join(sorted(map(re.escape, name_words().life), key=len, reverse=True))
    marked = rf"(?:(?:{words})\b\.?\s*)+{_YEAR}(?:{_TO}{_YEAR})?"
    span = rf"{_YEAR}{_TO}(?:{_YEAR})?|[-–]\s*{_YEAR}"
    return re.compile(rf"\s*(?:,\s*|[ (\[])[(\[]?(?:{marked}(?:[,;\s]+{marked})?|{span})[)\]]?\.?\s*$", re.IGNORECASE)


def is_private(text: str) -> bool:
    """Whether a text holds what is certainly a telephone number or an address on a network.

    >>> is_private("Anna Vale 01632 960111"), is_private("Anna Vale 12")
    (True, False)
    """
    figures = _YEARS.sub("", text)
    return sum(map(str.isdigit, figures)) >= _MANY_FIGURES or any(sign in text.lower() for sign in name_words().signs)


def more_than_a_name(name: str, notes: str = "") -> bool:
    """Whether a name (without life dates), or the notes beside it, hold figures, a word of an address, or a colon.

    >>> more_than_a_name("Mrs Holm, 14 Quay Street"), more_than_a_name("4th Merrow Scouts")
    (True, False)
    """
    text = f"{name} {notes}"
    house = is_organisation(name)
    if ":" in text or _POSTCODE.search(text) or _has_private_word(text):
        return True
    if _has_figures(text, house):
        return True
    return _lives_there(name) if house else _names_a_place(name, notes)


def _has_figures(text: str, house: bool) -> bool:
    """Whether there are figures that belong to no name."""
    if not house:
        words = text.split()
        bare = " ".join(words[:-1]) if len(words) > 2 and _ORDINAL.fullmatch(words[-1]) else text
        return any(map(str.isdigit, bare))
    figures = sum(map(str.isdigit, _YEARS.sub("", _ORDINAL.sub("", text))))
    return figures > _FIGURES_OF_A_HOUSE or (figures > 0 and ("," in text or _has_place(text)))


def _lives_there(name: str) -> bool:
    """Whether what has the words of an organisation is rather a person's address: `Mrs Holm, Quay House`."""
    titled = key(name.split()[0]) in name_words().honorifics
    return titled and ("," in name or any(map(str.isdigit, name)))


def _names_a_place(name: str, notes: str) -> bool:
    """Whether words of an address stand beside a person's name. A surname before the comma is none: `Home, Anna`."""
    surname, comma, given = name.partition(",")
    alone = all(key(word) in name_words().particles for word in surname.split()[:-1])
    return _has_place(f"{given if comma and given and alone else name} {notes}")


def _has_place(text: str) -> bool:
    words = _words(text)
    endings = name_words().place_endings
    return any(word in name_words().places or word.endswith(endings) for word in words) or (
        bool(words) and words[-1] in name_words().last_places
    )


def _has_private_word(text: str) -> bool:
    return any(word in name_words().private for word in _words(text))


def _words(text: str) -> list[str]:
    return [found.lower() for found in _WORD.findall(text)]

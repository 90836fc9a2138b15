"""The words that say what the parts of a name are."""

from __future__ import annotations

import tomllib
from functools import cache

import msgspec

from crosswalk.resources import resource


class NameWords(msgspec.Struct, frozen=True, kw_only=True, rename="kebab"):
    """The words by kind (mappings/vocabularies/grammar/names.toml)."""

    particles: frozenset[str]
    capital_particles: frozenset[str]
    honorifics: frozenset[str]
    suffixes: frozenset[str]
    organisations: frozenset[str]
    surnames_too: frozenset[str]
    nobody: frozenset[str]
    lead_ins: frozenset[str]
    life: frozenset[str]
    private: frozenset[str]
    places: frozenset[str]
    place_endings: tuple[str, ...]
    last_places: frozenset[str]
    signs: tuple[str, ...]


@cache
def name_words() -> NameWords:
    """The words of names, read once."""
    text = resource("mappings", "vocabularies", "grammar", "names.toml").read_text(encoding="utf-8")
    return msgspec.convert(tomllib.loads(text), NameWords)


def key(word: str) -> str:
    """A word as the table has it.

    >>> key("(Dr.)")
    'dr'
    """
    return word.lower().strip(".,()")


def is_organisation(text: str) -> bool:
    """Whether one of the words is an organisation's.

    >>> is_organisation("The Tidewater Players"), is_organisation("Anna Vale")
    (True, False)
    """
    return any(key(word) in name_words().organisations for word in text.split())

"""What short wordings of a language column may mean, and which codes there are."""

from __future__ import annotations

import tomllib
from functools import cache, lru_cache

import msgspec

from crosswalk.resources import resource
from crosswalk.vocabularies import load

Meant = tuple[str, ...]


class LanguageWords(msgspec.Struct, frozen=True, kw_only=True, rename="kebab"):
    """Wordings that may mean something else than they look like (mappings/vocabularies/grammar/languages.toml)."""

    several: dict[str, Meant]
    words: dict[str, Meant]
    capitalised: dict[str, Meant]
    lower_case: dict[str, Meant]
    letters: dict[str, Meant]
    countries: dict[str, Meant]


@cache
def language_words() -> LanguageWords:
    """The table, read once."""
    text = resource("mappings", "vocabularies", "grammar", "languages.toml").read_text(encoding="utf-8")
    return msgspec.convert(tomllib.loads(text), LanguageWords)


@cache
def iso_639_2() -> frozenset[str]:
    """The codes of ISO 639-2, bibliographic and terminological ones alike.

    >>> {"ger", "deu"} <= iso_639_2(), "yue" in iso_639_2()
    (True, False)
    """
    lines = resource("schemas", "iso639-2.txt").read_text(encoding="utf-8").splitlines()
    return frozenset(code for line in lines if not line.startswith("#") for code in line.split())


@lru_cache(maxsize=1024)
def is_code(text: str, *house_files: str) -> bool:
    """Whether it is a code of ISO 639-2 or 639-3, or one of the house's own.

    >>> is_code("wel"), is_code("yue"), is_code("WEL"), is_code("Welsh")
    (True, True, False, False)
    """
    if text in load("languages", *house_files).by_name or text in iso_639_2():
        return True
    import pycountry  # late: it loads the whole table

    return len(text) == 3 and text.islower() and pycountry.languages.get(alpha_3=text) is not None

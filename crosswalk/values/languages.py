"""Languages to ISO 639-2 codes: by code, by name in several languages, by the abbreviations of houses."""

from __future__ import annotations

import re
from functools import lru_cache

from crosswalk.values.language_words import iso_639_2, language_words
from crosswalk.values.phrases import LONGEST
from crosswalk.values.reading import Context, Doubt, How, Reading, refused
from crosswalk.vocabularies import fold, load, near

_BETWEEN = re.compile(r"\s*(?:[;,/&+|\n]|\band\b|\bund\b|\bet\b|\by\b)\s*", re.IGNORECASE)
_BESIDE = re.compile(
    r"[\s,;(\[]*(?:with|w/|mit|avec|con)\s+(?:open\s+|closed\s+)?(?P<language>[^\W\d_]+)\s+"
    r"(?P<what>subtitles|captions|subs|voice-?over|narration|untertiteln?|sous-titres|subtítulos)[)\]\s.]*$",
    re.IGNORECASE,
)
_TAG = re.compile(r"([a-z]{2,3})[-_](?:[A-Z]{2}|[A-Z][a-z]{3}|[0-9]{3})")
_NOTED = re.compile(r"\s*[(\[]\s*([^()\[\]]{0,60}?)\s*[)\]]\s*")
_CODE = re.compile(r"[A-Za-z]+\.?")  # en, Eng.; not n/a, sí
_UNSURE = re.compile(r"[?]|\b(?:maybe|possibly|probably|perhaps)\b", re.IGNORECASE)
_SHORTEST_NAME = 4  # letters; what is shorter is a code, or an abbreviation of the table (common practice, no source)


def read_language(text: str, context: Context) -> Reading:
    """The ISO 639-2 codes (bibliographic form) that a cell names, several joined by `;` as PBCore writes them.

    >>> read_language("Deutsch", Context()).value, read_language("English/Spanish", Context()).value
    ('ger', 'eng;spa')
    """
    return _read(text, context.house_files)


@lru_cache(maxsize=8192)
def _read(text: str, house_files: tuple[str, ...]) -> Reading:
    wording = " ".join(text.split())
    if len(wording) > LONGEST or not any(c.isalpha() for c in wording):
        return refused("LA01", f'"{wording[:40]}" names no language')
    whole = _one(wording, house_files)
    if (whole.value is not None and not _UNSURE.search(wording)) or len(fold(wording)) < _SHORTEST_NAME:
        return whole
    return _with_beside(wording, house_files)


def _with_beside(wording: str, house_files: tuple[str, ...]) -> Reading:
    """The languages of a longer wording; subtitles and the like are what it says besides."""
    beside = _BESIDE.search(wording)
    also: tuple[tuple[str, str], ...] = ()
    if beside:
        other = _one(beside["language"], house_files)
        spoken = beside["what"].lower().startswith(("voice", "narr"))
        also = (("narration" if spoken else "subtitles", other.value or beside["language"]),)
        wording = wording[: beside.start()]
    doubts = (Doubt("LA02", f'"{wording[:40]}" is not sure'),) if _UNSURE.search(wording) else ()
    also += tuple(("note", note) for note in _NOTED.findall(wording) if _UNSURE.sub("", note).strip())
    bare = _UNSURE.sub(" ", _NOTED.sub(" ", wording)).strip(" .")
    return _joined(wording, [piece for piece in _BETWEEN.split(bare) if piece], (doubts, also, house_files))


def _joined(
    wording: str,
    pieces: list[str],
    rest: tuple[tuple[Doubt, ...], tuple[tuple[str, str], ...], tuple[str, ...]],
) -> Reading:
    doubts, also, house_files = rest
    readings = [_one(piece, house_files) for piece in pieces]
    bad = next((reading for reading in readings if reading.value is None), None)
    if bad is not None or not readings:
        return bad or refused("LA01", f'"{wording[:40]}" names no language')
    codes = dict.fromkeys(reading.value for reading in readings if reading.value)
    return Reading(";".join(codes), How.PATTERN, doubts, "languages: several names, or a name with a note", also)


def _one(name: str, house_files: tuple[str, ...]) -> Reading:
    """The reading of a single name or code. What a house adds comes before what is unclear without it."""
    vocabulary = load("languages", *house_files)
    entry = vocabulary.find(name)
    if entry is None or load("languages").find(name) is not None:
        unclear = _unclear(name)
        if unclear is not None:
            return unclear
    tag = _TAG.fullmatch(name)
    entry = vocabulary.find(tag[1]) if tag else entry
    if entry is None:
        return _in_registry(name, house_files)
    how = How.EXACT if name == entry.term else How.ALIAS
    return Reading(entry.term, how, rule="" if how is How.EXACT else f"languages: {name}")


def _unclear(name: str) -> Reading | None:
    """The refusal of a wording that may mean several languages, none, or a country; None where it is clear."""
    words, key = language_words(), fold(name)
    meant = words.several.get(key) or words.words.get(key)
    if meant is None:
        meant = (words.lower_case if name.islower() else words.capitalised).get(key)
    if meant is None and len(key) == 1:
        meant = words.letters.get(key)
    if meant is not None:
        return refused("LA02", f'"{name}" may mean several languages, or something else', *meant)
    if len(key) < _SHORTEST_NAME and key.isascii() and not _CODE.fullmatch(name):
        return refused("LA01", f'"{name}" is no language of ISO 639')
    return None if name.islower() else _country(name, key)


def _country(name: str, key: str) -> Reading | None:
    """The refusal of a country's code (CH), unless the country speaks the language that has the same code (DE)."""
    spoken = language_words().countries.get(key)
    if spoken is None:
        return None
    language = load("languages").find(key)
    if language is None:
        return refused("LA01", f'"{name}" is the code of a country', *spoken)
    return refused("LA02", f'"{name}" may be the code of a language or of a country', language.term, *spoken)


def _in_registry(name: str, house_files: tuple[str, ...]) -> Reading:
    """The rest of ISO 639-2 by code, the rest of ISO 639-3 by English name."""
    import pycountry  # late: it loads the whole table

    try:
        found = pycountry.languages.lookup(name)
    except LookupError:
        meant = tuple(found.term for found in near(load("languages", *house_files), name, least=80.0))
        return refused("LA01", f'"{name[:40]}" is no language of ISO 639', *meant)
    code = getattr(found, "bibliographic", found.alpha_3)
    if len(fold(name)) < _SHORTEST_NAME and name.lower() not in iso_639_2():
        same = (code,) if code == name.lower() else ()
        return refused("LA02", f'"{name}" is no code of ISO 639-2 ({found.name} in ISO 639-3)', *same)
    return Reading(code, How.EXACT if code == name else How.ALIAS, rule="" if code == name else f"ISO 639-3: {name}")

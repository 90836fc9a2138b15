"""Readings of words that stand in a published PBCore list: generations, types, roles, relations, media types."""

from __future__ import annotations

import unicodedata
from functools import lru_cache

from crosswalk.values.phrases import LONGEST, distinct, of_vocabulary, spans, words
from crosswalk.values.reading import Context, Doubt, How, Reading, refused
from crosswalk.vocabularies import Term, load, near

_NO_NEWS = frozenset(["a", "an", "and", "of", "or", "the", "generation", "generations", "gen", "type", "kind"])
_EDGES = " \t\n,;:.-–/|"

Also = tuple[tuple[str, str], ...]


def read_generation(text: str, context: Context) -> Reading:
    """The PBCore generation that a wording means.

    >>> read_generation("sub-master", Context()).value
    'Submaster'
    """
    return _read("generations", text, context.house_files)


def read_asset_type(text: str, context: Context) -> Reading:
    """The PBCore asset type that a wording means.

    >>> read_asset_type("news story", Context()).value
    'Segment'
    """
    return _read("asset-types", text, context.house_files)


def read_date_type(text: str, context: Context) -> Reading:
    """The PBCore date type that a wording means.

    >>> read_date_type("Original Air Date", Context()).value
    'broadcast'
    """
    return _read("date-types", text, context.house_files)


def read_title_type(text: str, context: Context) -> Reading:
    """The PBCore title type that a wording means.

    >>> read_title_type("Series title", Context()).value
    'Series'
    """
    return _read("title-types", text, context.house_files)


def read_description_type(text: str, context: Context) -> Reading:
    """The PBCore description type that a wording means.

    >>> read_description_type("shot log", Context()).value
    'Shot List'
    """
    return _read("description-types", text, context.house_files)


def read_role(text: str, context: Context) -> Reading:
    """The PBCore creator or contributor role that a wording or a MARC relator code means.

    >>> read_role("D.P.", Context()).value
    'Director of Photography'
    """
    return _read("roles", text, context.house_files)


def read_publisher_role(text: str, context: Context) -> Reading:
    """The PBCore publisher role that a wording means.

    >>> read_publisher_role("distributed by", Context()).value
    'Distributor'
    """
    return _read("publisher-roles", text, context.house_files)


def read_relation(text: str, context: Context) -> Reading:
    """The PBCore relation between assets that a wording means.

    >>> read_relation("see also", Context()).value
    'Is Related To'
    """
    return _read("asset-relations", text, context.house_files)


def read_instantiation_relation(text: str, context: Context) -> Reading:
    """The PBCore relation between instantiations that a wording means.

    >>> read_instantiation_relation("dubbed from", Context()).value
    'Is Dub Of'
    """
    return _read("instantiation-relations", text, context.house_files)


def read_media_type(text: str, context: Context) -> Reading:
    """The PBCore media type that a wording means.

    >>> read_media_type("radio", Context()).value
    'Audio'
    """
    return _read("media-types", text, context.house_files)


@lru_cache(maxsize=16384)
def _read(name: str, text: str, house_files: tuple[str, ...] = ()) -> Reading:
    """The reading of a wording against one vocabulary: the whole wording first, then the wordings inside it."""
    vocabulary = load(name, *house_files)
    wording = text.strip()
    if wording in vocabulary.by_name:
        return Reading(wording, How.EXACT)
    if len(wording) > LONGEST or not words(wording):
        return refused("VO03", f"{_quoted(wording)} is no term of {vocabulary.title.lower()}")
    entry = vocabulary.find(wording)
    if entry is not None:
        also = (("wording", wording),) if vocabulary.says_more(wording) else ()
        return Reading(entry.name, How.ALIAS, rule=f"{name}: {wording}", also=also)
    return _inside(name, wording, house_files)


def _inside(name: str, wording: str, house_files: tuple[str, ...]) -> Reading:
    """What wordings inside a longer one say: one term settles it, several are a doubt."""
    found = of_vocabulary(name, *house_files).scan(words(wording))
    terms = distinct(term for _, term in found)
    unknown = [word for word, term in found if term is None and not word.isdigit()]
    if not terms:
        return _unknown(name, wording, house_files)
    if len(terms) > 1:
        return _several(wording, terms)
    doubts = (
        (Doubt("VO04", f"{_quoted(wording)} says more than the term", (terms[0].name,)),) if len(unknown) > 3 else ()
    )
    also = _beside(name, wording, house_files)
    return Reading(terms[0].name, How.PATTERN, doubts, f"{name}: a term inside the wording", also)


def _beside(name: str, wording: str, house_files: tuple[str, ...]) -> Also:
    """What a wording says besides its term: words that mean no term, and a wording that says more than its term."""
    vocabulary, at = load(name, *house_files), 0
    wording = unicodedata.normalize("NFC", wording)
    found: dict[tuple[str, str], None] = {}
    for start, end in spans(wording, of_vocabulary(name, *house_files)):
        found |= _note(wording[at:start])
        if vocabulary.says_more(wording[start:end]):
            found["wording", wording[start:end]] = None
        at = end
    return tuple(found | _note(wording[at:]))


def _note(part: str) -> dict[tuple[str, str], None]:
    """The words of a part, as they are written; nothing where they tell nothing."""
    part = part.strip(_EDGES)
    for opening, closing in ("()", "[]"):
        if part.count(opening) != part.count(closing) or (part[:1], part[-1:]) == (opening, closing):
            part = part.strip(opening + closing + _EDGES)
    return {("note", part): None} if set(words(part)) - _NO_NEWS else {}


def _several(wording: str, terms: tuple[Term, ...]) -> Reading:
    choices = tuple(term.name for term in terms)
    doubt = Doubt("VO02", f"{_quoted(wording)} names {len(choices)} terms", choices)
    return Reading(choices[0], How.PATTERN, (doubt,), also=tuple(("also", choice) for choice in choices[1:]))


def _unknown(name: str, wording: str, house_files: tuple[str, ...]) -> Reading:
    vocabulary = load(name, *house_files)
    meant = tuple(found.term for found in near(vocabulary, wording))
    return refused("VO01", f"{_quoted(wording)} is not among {vocabulary.title.lower()}", *meant)


def _quoted(text: str) -> str:
    """The text in quotation marks, cut where it is long."""
    return f'"{text}"' if len(text) <= 60 else f'"{text[:57]}..."'

"""Rights wordings: the address of a rights statement or licence where one is named, and otherwise the text as it is.

Which statement applies to a recording is for the house and its law to say; nothing here decides it.
"""

from __future__ import annotations

import re
from functools import lru_cache

from crosswalk.values.reading import Context, How, Reading, refused
from crosswalk.vocabularies import Term, load

_LICENCE = re.compile(
    r"\b(?:cc|creative\s+commons)[\s:-]{0,3}(?P<code>by(?:[\s-]{1,3}(?:nc|sa|nd)){0,2})\b(?:[\s,v-]{0,4}(?P<version>[1-4]\.[05]))?",
    re.IGNORECASE,
)
_ADDRESS = re.compile(
    r"https?://(?:www\.)?(?:creativecommons\.org/(?:licenses|publicdomain)/[a-z-]+/\d\.\d|rightsstatements\.org/(?:vocab|page)/[A-Za-z-]+/1\.0)/?",
    re.IGNORECASE,
)
LONGEST = 20_000


def read_rights(text: str, context: Context) -> Reading:
    """The address of the statement or licence that a wording names (`also` has its name); any other wording as it is.
    A Creative Commons licence without a version is a doubt.

    >>> read_rights("CC BY-NC 4.0", Context()).value
    'http://creativecommons.org/licenses/by-nc/4.0/'
    >>> read_rights("Broadcast twice, see contract", Context()).value
    'Broadcast twice, see contract'
    """
    return _rights(text, context.house_files)


@lru_cache(maxsize=4096)
def _rights(text: str, house_files: tuple[str, ...]) -> Reading:
    wording = text.strip()
    if not any(character.isalnum() for character in wording) or len(wording) > LONGEST:
        return refused("VO03", "this says nothing of rights")
    vocabulary = load("rights", *house_files)
    if wording in {entry.uri for entry in vocabulary.term}:
        return Reading(wording, How.EXACT, also=_named(vocabulary.find(wording)))
    address = _ADDRESS.search(wording[:1000])
    entry = vocabulary.find(wording) or (vocabulary.find(address[0].rstrip("/") + "/") if address else None)
    if entry is not None and entry.uri:
        return Reading(entry.uri, How.ALIAS, rule=f"rights: {entry.name}", also=_named(entry))
    licence = _LICENCE.search(wording[:1000])
    return _licence(licence, house_files) if licence else Reading(wording, How.EXACT)


def _licence(found: re.Match[str], house_files: tuple[str, ...]) -> Reading:
    """The licence of that code and version; without a version a doubt, with one that there never was a refusal."""
    vocabulary = load("rights", *house_files)
    code = re.sub(r"[\s-]+", "-", found["code"].lower())
    known = [entry for entry in vocabulary.term if entry.facts.get("code") == code]
    entry = next((entry for entry in known if entry.facts["version"] == found["version"]), None)
    if entry is not None:
        return Reading(entry.uri, How.PATTERN, rule=f"rights: {entry.name}", also=_named(entry))
    choices = tuple(entry.uri for entry in reversed(known))
    if not choices:
        return refused("VO01", f'"{found[0]}" is no Creative Commons licence')
    return refused("VO02", f'"{found[0]}" names no version of the licence', *choices)


def _named(entry: Term | None) -> tuple[tuple[str, str], ...]:
    return (("statement", entry.name),) if entry else ()

"""The vocabularies that the RDF is made of: prefixes, and which names exist in them."""

from __future__ import annotations

from functools import cache

import msgspec

from crosswalk.records import LEVELS, Node, Part, shape
from crosswalk.resources import resource

REC = "urn:x-crosswalk:terms#"  # the project's own terms: what the published vocabularies cannot say
PREFIXES: dict[str, str] = {
    "dcterms": "http://purl.org/dc/terms/",
    "dcmitype": "http://purl.org/dc/dcmitype/",
    "ebucore": "http://www.ebu.ch/metadata/ontologies/ebucore/ebucore#",
    "edtf": "http://id.loc.gov/datatypes/edtf/",
    "prov": "http://www.w3.org/ns/prov#",
    "rdf": "http://www.w3.org/1999/02/22-rdf-syntax-ns#",
    "rdfs": "http://www.w3.org/2000/01/rdf-schema#",
    "rec": REC,
    "relators": "http://id.loc.gov/vocabulary/relators/",
    "skos": "http://www.w3.org/2004/02/skos/core#",
    "xsd": "http://www.w3.org/2001/XMLSchema#",
}
LANGUAGES = "http://id.loc.gov/vocabulary/iso639-2/"
# Terms of our own beside those that are named as PBCore names its elements and attributes.
OWN: dict[str, str] = {
    "position": "The place of a value among its siblings, from 1; written where there are several.",
    "runningTime": "A duration as xsd:duration, beside the wording of it.",
    "row": "The row of the sheet that a record came from, counted as the sheet does.",
    "sheet": "The name of the sheet that a record came from.",
    "file": "The name of the file that a record came from, without its folder.",
    "xml": "Foreign XML, as it is.",
}


class Name(msgspec.Struct, frozen=True):
    """One published name: a class with what it is a kind of, or a property with its domains and ranges."""

    name: str
    kind: str
    domain: tuple[str, ...]
    range: tuple[str, ...]


@cache
def published() -> dict[str, Name]:
    """The recorded names by prefixed name.

    >>> published()["ebucore:hasTrack"].range
    ('ebucore:Track',)
    """
    found = {}
    for line in resource("schemas", "rdf-names.tsv").read_text(encoding="utf-8").splitlines():
        if line and not line.startswith("#"):
            name, kind, domain, range_ = (*line.split("\t"), "", "")[:4]
            found[name] = Name(name, kind, tuple(domain.split()), tuple(range_.split()))
    return found


@cache
def own_names() -> dict[str, type[Node] | None]:
    """The names of our own terms that stand for elements (with the class of the model) and attributes (None).

    >>> own_names()["pbcoreTitle"].__name__, own_names()["titleType"]
    ('Title', None)
    """
    found: dict[str, type[Node] | None] = {}
    waiting: list[type[Node]] = [*LEVELS.values(), Part]
    seen: set[type[Node]] = set()
    while waiting:
        cls = waiting.pop(0)
        if cls in seen:
            continue
        seen.add(cls)
        for child in shape(cls).children:
            found[child.element] = child.cls
            waiting.append(child.cls)
        for attribute in shape(cls).attributes:
            found.setdefault(attribute.name, None)
    return found


@cache
def known() -> frozenset[str]:
    """Every prefixed name that a table may use."""
    own = {f"rec:{name}" for name in (*own_names(), *OWN)}
    return frozenset({*published(), *own})


@cache
def kinds_of(cls: str) -> frozenset[str]:
    """A class and everything that is a kind of it.

    >>> "ebucore:VideoTrack" in kinds_of("ebucore:MediaResource")
    True
    """
    found = {cls}
    while more := {n.name for n in published().values() if n.kind == "class" and found & set(n.domain)} - found:
        found |= more
    return frozenset(found)


@cache
def full(name: str) -> str:
    """The URI of a prefixed name.

    >>> full("xsd:date")
    'http://www.w3.org/2001/XMLSchema#date'
    """
    prefix, _, local = name.partition(":")
    return PREFIXES[prefix] + local


def short(uri: str) -> str:
    """The prefixed name of a URI, or the URI where no prefix fits.

    >>> short("http://purl.org/dc/terms/title")
    'dcterms:title'
    """
    for prefix, namespace in PREFIXES.items():
        if uri.startswith(namespace):
            return f"{prefix}:{uri[len(namespace):]}"
    return uri

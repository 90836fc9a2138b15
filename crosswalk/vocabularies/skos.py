"""A vocabulary as SKOS, written in Turtle: one concept scheme, one concept an entry."""

from __future__ import annotations

from collections.abc import Iterator
from urllib.parse import quote

from crosswalk.vocabularies.model import Term, Vocabulary

_PREFIXES = "@prefix dcterms: <http://purl.org/dc/terms/> .\n@prefix skos: <http://www.w3.org/2004/02/skos/core#> .\n"
_ESCAPES = str.maketrans({"\\": "\\\\", '"': '\\"', "\n": "\\n", "\r": "\\r", "\t": "\\t"})


def turtle(vocabulary: Vocabulary, base: str) -> Iterator[str]:
    """The lines of the Turtle document; concepts are named `base` + scheme + entry. Terms that have an address of
    their own are matched to it, aliases are hidden labels, facts are notes with what they stand on.

    >>> from crosswalk.vocabularies.load import load
    >>> "skos:ConceptScheme" in "".join(turtle(load("media-types"), "http://example.org/"))
    True
    """
    scheme = f"<{base}{quote(vocabulary.vocabulary)}>"
    yield _PREFIXES
    yield f"\n{scheme} a skos:ConceptScheme ;\n    dcterms:title {_text(vocabulary.title)}"
    if vocabulary.source:
        yield f" ;\n    dcterms:publisher {_text(vocabulary.source)}"
    if vocabulary.registry:
        yield f" ;\n    dcterms:source <{vocabulary.registry}>"
    yield " .\n"
    for entry in vocabulary.term:
        yield "\n" + " ;\n    ".join(_statements(vocabulary, entry, base, scheme)) + " .\n"


def _statements(vocabulary: Vocabulary, entry: Term, base: str, scheme: str) -> Iterator[str]:
    yield f"{_concept(vocabulary, entry.name, base)} a skos:Concept"
    yield f"skos:inScheme {scheme}"
    yield f"skos:prefLabel {_text(entry.name)}"
    if entry.id:
        yield f"skos:notation {_text(entry.id)}"
    yield from (f"skos:hiddenLabel {_text(alias)}" for alias in dict.fromkeys(entry.aliases) if alias != entry.name)
    if entry.broader:
        yield f"skos:broader {_concept(vocabulary, entry.broader, base)}"
    else:
        yield f"skos:topConceptOf {scheme}"
    if entry.uri:
        yield f"skos:exactMatch <{entry.uri}>"
    yield from (f"skos:closeMatch <{value}>" for key, value in entry.facts.items() if key.endswith("_uri"))
    yield from (f"skos:note {_text(_note(vocabulary, entry, key))}" for key in entry.facts if not key.endswith("_uri"))


def _note(vocabulary: Vocabulary, entry: Term, key: str) -> str:
    basis = vocabulary.fact_basis(entry.name, key)
    return f"{key}: {entry.facts[key]}" + (f" ({basis})" if basis else "")


def _concept(vocabulary: Vocabulary, name: str, base: str) -> str:
    return f"<{base}{quote(vocabulary.vocabulary)}/{quote(name, safe='')}>"


def _text(value: str) -> str:
    return f'"{value.translate(_ESCAPES)}"'

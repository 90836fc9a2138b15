"""SKOS: every vocabulary as a graph that an RDF library reads, with all its entries."""

from __future__ import annotations

import pytest
from rdflib import RDF, Graph, Literal, URIRef
from rdflib.namespace import DCTERMS, SKOS

from crosswalk.vocabularies import Term, Vocabulary, load, names
from crosswalk.vocabularies.skos import turtle

BASE = "http://example.org/merrow/"


def graph(vocabulary: Vocabulary) -> Graph:
    return Graph().parse(data="".join(turtle(vocabulary, BASE)), format="turtle")


@pytest.mark.parametrize("name", names())
def test_every_entry_is_a_concept_of_one_scheme(name: str) -> None:
    vocabulary, made = load(name), graph(load(name))
    schemes = list(made.subjects(RDF.type, SKOS.ConceptScheme))
    assert schemes == [URIRef(f"{BASE}{name}")]
    assert (schemes[0], DCTERMS.title, Literal(vocabulary.title)) in made
    concepts = set(made.subjects(RDF.type, SKOS.Concept))
    assert len(concepts) == len(vocabulary.term)
    assert {str(label) for label in made.objects(None, SKOS.prefLabel)} == {entry.name for entry in vocabulary.term}
    assert set(made.objects(None, SKOS.broader)) <= concepts


def test_aliases_and_facts_are_there() -> None:
    made = graph(load("carriers"))
    concept = next(made.subjects(SKOS.prefLabel, Literal("Betacam: SP")))
    assert Literal("BetaSP") in set(made.objects(concept, SKOS.hiddenLabel))
    assert Literal("first_year: 1986 (common reference, no publication to cite)") in set(
        made.objects(concept, SKOS.note)
    )
    broader = next(made.objects(concept, SKOS.broader))
    assert list(made.objects(broader, SKOS.prefLabel)) == [Literal("Betacam")]


def test_addresses_are_matched() -> None:
    made = graph(load("roles"))
    concept = next(made.subjects(SKOS.prefLabel, Literal("Host")))
    assert list(made.objects(concept, SKOS.closeMatch)) == [URIRef("http://id.loc.gov/vocabulary/relators/hst")]


def test_signs_that_turtle_gives_a_meaning_survive() -> None:
    odd = 'a "b" \\ c\n\té'
    made = graph(Vocabulary(vocabulary="odd", title=odd, term=(Term(term=odd),)))
    assert Literal(odd) in set(made.objects(None, SKOS.prefLabel))


def test_twice_the_same_bytes() -> None:
    assert list(turtle(load("languages"), BASE)) == list(turtle(load("languages"), BASE))

"""Term tables: loading (shipped files and a house's own), look-up, near terms, SKOS. Data in mappings/vocabularies."""

from crosswalk.vocabularies.carrier_facts import CarrierFacts, carrier_facts
from crosswalk.vocabularies.fold import fold
from crosswalk.vocabularies.load import load, names, own_terms
from crosswalk.vocabularies.model import Example, Term, Vocabulary, names_published
from crosswalk.vocabularies.near import Near, near

__all__ = [
    "CarrierFacts",
    "Example",
    "Near",
    "Term",
    "Vocabulary",
    "carrier_facts",
    "fold",
    "load",
    "names",
    "names_published",
    "near",
    "own_terms",
]

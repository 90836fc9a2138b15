"""RDF in four serialisations: the record whole, in terms that others understand as far as they go.

DCMI terms and EBUCore for what is described, RDA carrier and media types, MARC relators, SKOS for terms of the house,
PROV-O for where a record came from; the rest in our own terms (schemas/terms.ttl). The table is
`mappings/crosswalks/rdf.toml`, the rule of the URIs in `crosswalk.standards.tables.uris`.
"""

from __future__ import annotations

import re

from crosswalk.standards.base import Standard
from crosswalk.standards.rdf.read import reader
from crosswalk.standards.rdf.serialise import json_ld, n_triples, rdf_xml, turtle
from crosswalk.standards.rdf.write import writer

_N_TRIPLE = re.compile(rb"\s*(?:#[^\n]*\n\s*)*(?:<[^<>\s]+>|_:\S+)\s+<[^<>\s]+>\s+[<_\"]")
_TURTLE = re.compile(rb"^\s*(?:@prefix|@base|PREFIX\s|BASE\s)", re.M | re.I)


def recognise_turtle(start: bytes, name: str) -> bool:
    """Whether a file begins as Turtle does: with a prefix.

    >>> recognise_turtle(b"@prefix a: <urn:a#> .", "a.ttl")
    True
    """
    return bool(_TURTLE.search(start)) or (name.lower().endswith(".ttl") and bool(_N_TRIPLE.match(start)))


def recognise_n_triples(start: bytes, name: str) -> bool:
    """Whether a file begins with a statement of N-Triples.

    >>> recognise_n_triples(b'<urn:a> <urn:b> "c" .', "a.nt")
    True
    """
    return bool(_N_TRIPLE.match(start)) and not name.lower().endswith(".ttl") and not _TURTLE.search(start)


def recognise_json_ld(start: bytes, name: str) -> bool:
    """Whether a file begins as JSON-LD does.

    >>> recognise_json_ld(b'{"@context": {}}', "a.json")
    True
    """
    return start.lstrip()[:1] in (b"{", b"[") and (b'"@context"' in start or b'"@graph"' in start or b'"@id"' in start)


def recognise_rdf_xml(start: bytes, name: str) -> bool:
    """Whether a file begins as RDF/XML does.

    >>> recognise_rdf_xml(b'<rdf:RDF xmlns:rdf="http://www.w3.org/1999/02/22-rdf-syntax-ns#">', "a.rdf")
    True
    """
    return b":RDF" in start and b"22-rdf-syntax-ns#" in start


STANDARDS = (
    Standard(
        name="turtle",
        title="RDF as Turtle",
        suffix=".ttl",
        media_type="text/turtle",
        recognise=recognise_turtle,
        read=reader("TURTLE"),
        write=writer(turtle, ".ttl"),
        schema="record-shapes.ttl",
    ),
    Standard(
        name="n_triples",
        title="RDF as N-Triples",
        suffix=".nt",
        media_type="application/n-triples",
        recognise=recognise_n_triples,
        read=reader("N_TRIPLES"),
        write=writer(n_triples, ".nt"),
        schema="record-shapes.ttl",
    ),
    Standard(
        name="json_ld",
        title="RDF as JSON-LD",
        suffix=".jsonld",
        media_type="application/ld+json",
        recognise=recognise_json_ld,
        read=reader("JSON_LD"),
        write=writer(json_ld, ".jsonld"),
        schema="record-shapes.ttl",
    ),
    Standard(
        name="rdf_xml",
        title="RDF as RDF/XML",
        suffix=".rdf",
        media_type="application/rdf+xml",
        recognise=recognise_rdf_xml,
        read=reader("RDF_XML"),
        write=writer(rdf_xml, ".rdf"),
        schema="record-shapes.ttl",
    ),
)

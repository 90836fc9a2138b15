"""Our own terms as an ontology, and the JSON-LD context: made from the model, so that they cannot fall behind it.

`schemas/terms.ttl` and `schemas/context.jsonld` are what these functions give; a test compares them.
"""

from __future__ import annotations

import json

from crosswalk.records import LEVELS, Node, Part, shape
from crosswalk.standards.rdf.names import OWN, REC, full, own_names
from crosswalk.standards.rdf.serialise import CONTEXT, turtle

_CLASSES = {"asset": "ebucore:EditorialObject", "instantiation": "ebucore:MediaResource", "track": "ebucore:Track"}
_RANGES = {"position": "xsd:integer", "row": "xsd:integer", "runningTime": "xsd:duration", "xml": "rdf:XMLLiteral"}


def ontology() -> str:
    """The ontology as Turtle: one property for each element and attribute of the record model, and the few others."""
    about = REC.removesuffix("#")
    head = ["rdf:type", "rdfs:Resource", "@id", "rdfs:label", "Terms of this project", "@en"]
    head += ("rdfs:comment", "What PBCore says and the published vocabularies do not; named as PBCore names it.", "@en")
    blocks = [(about, head)]
    for name, cls in own_names().items():
        comment = f"What the PBCore element {name} says." if cls else f"What the PBCore attribute {name} says."
        blocks.append(_property(name, comment, _domain(name), "" if cls else "xsd:string"))
    blocks += [_property(name, comment, "", _RANGES.get(name, "xsd:string")) for name, comment in OWN.items()]
    return turtle(blocks)


def context() -> str:
    """The context of JSON-LD documents."""
    return json.dumps(CONTEXT, indent=2) + "\n"


def _property(name: str, comment: str, domain: str, range_: str) -> tuple[str, list[str]]:
    pairs = ["rdf:type", "rdf:Property", "@id", "rdfs:label", name, "", "rdfs:comment", comment, "@en"]
    for key, value in (("rdfs:domain", domain), ("rdfs:range", range_)):
        if value:
            pairs += (key, full(value), "@id")
    pairs += ("rdfs:isDefinedBy", REC.removesuffix("#"), "@id")
    return REC + name, pairs


def _domain(name: str) -> str:
    """The class that an element stands in, where it stands in one only."""
    holders = [level for level, cls in LEVELS.items() if any(child.element == name for child in shape(cls).children)]
    deeper = any(child.element == name for cls in _containers() for child in shape(cls).children)
    return _CLASSES[holders[0]] if len(holders) == 1 and not deeper else ""


def _containers() -> list[type[Node]]:
    levels = (*LEVELS.values(), Part)
    return [child.cls for cls in levels for child in shape(cls).children if child.cls not in levels]

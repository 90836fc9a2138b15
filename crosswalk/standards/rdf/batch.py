"""Where statements are gathered: the blocks of one document, and the scene in which a value is stated.

A block is a subject and a flat list: property, text, kind, property, text, kind.
"""

from __future__ import annotations

from typing import TypeAlias

from crosswalk.records import Evidence
from crosswalk.standards.rdf.forms import URI, Setting
from crosswalk.standards.rdf.names import published
from crosswalk.standards.tables.uris import segment

Pairs: TypeAlias = list[str]


class Batch:
    """The blocks of one document, the terms that have theirs already, and the evidence that was met."""

    def __init__(self, setting: Setting) -> None:
        self.setting, self.base = setting, setting.base
        self.blocks: list[tuple[str, Pairs]] = []
        self.terms: set[str] = set()
        self.evidence: dict[tuple[str, str, int], None] = {}

    def open(self, subject: str) -> Pairs:
        """A new block."""
        pairs: Pairs = []
        self.blocks.append((subject, pairs))
        return pairs

    def term(self, scheme: str, text: str, cls: str) -> str:
        """The URI of a term of the house, with its block where it has none yet."""
        uri = f"{self.base}term/{scheme}/{segment(text)}"
        if uri not in self.terms:
            self.terms.add(uri)
            concept = self.open(uri)
            if cls in published():
                concept += ("rdf:type", cls, URI)
            concept += ("rdf:type", "skos:Concept", URI, "skos:prefLabel", text, "")
            concept += ("skos:inScheme", f"{self.base}term/{scheme}", URI)
            if f"{self.base}term/{scheme}" not in self.terms:
                self.terms.add(f"{self.base}term/{scheme}")
                self.open(f"{self.base}term/{scheme}").extend(("rdf:type", "skos:ConceptScheme", URI))
        return uri

    def met(self, evidence: Evidence) -> None:
        """Remembers where a value came from, unless that is not for the public."""
        if evidence.row and evidence.public:
            self.evidence[evidence.file, evidence.sheet, evidence.row] = None


class Scene:
    """Where a statement is made: the block of the node, the block of the record it belongs to, the way to name more."""

    __slots__ = ("about", "batch", "pairs", "record", "stem")

    def __init__(self, about: str, pairs: Pairs, record: Pairs, batch: Batch) -> None:
        self.about, self.pairs, self.record, self.batch = about, pairs, record, batch
        self.stem = f"{about}-" if about[0] == "_" else f"{about}." if "#" in about else f"{about}#"

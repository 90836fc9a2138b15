"""Which check a standard's documents go through before they are put in place."""

from __future__ import annotations

from typing import Protocol

from crosswalk.checks.schema import SchemaCheck
from crosswalk.findings import Finding
from crosswalk.standards.base import Standard


class DocumentCheck(Protocol):
    """Judges whole documents in memory."""

    def accepts(self, content: bytes) -> bool:
        """Whether a document is valid."""

    def content(self, content: bytes, file: str = "") -> list[Finding]:
        """What is wrong with it."""


class GraphCheck:
    """Documents of RDF against shapes."""

    def __init__(self, shapes: str, suffix: str) -> None:
        from crosswalk.checks.shacl import FORMATS, ShapeCheck

        self._check, self._format = ShapeCheck(shapes), FORMATS[suffix]

    def accepts(self, content: bytes) -> bool:
        """Whether a document is valid."""
        return self._check.accepts(content, self._format)

    def content(self, content: bytes, file: str = "") -> list[Finding]:
        """What is wrong with it."""
        return self._check.content(content, self._format, file)


def document_check(standard: Standard) -> DocumentCheck | None:
    """The check for a standard's documents; None for one that has no schema."""
    if not standard.schema:
        return None
    if standard.schema.endswith(".ttl"):
        return GraphCheck(standard.schema, standard.suffix)
    return SchemaCheck(standard.schema)

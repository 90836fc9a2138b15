"""RDF against its shapes (SHACL), one document at a time: a document is a batch of some hundred records."""

from __future__ import annotations

import logging
from collections.abc import Iterator
from functools import cache
from pathlib import Path
from typing import TYPE_CHECKING

from crosswalk.errors import UnreadableInput
from crosswalk.findings import Finding, Origin, Severity, finding
from crosswalk.resources import schema_path
from crosswalk.xmlio import chunks, parse_tree, sources

if TYPE_CHECKING:
    from rdflib import Graph
    from rdflib.term import Node

SHACL = "http://www.w3.org/ns/shacl#"
FORMATS = {".ttl": "turtle", ".nt": "nt", ".jsonld": "json-ld", ".rdf": "xml"}
OXIGRAPH = {"turtle": "TURTLE", "nt": "N_TRIPLES", "json-ld": "JSON_LD", "xml": "RDF_XML"}  # its names of the formats
_SEVERITIES = {"Violation": Severity.ERROR, "Warning": Severity.WARNING, "Info": Severity.NOTE}


class ShapeCheck:
    """Documents against one file of shapes: ours by name, or any by path.

    >>> check = ShapeCheck()
    >>> lone = b'<urn:a> a <http://www.ebu.ch/metadata/ontologies/ebucore/ebucore#Agent> .'
    >>> [f.message for f in check.content(lone, "turtle")]
    ['<urn:a>: an agent has one name (agentName)']
    """

    def __init__(self, name: str = "record-shapes.ttl") -> None:
        self.path = name if Path(name).is_absolute() else str(schema_path(name))

    def accepts(self, content: bytes, format_: str) -> bool:
        """Whether nothing is violated; what a person should look at does not count."""
        return all(found.severity < Severity.ERROR for found in self.content(content, format_))

    def content(self, content: bytes, format_: str, file: str = "") -> list[Finding]:
        """What is wrong with one document in memory, in a format of rdflib: turtle, nt, json-ld, xml.

        Raises UnreadableInput where it is not of that format."""
        import pyshacl  # late: 0.2 s

        logging.getLogger("rdflib.term").setLevel(logging.ERROR)  # its warning of a literal is a traceback
        _, report, _ = pyshacl.validate(_parsed(content, format_, file), shacl_graph=_shapes(self.path))
        return sorted(_findings(report, file), key=lambda found: (found.origin.path, found.message, found.value))

    def file(self, path: Path) -> Iterator[Finding]:
        """What is wrong with one file, which may be packed; its format goes by its name."""
        suffixes = [suffix for suffix in path.suffixes if suffix in FORMATS]
        if not suffixes:
            raise UnreadableInput(path, "has no name of an RDF file", f"name it with one of {', '.join(FORMATS)}")
        for source in sources(path):
            yield from self.content(b"".join(chunks(source)), FORMATS[suffixes[-1]], source.name)


@cache
def _shapes(path: str) -> Graph:
    from rdflib import Graph

    return Graph().parse(path, format="turtle")


def _parsed(content: bytes, format_: str, file: str) -> Graph:
    """The graph of a document. pyoxigraph reads it, which fetches nothing: rdflib would load the contexts that JSON-LD
    names, from the network and from the disk. What rdflib is given are plain triples."""
    import pyoxigraph
    from rdflib import Graph

    if format_ == "xml":
        parse_tree(content, file or "document")  # pyoxigraph takes a file that is cut off for a whole one
    try:
        read = pyoxigraph.parse(content, getattr(pyoxigraph.RdfFormat, OXIGRAPH[format_]), base_iri="file:///")
        plain = pyoxigraph.serialize((quad.triple for quad in read), format=pyoxigraph.RdfFormat.N_TRIPLES)
    except (SyntaxError, ValueError) as error:
        line = getattr(error, "lineno", None)
        place = f"{file or 'document'}:{line}" if line else file or "document"
        if "LoadDocumentCallback" in str(error):
            problem = "names a context that is elsewhere, and nothing is fetched"
            raise UnreadableInput(place, problem, "write the context into the file") from error
        raise UnreadableInput(place, f"is not readable as RDF: {str(error)[:200]}", "mend this place") from error
    return Graph().parse(data=plain, format="nt")


def _findings(report: Graph, file: str) -> Iterator[Finding]:
    from rdflib import RDF, URIRef

    for result in report.subjects(RDF.type, URIRef(f"{SHACL}ValidationResult")):

        def said(name: str, result: Node = result) -> str:
            found = report.value(result, URIRef(SHACL + name))
            return "" if found is None else str(found)

        focus, prop = said("focusNode"), said("resultPath")
        local = prop.replace("#", "/").rpartition("/")[2] if prop.startswith(("http", "urn")) else ""
        message = f"<{focus}>: {said('resultMessage')}" + (f" ({local})" if local else "")
        severity = _SEVERITIES.get(said("resultSeverity").removeprefix(SHACL), Severity.ERROR)
        origin = Origin(file=file, path=focus)
        yield finding("RD05", origin, message, value=said("value")[:200], severity=severity)

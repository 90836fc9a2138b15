"""A file of RDF as an index in memory: subject to statements, with prefixed names, as the writer makes them."""

from __future__ import annotations

from collections.abc import Iterable
from pathlib import Path
from typing import Any

from crosswalk.errors import UnreadableInput
from crosswalk.standards.base import ReadOptions
from crosswalk.standards.rdf.forms import URI
from crosswalk.standards.rdf.names import short
from crosswalk.xmlio import Limits, chunks, parse_tree, sources

Statement = tuple[str, str, str]  # property, text, kind
_XSD_STRING = "xsd:string"


class Graph:
    """The statements of a file. Reading needs the whole file in memory, since RDF has no order; what we write comes
    in documents of some hundred records."""

    def __init__(self) -> None:
        self.about: dict[str, list[Statement]] = {}
        self.tags: set[str] = set()  # languages that texts are marked with
        self.understood: set[tuple[str, str, str]] = set()  # subject, property, text

    def add(self, subject: str, name: str, text: str, kind: str) -> None:
        """Adds one statement."""
        self.about.setdefault(subject, []).append((name, text, kind))
        if kind[:1] == "@" and kind != URI:
            self.tags.add(kind[1:])

    def objects(self, subject: str, names: Iterable[str]) -> list[tuple[str, str]]:
        """The objects of the first of these properties that the subject has, in the order of the file."""
        statements = self.about.get(subject, ())
        for name in names:
            found = [(text, kind) for prop, text, kind in statements if prop == name]
            if found:
                return found
        return []

    def one(self, subject: str, name: str) -> str | None:
        """The text of a property that a subject has once, or None."""
        found = self.objects(subject, (name,))
        return found[0][0] if found else None

    def classes(self, subject: str) -> set[str]:
        """The classes of a subject, by prefixed name."""
        return {text for name, text, _ in self.about.get(subject, ()) if name == "rdf:type"}

    def settle(self, subject: str, name: str, text: str) -> None:
        """Notes that a statement has been understood."""
        self.understood.add((subject, name, text))

    def left(self) -> Iterable[tuple[str, str, str]]:
        """The statements that nothing has understood: subject, property, text."""
        for subject, statements in self.about.items():
            for name, text, _ in statements:
                if (subject, name, text) not in self.understood:
                    yield subject, name, text


def load_graph(path: Path, format_: str, options: ReadOptions) -> Graph:
    """The statements of a file in that format: a name of pyoxigraph's `RdfFormat`.

    Raises UnreadableInput where it is not of that format, or larger than the options allow."""
    import pyoxigraph  # late: only when RDF is read

    graph = Graph()
    for source in sources(path):
        content = b"".join(chunks(source, Limits(max_bytes=options.max_bytes)))
        if format_ == "RDF_XML":
            parse_tree(content, source.name)  # pyoxigraph takes a file that is cut off for a whole one
        try:
            # a base makes relative addresses readable; nothing is looked up there
            for quad in pyoxigraph.parse(content, getattr(pyoxigraph.RdfFormat, format_), base_iri="file:///"):
                subject = _subject(quad.subject)
                graph.add(subject, short(quad.predicate.value), *_object(quad.predicate.value, quad.object))
        except (SyntaxError, ValueError) as error:
            line = getattr(error, "lineno", None)
            place = f"{source.name}:{line}" if line else source.name
            raise UnreadableInput(place, f"is not readable as RDF: {error}", "mend this place") from error
    return graph


def _subject(term: Any) -> str:
    return f"_:{term.value}" if type(term).__name__ == "BlankNode" else str(term.value)


def _object(predicate: str, term: Any) -> tuple[str, str]:
    if type(term).__name__ != "Literal":
        text = _subject(term)
        return (short(text) if predicate.endswith("#type") else text), URI
    if term.language:
        return term.value, f"@{term.language}"
    kind = short(term.datatype.value)
    return term.value, "" if kind == _XSD_STRING else kind

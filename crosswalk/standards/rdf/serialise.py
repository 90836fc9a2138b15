"""Blocks of statements as Turtle, N-Triples, JSON-LD and RDF/XML.

Escaped strings, since they are faster than building terms for a library to print (tests/benchmarks/bench_rdf.py); what
is printed is held against the parsers of two libraries in the tests. A JSON string is a valid string of N-Triples and
Turtle too (RDF 1.1 N-Triples, ECHAR and UCHAR), so the escaping is that of the standard library, in C.
"""

from __future__ import annotations

import json
from collections.abc import Callable, Iterable, Mapping
from json.encoder import encode_basestring as quoted  # leaves what is not ASCII as it is
from typing import Any, TypeAlias

from crosswalk.standards.rdf.forms import URI
from crosswalk.standards.rdf.names import PREFIXES, full
from crosswalk.xmlio import escape_attribute, escape_text

Block: TypeAlias = tuple[str, list[str]]
Serialise: TypeAlias = Callable[[Iterable[Block]], str]


class _Full(dict[str, str]):
    """Prefixed names as N-Triples writes them."""

    def __missing__(self, name: str) -> str:
        self[name] = written = f"<{full(name)}>"
        return written


class _Same(dict[str, str]):
    """Prefixed names as Turtle writes them: as they are."""

    def __missing__(self, name: str) -> str:
        return name


def _typed(text: str, kind: str, name: Mapping[str, str]) -> str:
    return quoted(text) + (kind if kind[0] == "@" else f"^^{name[kind]}")


def n_triples(blocks: Iterable[Block]) -> str:
    """One line a statement.

    >>> print(n_triples([("urn:a", ["dcterms:title", 'say "ah"', ""])]), end="")
    <urn:a> <http://purl.org/dc/terms/title> "say \\"ah\\"" .
    """
    out: list[str] = []
    add = out.append
    for about, pairs in blocks:
        subject = about if about[0] == "_" else f"<{about}>"
        each = iter(pairs)
        for name, text, kind in zip(each, each, each, strict=True):
            if kind == "":
                add(f"{subject} {_FULL[name]} {quoted(text)} .\n")
            elif kind == URI:
                if name == "rdf:type":
                    add(f"{subject} {_FULL[name]} {_FULL[text]} .\n")
                elif text[0] == "_":
                    add(f"{subject} {_FULL[name]} {text} .\n")
                else:
                    add(f"{subject} {_FULL[name]} <{text}> .\n")
            else:
                add(f"{subject} {_FULL[name]} {_typed(text, kind, _FULL)} .\n")
    return "".join(out)


def turtle(blocks: Iterable[Block]) -> str:
    """One paragraph a subject, with prefixes.

    >>> blocks = [("urn:a", ["rdf:type", "ebucore:Agent", "@id", "rdfs:label", "Orla", ""])]
    >>> print(turtle(blocks).partition("\\n\\n")[2], end="")
    <urn:a> a ebucore:Agent ;
      rdfs:label "Orla" .
    """
    out: list[str] = [_TURTLE_PREFIXES]
    add = out.append
    for about, pairs in blocks:
        lead = f"\n{about}" if about[0] == "_" else f"\n<{about}>"
        each = iter(pairs)
        for name, text, kind in zip(each, each, each, strict=True):
            if kind == "":
                add(f"{lead} {name} {quoted(text)}")
            elif kind == URI:
                if name == "rdf:type":
                    add(f"{lead} a {text}")
                else:
                    add(f"{lead} {name} {text}" if text[0] == "_" else f"{lead} {name} <{text}>")
            else:
                add(f"{lead} {name} {_typed(text, kind, _NAMES)}")
            lead = " ;\n "
        if pairs:
            add(" .\n")
    return "".join(out)


def json_ld(blocks: Iterable[Block]) -> str:
    """One line a node in a `@graph`, with the context of schemas/context.jsonld inside, so that nothing is fetched."""
    lines = [json.dumps(_json_node(*block), ensure_ascii=False) for block in merged(blocks)]
    context = json.dumps(CONTEXT["@context"], ensure_ascii=False, indent=2)
    return f'{{\n"@context": {context},\n"@graph": [\n' + ",\n".join(lines) + "\n]\n}\n"


def _json_node(about: str, pairs: list[str]) -> dict[str, Any]:
    node: dict[str, Any] = {"@id": about}
    each = iter(pairs)
    for name, text, kind in zip(each, each, each, strict=True):
        if name == "rdf:type":
            node.setdefault("@type", []).append(text)
        elif kind == URI:
            node.setdefault(name, []).append({"@id": text})
        elif kind and kind[0] == "@":
            node.setdefault(name, []).append({"@value": text, "@language": kind[1:]})
        else:
            node.setdefault(name, []).append({"@value": text, "@type": kind} if kind else text)
    return {key: value[0] if isinstance(value, list) and len(value) == 1 else value for key, value in node.items()}


def merged(blocks: Iterable[Block]) -> Iterable[Block]:
    """The blocks, those of one subject as one."""
    found: dict[str, list[str]] = {}
    for about, pairs in blocks:
        found.setdefault(about, []).extend(pairs)
    return found.items()


def rdf_xml(blocks: Iterable[Block]) -> str:
    """One `rdf:Description` a subject."""
    declared = "".join(f'\n    xmlns:{prefix}="{name}"' for prefix, name in PREFIXES.items())
    out = [f'<?xml version="1.0" encoding="UTF-8"?>\n<rdf:RDF{declared}>\n']
    for about, pairs in blocks:
        out.append(f"  <rdf:Description {_xml_subject(about)}>\n")
        each = iter(pairs)
        out += [_xml_statement(*one) for one in zip(each, each, each, strict=True)]
        out.append("  </rdf:Description>\n")
    return "".join(out) + "</rdf:RDF>\n"


def _xml_subject(about: str) -> str:
    return f'rdf:nodeID="{about[2:]}"' if about[0] == "_" else f'rdf:about="{escape_attribute(about)}"'


def _xml_statement(name: str, text: str, kind: str) -> str:
    if name == "rdf:type":
        return f'    <rdf:type rdf:resource="{escape_attribute(full(text))}"/>\n'
    if kind == URI:
        target = f'rdf:nodeID="{text[2:]}"' if text[0] == "_" else f'rdf:resource="{escape_attribute(text)}"'
        return f"    <{name} {target}/>\n"
    mark = ""
    if kind:
        mark = f' xml:lang="{kind[1:]}"' if kind[0] == "@" else f' rdf:datatype="{full(kind)}"'
    return f"    <{name}{mark}>{escape_text(text)}</{name}>\n"


_FULL = _Full()
_NAMES = _Same()
_TURTLE_PREFIXES = "".join(f"@prefix {prefix}: <{name}> .\n" for prefix, name in PREFIXES.items())
CONTEXT: dict[str, Any] = {"@context": dict(PREFIXES)}

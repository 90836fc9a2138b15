"""The documents that two schemas are compared over: made from the schema's components, and broken in single places.

For each place that the schema has (an element in its context, to a depth of recursion) the element is varied: each
optional part present, absent and doubled, each attribute, each limit of each value; then each single fault. The rest
of the document is the least that the schema asks for, so that nothing else decides the verdict.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass
from pathlib import Path

from tests.schemas.probes import PROBES, probes, sample
from tests.schemas.tree import FOREIGN, XSI, Node, markup, split, to_bytes
from tests.schemas.walk import Decl, Place, Walk, attributes, has_children, required_attributes

STRANGER = Node(f"{{{FOREIGN}}}note", (), ("words",))
_HERE = Node("here")
XML_LANG = "{http://www.w3.org/XML/1998/namespace}lang"


@dataclass(frozen=True)
class Names:
    """Names to try everywhere: those of the published schema, in case ours has forgotten one."""

    elements: tuple[str, ...] = ()
    attributes: tuple[str, ...] = ()


@dataclass(frozen=True)
class Family:
    """A schema to compare: its file, its roots with the depth of recursion to walk to, what fills wildcards, and the
    types that xsi:type may name."""

    key: str
    ours: Path
    roots: tuple[tuple[str, int], ...]
    fillers: tuple[Node, ...] = ()
    types: tuple[str, ...] = ()
    names: Names = Names()


@dataclass(frozen=True)
class Case:
    """One document: what was done to it, and its bytes."""

    kind: str
    data: bytes


def groups(family: Family) -> Iterator[tuple[str, list[Case]]]:
    """The cases of each place, by the place's label. The same family gives the same bytes, always."""
    walk = Walk(family.ours, family.fillers)
    met: set[Decl] = set()
    for tag, depth in family.roots:
        for place in walk.places(tag, depth):
            yield place.label, _cases(walk, family, place, place.decl not in met)
            met.add(place.decl)


def _cases(walk: Walk, family: Family, place: Place, thorough: bool) -> list[Case]:
    seen: dict[bytes, str] = {}
    around = _around(walk, place)
    for kind, node in _variants(walk, family, place.decl, thorough):
        seen.setdefault(around(node), kind)
    return [Case(kind, data) for data, kind in seen.items()]


def _around(walk: Walk, place: Place) -> Callable[[Node], bytes]:
    """Puts a node into the least document around its place; that document is written only once."""
    if len(place.chain) == 1:
        return to_bytes
    before, after = to_bytes(walk.document(place, _HERE)).split(markup(_HERE).encode())
    return lambda node: before + markup(node).encode() + after


def _variants(walk: Walk, family: Family, decl: Decl, thorough: bool) -> Iterator[tuple[str, Node]]:
    """One element varied; thoroughly where the declaration is met for the first time."""
    least = walk.least(decl)
    yield "least", least
    yield from _named(least)
    yield from _attributed(decl, least, thorough)
    if thorough:
        yield from _strange_attributes(family, decl, least)
        yield from _typed(family, decl, least)
    if has_children(decl):
        yield from _filled(walk, decl, least, thorough)
        yield from _strange_children(walk, family, least, thorough)
    if not has_children(decl) or decl.type.mixed:
        yield from _texts(family, decl, least, thorough)


def _named(node: Node) -> Iterator[tuple[str, Node]]:
    namespace, local = split(node.tag)
    yield "renamed", node.called(node.tag + "X")
    yield "name in other case", node.called(f"{{{namespace}}}{local.swapcase()}")
    yield "name in no namespace", node.called(local)
    yield "name in a foreign namespace", node.called(f"{{{FOREIGN}}}{local}")


def _attributed(decl: Decl, node: Node, thorough: bool) -> Iterator[tuple[str, Node]]:
    must = required_attributes(decl)
    may = attributes(decl)
    everything = tuple((name, sample(a.type)) for name, a in may.items())
    yield "all attributes", node.having(*everything)
    for name, attribute in may.items():
        rest = tuple(pair for pair in must if pair[0] != name)
        yield f"without @{name}", node.having(*rest)
        for text in (sample(attribute.type), *(probes(attribute.type) if thorough else ())):
            yield f"@{name}={text!r}", node.having(*rest, (name, text))
        yield f"@{name} in a foreign namespace", node.having(*rest, (f"{{{FOREIGN}}}{split(name)[1]}", "words"))


def _strange_attributes(family: Family, decl: Decl, node: Node) -> Iterator[tuple[str, Node]]:
    yield "nothing, and said to be so", node.having(*node.attributes, (f"{{{XSI}}}nil", "true")).holding()
    for name in ("unheardOf", XML_LANG, *family.names.attributes):
        if name not in attributes(decl):
            yield f"@{name} from elsewhere", node.having(*node.attributes, (name, "eng"))
            yield f"@{name} instead of the required", node.having((name, "eng"))


def _typed(family: Family, decl: Decl, node: Node) -> Iterator[tuple[str, Node]]:
    """Encoding schemes: all texts on one element, a few on every other; a language beside a scheme."""
    for scheme in family.types:
        for text in PROBES if decl.local_name == "created" else ("Sound", "2009-03-14", "en-GB"):
            yield f"{scheme} {text!r}", node.having((f"{{{XSI}}}type", scheme)).holding(text)
        for text in ("2009", "Sound"):
            with_language = node.having((f"{{{XSI}}}type", scheme), (XML_LANG, "en"))
            yield f"{scheme} {text!r} with a language", with_language.holding(text)


def _filled(walk: Walk, decl: Decl, least: Node, thorough: bool) -> Iterator[tuple[str, Node]]:
    full = walk.fullest(decl)
    yield "emptied", least.holding()
    yield "fullest", full
    yield "fullest, backwards", full.holding(*reversed(full.content))
    yield "everything twice", full.holding(*(part for part in full.content for _ in range(2)))
    for child in walk.children(decl):
        one = walk.least(child)
        for count in (0, 1, 2, 3):
            inside = walk.inside(decl, {child.name: [one] * count})
            yield f"{child.local_name} {count} times", least.holding(*inside)
            yield f"{child.local_name} {count} times, in the fullest", _with_count(full, one, count)
    yield from _moved(full, thorough)
    yield from _texts_between(least, full)


def _with_count(full: Node, one: Node, count: int) -> Node:
    parts = [part for part in full.content if isinstance(part, Node)]
    at = next((i for i, part in enumerate(parts) if part.tag == one.tag), len(parts))
    rest = [part for part in parts if part.tag != one.tag]
    return full.holding(*rest[:at], *[one] * count, *rest[at:])


def _moved(full: Node, thorough: bool) -> Iterator[tuple[str, Node]]:
    parts = full.content
    for i, part in enumerate(parts):
        rest = parts[:i] + parts[i + 1 :]
        for at in range(len(parts)) if thorough else {0, i + 1, len(parts) - 1}:
            yield f"part {i} moved to {at}", full.holding(*rest[:at], part, *rest[at:])


def _texts_between(least: Node, full: Node) -> Iterator[tuple[str, Node]]:
    for node in (least, full):
        for at in {0, len(node.content) // 2, len(node.content)}:
            for text in ("words", "\n  "):
                yield f"{text!r} before part {at}", node.holding(*node.content[:at], text, *node.content[at:])


def _strange_children(walk: Walk, family: Family, least: Node, thorough: bool) -> Iterator[tuple[str, Node]]:
    strangers: Sequence[Node] = (STRANGER, Node("note"), *family.fillers)
    for at in range(len(least.content) + 1):
        for stranger in strangers:
            yield f"{stranger.tag} before part {at}", least.holding(*least.content[:at], stranger, *least.content[at:])
    for at in range(len(least.content)):
        for stranger in strangers:
            rest = (*least.content[:at], stranger, *least.content[at + 1 :])
            yield f"{stranger.tag} instead of part {at}", least.holding(*rest)
    for stranger in strangers:
        yield f"only {stranger.tag}", least.holding(stranger)
    yield "two strangers", least.holding(STRANGER, STRANGER)
    yield "only strangers", least.holding(*strangers)
    if thorough:
        for name in family.names.elements:
            for content in ((), ("words",)):
                yield f"{name} at the end", least.holding(*least.content, Node(name, (), content))
                yield f"{name} at the start", least.holding(Node(name, (), content), *least.content)


def _texts(family: Family, decl: Decl, least: Node, thorough: bool) -> Iterator[tuple[str, Node]]:
    for text in probes(decl.type):
        yield f"text {text!r}", least.holding(text)
    yield "a child instead of text", least.holding(STRANGER)
    yield "a child beside text", least.holding(*least.content, STRANGER)
    yield "itself inside", least.holding(least)

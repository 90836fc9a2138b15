"""A walk through a schema's own components: which elements may stand where, and the least and the fullest of each."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from functools import cached_property
from pathlib import Path
from typing import Any

import xmlschema
from xmlschema.validators import XsdAttribute, XsdGroup

from tests.schemas.probes import sample
from tests.schemas.tree import Node, qualified

Decl = Any  # xmlschema's component classes carry no types that mypy --strict could use


@dataclass(frozen=True)
class Place:
    """An element in its context: the declarations from the root down to it."""

    chain: tuple[Decl, ...]

    @property
    def label(self) -> str:
        """The path, by local names; a prefix marks what is of another namespace than the root."""
        home = self.chain[0].target_namespace
        return "/".join(d.local_name if d.target_namespace == home else qualified(d.name) for d in self.chain)

    @property
    def decl(self) -> Decl:
        """The declaration of the element itself."""
        return self.chain[-1]

    @property
    def recursions(self) -> int:
        """How many times the path enters a type again that it is already inside."""
        return sum(_same(outer, inner) for i, inner in enumerate(self.chain) for outer in self.chain[i - 1 : i])


def _same(outer: Decl, inner: Decl) -> bool:
    types = {inner.type, inner.type.base_type} if inner.type.is_complex() else set()
    return outer.type in types


class Walk:
    """One schema document, seen through xmlschema. `fillers` stand where a wildcard asks for a declared element."""

    def __init__(self, path: Path, fillers: Sequence[Node] = ()) -> None:
        self.schema = xmlschema.XMLSchema(str(path), allow="local")
        self.fillers = tuple(fillers)
        self._least: dict[int, Node] = {}

    def root(self, tag: str) -> Decl:
        """The declaration of a root element."""
        return self.schema.maps.elements[tag]

    def places(self, tag: str, depth: int) -> Iterator[Place]:
        """Every place below a root, itself included, to that depth of recursion, in document order."""
        yield from self._below(Place((self.root(tag),)), depth)

    def _below(self, place: Place, depth: int) -> Iterator[Place]:
        if place.recursions > depth:
            return
        yield place
        for child in self.children(place.decl):
            yield from self._below(Place((*place.chain, child)), depth)

    def children(self, decl: Decl) -> list[Decl]:
        """The elements that may stand in this one, each once, in the schema's order."""
        return [d for d in self._flat(decl.type.content) if d.name] if has_children(decl) else []

    def _flat(self, group: Decl) -> Iterator[Decl]:
        for member in group:
            if is_group(member):
                yield from self._flat(member)
            elif member.name:
                yield from self.concrete(member)

    def concrete(self, decl: Decl) -> list[Decl]:
        """The element itself, or what may stand in for it where it is abstract."""
        if decl.ref is None or not decl.ref.abstract:
            return [decl]
        return list(self._substitutes(decl.name))

    def _substitutes(self, name: str) -> Iterator[Decl]:
        for decl in sorted(self.schema.maps.substitution_groups.get(name, ()), key=lambda d: str(d.name)):
            yield decl
            yield from self._substitutes(decl.name)

    def least(self, decl: Decl) -> Node:
        """The element with only what it must have."""
        if id(decl) not in self._least:
            self._least[id(decl)] = Node(decl.name, required_attributes(decl), self.inside(decl, {}))
        return self._least[id(decl)]

    def fullest(self, decl: Decl) -> Node:
        """The element with each of its parts once, every part with only what it must have."""
        return Node(decl.name, required_attributes(decl), self.inside(decl, {}, full=True))

    def inside(self, decl: Decl, given: Mapping[str, Sequence[Node]], *, full: bool = False) -> tuple[Node | str, ...]:
        """The content of an element, with the given children in their places."""
        if not has_children(decl):
            text = sample(decl.type)
            return (text,) if text else ()
        return tuple(self._members(decl.type.content, given, full))

    def _members(self, group: Decl, given: Mapping[str, Sequence[Node]], full: bool) -> Iterator[Node]:
        members = list(group)
        if group.model == "choice":
            members = self._chosen(group, given, full)
        for member in members:
            if is_group(member):
                if full or member.min_occurs or self._holds(member, given):
                    yield from self._members(member, given, full)
            elif member.name is None:
                yield from self.fillers[: member.min_occurs]
            else:
                yield from self._element(member, given, full)

    def _chosen(self, group: Decl, given: Mapping[str, Sequence[Node]], full: bool) -> list[Decl]:
        holding = [member for member in group if self._holds(member, given)]
        if holding:
            return holding
        if full and group.max_occurs is None:
            return list(group)
        return list(group)[: 1 if full or group.min_occurs else 0]

    def _element(self, member: Decl, given: Mapping[str, Sequence[Node]], full: bool) -> Iterator[Node]:
        options = self.concrete(member)
        named = [decl for decl in options if decl.name in given]
        for decl in named:
            yield from given[decl.name]
        if not named and (full or member.min_occurs):
            yield from (self.least(decl) for decl in (options if full else options[:1]))

    def _holds(self, member: Decl, given: Mapping[str, Sequence[Node]]) -> bool:
        if is_group(member):
            return any(self._holds(inner, given) for inner in member)
        return member.name is not None and any(decl.name in given for decl in self.concrete(member))

    def document(self, place: Place, node: Node) -> Node:
        """The least document around this node, standing at that place."""
        for parent, child in reversed(list(zip(place.chain, place.chain[1:], strict=False))):
            node = Node(parent.name, required_attributes(parent), self.inside(parent, {child.name: [node]}))
        return node

    @cached_property
    def element_names(self) -> list[str]:
        """The names of all elements that this schema and its imports declare, anywhere."""
        return self._names(xmlschema.XsdElement)

    @cached_property
    def attribute_names(self) -> list[str]:
        """The names of all attributes that this schema declares, anywhere, without those of foreign namespaces."""
        return [name for name in self._names(XsdAttribute) if not name.startswith("{")]

    def _names(self, kind: type) -> list[str]:
        found = self.schema.maps.iter_components(kind)
        return sorted({c.name for c in found if c.name and c.schema.meta_schema is not None})


def is_group(particle: Decl) -> bool:
    """Whether a particle is a group of others."""
    return isinstance(particle, XsdGroup)


def has_children(decl: Decl) -> bool:
    """Whether the element holds elements, not text alone."""
    return bool(decl.type.is_complex() and not decl.type.has_simple_content())


def required_attributes(decl: Decl) -> tuple[tuple[str, str], ...]:
    """The attributes that the element must have, each with a good value."""
    return tuple((name, sample(a.type)) for name, a in attributes(decl).items() if a.use == "required")


def attributes(decl: Decl) -> dict[str, Decl]:
    """The attributes that the element may have, by name."""
    return {name: a for name, a in decl.type.attributes.items() if name} if decl.type.is_complex() else {}

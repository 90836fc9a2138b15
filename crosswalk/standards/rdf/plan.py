"""Records as blocks of statements: one function a place of the model, made once from the table.

What the table's properties cannot say of a value is added as a node of its own (`rec:pbcoreTitle` and the like), and
only then: where the value has attributes that the property does not carry, where its place among several matters, or
where the form changes the text.
"""

from __future__ import annotations

from functools import cache
from operator import attrgetter
from typing import Any

from msgspec.structs import astuple

from crosswalk.records import Child, Node, Part, shape
from crosswalk.standards.rdf.batch import Batch, Pairs, Scene
from crosswalk.standards.rdf.forms import URI, relator
from crosswalk.standards.rdf.leaves import Emit, attribute, leaf
from crosswalk.standards.tables.choice import Choice
from crosswalk.standards.tables.paths import Place, is_nested, resolve
from crosswalk.standards.tables.table import Node as NodeRow
from crosswalk.standards.tables.table import Table
from crosswalk.standards.tables.uris import segment

_LEVELS = {"Asset": "asset", "Part": "asset", "Instantiation": "instantiation", "EssenceTrack": "track"}


class Plan:
    """A table, made ready to turn many records into blocks."""

    def __init__(self, table: Table) -> None:
        self.table = table
        self._emitters: dict[str, list[Emit]] = {}

    def node(self, level: str, node: Node, about: str, batch: Batch) -> Pairs:
        """The blocks of a record, an instantiation or a track, which becomes the subject `about`."""
        pairs = batch.open(about)
        self.inside(level, node, Scene(about, pairs, pairs, batch))
        return pairs

    def inside(self, path: str, node: Node, scene: Scene) -> None:
        """The statements of a node into the block of its scene: every field that says something has its function."""
        key = "part" if type(node) is Part else path
        emitters = self._emitters.get(key)
        if emitters is None:
            emitters = self._emitters[key] = self._make(path, type(node))
        for emit, found in zip(emitters, (node, *astuple(node)), strict=True):
            if found or found == "":  # an empty attribute says something, too
                emit(found, node, scene)

    def _make(self, path: str, cls: type[Node]) -> list[Emit]:
        """One function for the node itself, then one for each field."""
        place = resolve(path)
        assert place is not None
        rows = self.table.nodes_at(path)
        made: dict[str, Emit] = {a.field: attribute(a.name) for a in shape(cls).attributes}
        for child in shape(cls).children:
            inner = resolve(f"{path}.{child.path}")
            assert inner is not None
            simple = shape(child.cls).content != "children"
            made[child.field] = leaf(self.table, inner) if simple else _branch(self, inner)
        fields = [made.get(field, _nothing) for field in cls.__struct_fields__]
        return [_classes(Choice(place, rows) if rows else None), *fields]


def _nothing(node: Any, parent: Any, scene: Scene) -> None:
    """Evidence of a whole record says no more than that of its values."""


def _classes(choose: Choice[NodeRow] | None) -> Emit:
    def emit(node: Any, parent: Any, scene: Scene) -> None:
        row = choose(node, node) if choose else None
        if row is not None:
            scene.pairs += typed(row.classes)

    return emit


@cache
def typed(classes: tuple[str, ...]) -> tuple[str, ...]:
    """Classes as they stand in a block.

    >>> typed(("ebucore:Agent",))
    ('rdf:type', 'ebucore:Agent', '@id')
    """
    return tuple(part for cls in classes for part in ("rdf:type", cls, URI))


def _branch(plan: Plan, place: Place) -> Emit:
    """Containers, instantiations, tracks and parts: each a node of its own."""
    child = place.chain[-1]
    choose = Choice(place, plan.table.nodes_at(place.path)) if plan.table.nodes_at(place.path) else None
    own, nested = f"rec:{child.element}", _LEVELS.get(child.cls.__name__, "")
    roles = _Roles(plan.table.nodes_at(place.path), child)
    by_key = child.path == "instantiation" and is_nested(place)

    def emit(value: Any, parent: Any, scene: Scene) -> None:
        found = value if child.many else (value,)
        several = len(found) > 1
        keyed = _Keys() if by_key else None
        for number, node in enumerate(found, 1):
            row = choose(node, node) if choose else None
            about = keyed.uri(scene, node) if keyed else ""
            about = about or f"{scene.stem}{child.path}-{number}"
            links = row.link if row and row.link else (own,)
            for link in links:
                scene.pairs += (link, about, URI)
            for name in roles.of(node):
                scene.pairs += (name, about, URI)
            if nested:
                pairs = plan.node(nested, node, about, scene.batch)
            else:
                pairs = scene.batch.open(about)
                plan.inside(place.path, node, Scene(about, pairs, scene.record, scene.batch))
            if nested and row and row.classes:
                pairs += typed(row.classes)
            if row and row.back:
                pairs += (row.back, scene.about, URI)
            if several:
                pairs += ("rec:position", str(number), "xsd:integer")

    return emit


class _Keys:
    """Instantiations are named by their identifier below their asset; a second one of the same name gets a number."""

    def __init__(self) -> None:
        self._seen: dict[str, int] = {}

    def uri(self, scene: Scene, node: Any) -> str:
        """The URI, or "" where the instantiation has no identifier, or its asset has no URI to stand below."""
        if not node.identifiers or "#" in scene.about or scene.about[0] == "_":
            return ""
        key = segment(node.identifiers[0].text)
        count = self._seen[key] = self._seen.get(key, 0) + 1
        return f"{scene.about}/instantiation/{key}" + (f";{count}" if count > 1 else "")


class _Roles:
    """The MARC relators that link an agent to what it had a part in."""

    def __init__(self, rows: list[NodeRow], child: Child) -> None:
        path = next((row.relators for row in rows if row.relators), "")
        found = shape(child.cls).child(path) if path else None
        self._get = attrgetter(found.field) if found else None

    def of(self, node: Any) -> list[str]:
        """Their prefixed names, each once."""
        if self._get is None:
            return []
        return list(dict.fromkeys(name for role in self._get(node) if (name := relator(role.text))))

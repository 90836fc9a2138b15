"""Records as blocks of statements: one function a place of the model, made once from the table.

A block is a subject and a flat list: property, text, kind, property, text, kind. What the table's properties cannot
say of a value is added as a node of its own (`rec:pbcoreTitle` and the like), and only then: where the value has
attributes that the property does not carry, where its place among several matters, or where the form changes the text.
"""

from __future__ import annotations

from collections.abc import Callable
from operator import attrgetter
from typing import Any, TypeAlias

from msgspec.structs import astuple

from crosswalk.records import Child, Evidence, Node, shape
from crosswalk.standards.rdf.forms import FORMS, URI, relator
from crosswalk.standards.tables.choice import Choice, said_by
from crosswalk.standards.tables.paths import Place, is_nested, resolve
from crosswalk.standards.tables.table import Node as NodeRow
from crosswalk.standards.tables.table import Rule, Table
from crosswalk.standards.tables.uris import normal, segment

Pairs: TypeAlias = list[str]
Emit: TypeAlias = "Callable[[Any, Scene], None]"
_LEVELS = {"Asset": "asset", "Part": "asset", "Instantiation": "instantiation", "EssenceTrack": "track"}


class Batch:
    """The blocks of one document, the terms that have theirs already, and the evidence that was met."""

    def __init__(self, base: str) -> None:
        self.base = base
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
            if cls:
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


class Plan:
    """A table, made ready to turn many records into blocks."""

    def __init__(self, table: Table) -> None:
        self.table = table
        self._emitters: dict[str, tuple[Emit, ...]] = {}

    def node(self, level: str, node: Node, about: str, batch: Batch) -> Pairs:
        """The blocks of a record, an instantiation or a track, which becomes the subject `about`."""
        pairs = batch.open(about)
        scene = Scene(about, pairs, pairs, batch)
        for emit in self._of(level, level, type(node)):
            emit(node, scene)
        return pairs

    def inside(self, path: str, node: Node, scene: Scene) -> None:
        """The statements of a container into the block of its scene."""
        for emit in self._of(path, path, type(node)):
            emit(node, scene)

    def _of(self, key: str, path: str, cls: type[Node]) -> tuple[Emit, ...]:
        found = self._emitters.get(key if cls.__name__ != "Part" else "part")
        if found is None:
            found = tuple(self._make(path, cls))
            self._emitters[key if cls.__name__ != "Part" else "part"] = found
        return found

    def _make(self, path: str, cls: type[Node]) -> list[Emit]:
        place = resolve(path)
        assert place is not None
        made = [_classes(Choice(place, self.rows(path)))] if self.rows(path) else []
        if shape(cls).attributes:
            made.append(_attributes(cls))
        for child in shape(cls).children:
            inner = resolve(f"{path}.{child.path}")
            assert inner is not None
            made.append(_leaf(self, inner) if shape(child.cls).content != "children" else _branch(self, inner))
        return made

    def rows(self, path: str) -> list[NodeRow]:
        """The rows that make a node of what stands at a place."""
        return [row for row in self.table.node if row.from_ == path]

    def rules(self, path: str) -> list[Rule]:
        """The rows that state something of what stands at a place."""
        return [rule for rule in self.table.rule if rule.from_ == path and rule.to]


def _classes(choose: Choice[NodeRow]) -> Emit:
    def emit(node: Any, scene: Scene) -> None:
        row = choose(node, node)
        if row is not None:
            for cls in row.classes:
                scene.pairs += ("rdf:type", cls, URI)

    return emit


def _attributes(cls: type[Node]) -> Emit:
    """The attributes of a node, or of the node that is made of a value, in our own terms."""
    attributes = shape(cls).attributes
    get = attrgetter(*(a.field for a in attributes)) if len(attributes) > 1 else None
    names = [f"rec:{a.name}" for a in attributes]
    bare = (None,) * len(attributes)

    def emit(node: Any, scene: Scene) -> None:
        values = get(node) if get else (getattr(node, attributes[0].field),)
        if values == bare:
            return
        for name, value in zip(names, values, strict=True):
            if value is not None:
                scene.pairs += (name, value, "")

    return emit


def _many(child: Child) -> Callable[[Any], Any]:
    get = attrgetter(child.field)
    if child.many:
        return get
    return lambda node: (found,) if (found := get(node)) is not None else ()


def _branch(plan: Plan, place: Place) -> Emit:
    """Containers, instantiations, tracks and parts: each a node of its own."""
    child, get = place.chain[-1], _many(place.chain[-1])
    choose = Choice(place, plan.rows(place.path)) if plan.rows(place.path) else None
    own, nested = f"rec:{child.element}", _LEVELS.get(child.cls.__name__, "")
    roles = _Roles(plan.rows(place.path), child)
    by_key = child.path == "instantiation" and is_nested(place)

    def emit(parent: Any, scene: Scene) -> None:
        found = get(parent)
        if not found:
            return
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
                pairs += [part for cls in row.classes for part in ("rdf:type", cls, URI)]
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


def _leaf(plan: Plan, place: Place) -> Emit:
    """Values: what the table states of them, and a node for the rest."""
    child = place.chain[-1]
    get = attrgetter(child.field)
    state = _Statements(plan, place)
    detail = _Detail(plan, place)

    def one(value: Any, parent: Any, scene: Scene) -> None:
        stated = state.make(value, parent, scene)
        if stated is None or not state.whole(*stated, value):
            detail.single(value, scene)
        if value.evidence is not None:
            scene.batch.met(value.evidence)


    def unstated(value: Any, parent: Any, scene: Scene) -> None:
        detail.single(value, scene)
        if value.evidence is not None:
            scene.batch.met(value.evidence)

    say = _plainly(place, state.plainly, detail) if state.plainly else one if plan.rules(place.path) else unstated

    def single(parent: Any, scene: Scene) -> None:
        value = get(parent)
        if value is not None:
            say(value, parent, scene)

    def many(parent: Any, scene: Scene) -> None:
        found = get(parent)
        if not found:
            return
        if len(found) == 1:
            say(found[0], parent, scene)
            return
        for number, value in enumerate(found, 1):
            state.make(value, parent, scene)
            detail.node(value, f"{scene.stem}{child.path}-{number}", number, scene)
            if value.evidence is not None:
                scene.batch.met(value.evidence)

    return many if child.many else single


def _plainly(place: Place, names: tuple[str, ...], detail: _Detail) -> Callable[[Any, Any, Scene], None]:
    """The usual case: one row, no condition, the text as it is."""
    bare = (None,) * len(place.attributes)

    def one(value: Any, parent: Any, scene: Scene) -> None:
        text = value.text
        if text:
            for name in names:
                scene.pairs += (name, text, "")
        if not text or astuple(value)[1:-1] != bare:
            detail.single(value, scene)
        if value.evidence is not None:
            scene.batch.met(value.evidence)

    return one


class _Statements:
    """What the table states of the values at one place."""

    def __init__(self, plan: Plan, place: Place) -> None:
        rules = plan.rules(place.path)
        main = [rule for rule in rules if not rule.extra and rule.about == "parent"]
        apart = [rule for rule in rules if not rule.extra and rule.about == "record"]
        self._choose = Choice(place, main)
        self._beside: list[Choice[Rule]] = [Choice(place, [rule]) for rule in rules if rule.extra]
        self._beside += [Choice(place, apart)] if apart else []
        self._place, self._text = place, shape(place.cls).content == "text"
        self._fields = tuple(place.attributes.values())
        self._said = {id(rule): self._with(rule) for rule in main}
        self._main = bool(main)
        only = self._choose.only if not self._beside and self._text else None
        plain = only is not None and only.form == "plain" and only.read
        self.plainly: tuple[str, ...] = (only.to, *only.also) if only is not None and plain else ()
        self._bare = len(shape(place.cls).attributes) * (None,)
        terms = {cls for row in plan.table.node for cls in row.classes}
        self._scheme = place.chain[-1].path
        self._concept = f"ebucore:{self._scheme.capitalize()}" if terms else ""

    def _with(self, rule: Rule) -> dict[str, str]:
        """The attributes that a reader gets by the row's conditions."""
        attributes = self._place.attributes
        return {attributes[key]: text for key, text in said_by(rule, self._place).items() if key in attributes}

    def make(self, value: Any, parent: Any, scene: Scene) -> tuple[Rule, tuple[str, str]] | None:
        """States what there is to state; the row that a reader goes back by, and its object."""
        for choose in self._beside:
            rule = choose(value, parent)
            if rule is not None:
                self._state(rule, value, scene.record if rule.about == "record" else scene.pairs, scene)
        rule = self._choose(value, parent) if self._main else None
        if rule is None or not self._text:
            return None
        stated = self._state(rule, value, scene.pairs, scene)
        return (rule, stated) if stated is not None and rule.read else None

    def _state(self, rule: Rule, value: Any, pairs: Pairs, scene: Scene) -> tuple[str, str] | None:
        """Adds the statements of one row; the object if there was exactly one."""
        text, form = value.text, rule.form
        if not text:
            return None
        if form == "plain":
            objects: tuple[tuple[str, str], ...] = ((text, ""),)
        elif form == "term":
            objects = ((scene.batch.term(self._scheme, text, self._concept), URI),)
        else:
            objects = FORMS[form].write(value, scene.batch.base)
        for said, kind in objects:
            pairs += (rule.to, said, kind)
            for name in rule.also:
                pairs += (name, said, kind)
        return objects[0] if len(objects) == 1 else None

    def whole(self, rule: Rule, stated: tuple[str, str], value: Any) -> bool:
        """Whether a reader gets the whole value back from the object of that row."""
        form, said = FORMS[rule.form], self._said[id(rule)]
        bare = astuple(value)[1:-1] == self._bare
        if bare == bool(said) and not form.uses:
            return False
        if bare and rule.form == "plain":
            return True
        if rule.form == "plain" or (rule.form == "term" and normal(value.text) == value.text):
            back: dict[str, str] | None = {"text": value.text}
        else:
            back = form.read(*stated, "") if rule.form != "term" else None
        if back is None:
            return False
        wanted = {name: x for name in self._fields if (x := getattr(value, name)) is not None}
        return {**said, **back} == {"text": value.text, **wanted}


class _Detail:
    """What is left to say of the values at one place, in our own terms."""

    def __init__(self, plan: Plan, place: Place) -> None:
        row = next(iter(plan.rows(place.path)), None)
        self._place = place
        self._link = row.link[0] if row and row.link else f"rec:{place.chain[-1].element}"
        self._value = (row.value if row else "") or ("rdf:value" if shape(place.cls).content == "text" else "rec:xml")
        self._kind = "" if shape(place.cls).content == "text" else "rdf:XMLLiteral"
        self._field = "text" if shape(place.cls).content == "text" else "xml"
        self._classes = row.classes if row else ()
        self._always = row is not None
        self._attributes = _attributes(place.cls) if shape(place.cls).attributes else None
        self._bare = len(shape(place.cls).attributes) * (None,)

    def single(self, value: Any, scene: Scene) -> None:
        """The rest of a value that has no siblings: as a literal where it is but a text."""
        if self._always or astuple(value)[1:-1] != self._bare or self._kind:
            self.node(value, f"{scene.stem}{self._place.chain[-1].path}", 0, scene)
        else:
            scene.pairs += (self._link, value.text, "")

    def node(self, value: Any, about: str, number: int, scene: Scene) -> None:
        """A value as a node: its text, its attributes, its place among its siblings."""
        scene.pairs += (self._link, about, URI)
        pairs = scene.batch.open(about)
        for cls in self._classes:
            pairs += ("rdf:type", cls, URI)
        pairs += (self._value, getattr(value, self._field), self._kind)
        if self._attributes is not None:
            self._attributes(value, Scene(about, pairs, pairs, scene.batch))
        if number:
            pairs += ("rec:position", str(number), "xsd:integer")

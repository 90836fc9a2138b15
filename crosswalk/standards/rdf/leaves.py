"""Values as statements: what the table's properties say of them, and a node of our own terms for the rest."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any, TypeAlias

from msgspec.structs import astuple

from crosswalk.records import shape
from crosswalk.standards.rdf.batch import Pairs, Scene
from crosswalk.standards.rdf.forms import FORMS, NO_SETTING, URI
from crosswalk.standards.tables.choice import Choice, said_by
from crosswalk.standards.tables.forms import REMEMBERED
from crosswalk.standards.tables.paths import Place
from crosswalk.standards.tables.table import Rule, Table
from crosswalk.standards.tables.uris import normal

Emit: TypeAlias = Callable[[Any, Any, Scene], None]  # what stands there, what it stands in, where it is said


def attribute(name: str) -> Emit:
    """An attribute of a node, in our own terms."""
    own = f"rec:{name}"

    def emit(text: Any, node: Any, scene: Scene) -> None:
        scene.pairs += (own, text, "")

    return emit


def leaf(table: Table, place: Place) -> Emit:
    """Values: what the table states of them, and a node for the rest."""
    child = place.chain[-1]
    state, detail = _Statements(table, place), _Detail(table, place)
    one = _one(state, detail) if table.rules_at(place.path) else _unstated(detail)
    if state.plainly:
        one = _plainly(place, state.plainly, detail)
    elif state.by_itself:
        one = _remembered(state, detail)

    def many(found: Any, parent: Any, scene: Scene) -> None:
        if len(found) == 1:
            one(found[0], parent, scene)
            return
        for number, value in enumerate(found, 1):
            state.make(value, parent, scene)
            detail.node(value, f"{scene.stem}{child.path}-{number}", number, scene)
            if value.evidence is not None:
                scene.batch.met(value.evidence)

    return many if child.many else one


def _one(state: _Statements, detail: _Detail) -> Emit:
    def one(value: Any, parent: Any, scene: Scene) -> None:
        stated = state.make(value, parent, scene)
        if stated is None or not state.whole(*stated, value):
            detail.single(value, scene)
        if value.evidence is not None:
            scene.batch.met(value.evidence)

    return one


def _remembered(state: _Statements, detail: _Detail) -> Emit:
    """Where a value alone decides what is said of it: said once for all of its kind, since an archive has few."""
    known: dict[tuple[Any, ...], tuple[Pairs, bool]] = {}

    def one(value: Any, parent: Any, scene: Scene) -> None:
        *said, evidence = astuple(value)
        found = known.get(key := tuple(said))
        if found is None:
            aside = Scene(scene.about, [], [], scene.batch)
            stated = state.make(value, parent, aside)
            if len(known) >= REMEMBERED:
                known.clear()
            found = known[key] = (aside.pairs, stated is not None and state.whole(*stated, value))
        scene.pairs += found[0]
        if not found[1]:
            detail.single(value, scene)
        if evidence is not None:
            scene.batch.met(evidence)

    return one


def _unstated(detail: _Detail) -> Emit:
    def one(value: Any, parent: Any, scene: Scene) -> None:
        detail.single(value, scene)
        if value.evidence is not None:
            scene.batch.met(value.evidence)

    return one


def _plainly(place: Place, names: tuple[str, ...], detail: _Detail) -> Emit:
    """The usual case: one row, no condition, the text as it is."""
    bare = (None,) * len(place.attributes)

    def one(value: Any, parent: Any, scene: Scene) -> None:
        text, *_ = rest = astuple(value)
        if text:
            pairs = scene.pairs
            for name in names:
                pairs += (name, text, "")
        if not text or rest[1:-1] != bare:
            detail.single(value, scene)
        if rest[-1] is not None:
            scene.batch.met(rest[-1])

    return one


class _Statements:
    """What the table states of the values at one place."""

    def __init__(self, table: Table, place: Place) -> None:
        rules = table.rules_at(place.path)
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
        beside = {key for rule in rules for key in rule.when} - set(place.attributes)
        away = [rule for rule in rules if rule.about == "record" or rule.form == "term"]
        self.by_itself = self._text and self._main and not beside and not away
        self._bare = len(shape(place.cls).attributes) * (None,)
        self._scheme = place.chain[-1].path
        self._concept = f"ebucore:{self._scheme.capitalize()}"

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
            objects = FORMS[form].write(value, scene.batch.setting)
        for said, kind in objects:
            pairs += (rule.to, said, kind)
            for name in rule.also:  # which are of vocabularies that know plain texts only
                pairs += (name, said, "" if form == "prose" else kind)
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
            back = form.read(*stated, NO_SETTING) if rule.form != "term" else None
        if back is None:
            return False
        wanted = {name: x for name in self._fields if (x := getattr(value, name)) is not None}
        return {**said, **back} == {"text": value.text, **wanted}


class _Detail:
    """What is left to say of the values at one place, in our own terms."""

    def __init__(self, table: Table, place: Place) -> None:
        row = next(iter(table.nodes_at(place.path)), None)
        self._place = place
        self._link = row.link[0] if row and row.link else f"rec:{place.chain[-1].element}"
        self._value = (row.value if row else "") or ("rdf:value" if shape(place.cls).content == "text" else "rec:xml")
        self._kind = "" if shape(place.cls).content == "text" else "rdf:XMLLiteral"
        self._field = "text" if shape(place.cls).content == "text" else "xml"
        classes = row.classes if row else ()
        self._always = row is not None
        self._names = [f"rec:{name}" for name in place.attributes]
        # so a value can be taken apart as a tuple: its text, its attributes, its evidence
        assert place.cls.__struct_fields__ == (self._field, *place.attributes.values(), "evidence")
        self._head = (*(part for cls in classes for part in ("rdf:type", cls, URI)), self._value)
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
        text, *rest, _ = astuple(value)
        pairs += (*self._head, text, self._kind)
        for name, said in zip(self._names, rest, strict=True):
            if said is not None:
                pairs += (name, said, "")
        if number:
            pairs += ("rec:position", str(number), "xsd:integer")

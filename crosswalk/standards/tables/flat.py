"""Records as flat lists of statements, such as Dublin Core has: property, text, kind of text."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from functools import cache
from operator import attrgetter
from typing import Any, TypeAlias

from crosswalk.records import Asset, Instantiation, Record
from crosswalk.standards.tables.choice import Choice, Getter
from crosswalk.standards.tables.forms import REMEMBERED, Form
from crosswalk.standards.tables.paths import Place, resolve
from crosswalk.standards.tables.table import Rule, Table

Statement: TypeAlias = tuple[str, str, str]
Add: TypeAlias = Callable[[Statement], None]
Emit: TypeAlias = Callable[[Any, Any, Add], None]  # what stands there, what it stands in



class Flat:
    """A table, made ready to be applied to many records."""

    def __init__(self, table: Table, forms: Mapping[str, Form]) -> None:
        self._levels = {level: emitters(table, forms, level) for level in ("asset", "instantiation", "track")}

    def statements(self, record: Record) -> list[Statement]:
        """What the table says of a record, in the order of the table; instantiations follow one after the other."""
        found: list[Statement] = []
        if isinstance(record, Asset):
            self._level("asset", record, found.append)
            for instantiation in record.instantiations:
                self._instantiation(instantiation, found.append)
        else:
            self._instantiation(record, found.append)
        return found

    def _instantiation(self, instantiation: Instantiation, add: Add) -> None:
        self._level("instantiation", instantiation, add)
        if self._levels["track"]:
            for track in instantiation.essence_tracks:
                self._level("track", track, add)

    def _level(self, level: str, node: Any, add: Add) -> None:
        for get, emit in self._levels[level]:
            if found := get(node):
                emit(found, node, add)


def emitters(table: Table, forms: Mapping[str, Form], level: str) -> tuple[tuple[attrgetter[Any], Emit], ...]:
    """For each place of that level that the table names, in its order: what to look at, and what to say of it."""
    places = dict.fromkeys(rule.from_ for rule in table.rule if rule.place.level == level and rule.to)
    return tuple(_emitter([rule for rule in table.rule if rule.from_ == path], forms) for path in places)


def _emitter(rules: list[Rule], forms: Mapping[str, Form]) -> tuple[attrgetter[Any], Emit]:
    place = rules[0].place
    first, say = place.chain[0], _sayer(Choice(place, rules), rules, forms)
    emit = say
    if len(place.chain) == 2 and first.many and not place.chain[1].many:
        emit = _of_pairs(attrgetter(place.chain[1].field), say)
    elif len(place.chain) > 1:
        emit = _of_containers(first.many, _walk(place, 1), say)
    elif first.many:
        emit = _of_many(say)
    return attrgetter(first.field), emit


def _of_many(say: Emit) -> Emit:
    def emit(found: Any, node: Any, add: Add) -> None:
        for value in found:
            say(value, node, add)

    return emit


def _of_pairs(inner: attrgetter[Any], say: Emit) -> Emit:
    """Containers of which each holds the value once: the usual case, without lists."""

    def emit(found: Any, node: Any, add: Add) -> None:
        for container in found:
            if (value := inner(container)) is not None:
                say(value, container, add)

    return emit


def _of_containers(many: bool, walk: Any, say: Emit) -> Emit:
    def emit(found: Any, node: Any, add: Add) -> None:
        for container in found if many else (found,):
            for value, parent in walk(container):
                say(value, parent, add)

    return emit


def _walk(place: Place, depth: int) -> Callable[[Any], list[tuple[Any, Any]]]:
    """A function that gives the values at the end of a chain, each with what it stands in."""
    child = place.chain[depth]
    get = attrgetter(child.field)

    def step(node: Any) -> list[tuple[Any, Any]]:
        found = get(node)
        if child.many:
            return [(value, node) for value in found]
        return [(found, node)] if found is not None else []

    if depth + 1 == len(place.chain):
        return step
    deeper = _walk(place, depth + 1)
    return lambda node: [pair for value, _ in step(node) for pair in deeper(value)]


def _sayer(choose: Choice[Rule], rules: list[Rule], forms: Mapping[str, Form]) -> Emit:
    write = {id(rule): _write(rule, forms[rule.form]) for rule in rules if rule.to}
    if choose.only is not None:
        return write[id(choose.only)]
    if choose.key is not None:
        return _by_key(choose, choose.key, write)

    def say(value: Any, parent: Any, add: Add) -> None:
        rule = choose(value, parent)
        if rule is not None and rule.to:
            write[id(rule)](value, parent, add)

    return say


def _by_key(choose: Choice[Rule], key: Getter, write: dict[int, Emit]) -> Emit:
    """One text decides, and an archive has few of them: what is to be said is settled once for each."""
    known: dict[Any, Emit] = {}

    def say(value: Any, parent: Any, add: Add) -> None:
        asked = key(value, parent)
        emit = known.get(asked)
        if emit is None:
            if len(known) >= REMEMBERED:
                known.clear()
            emit = known[asked] = write.get(id(choose(value, parent)), _nothing)
        emit(value, parent, add)

    return say


def _nothing(value: Any, parent: Any, add: Add) -> None:
    """A value that the table leaves out."""


def _write(rule: Rule, form: Form) -> Emit:
    """What one row says of a value. Where the text alone decides, it is settled once for all that say the same."""
    to, also, known = rule.to, rule.also, dict[str, list[Statement]]()

    def plainly(value: Any, parent: Any, add: Add) -> None:
        add((to, value.text, ""))

    def formed(value: Any, parent: Any, add: Add) -> None:
        for text, kind in form.write(value):
            add((to, text, kind))
            for name in also:
                add((name, text, kind))

    def remembered(value: Any, parent: Any, add: Add) -> None:
        found = known.get(value.text)
        if found is None:
            if len(known) >= REMEMBERED:
                known.clear()
            found = known[value.text] = []
            formed(value, parent, found.append)
        for statement in found:
            add(statement)

    if rule.form == "plain" and not also:
        return plainly
    alone = rule.form in ("date", "language", "dcmi-type", "mime", "duration")  # what an archive has few texts of
    return remembered if alone else formed


@cache
def walker(path: str) -> Callable[[Any], list[tuple[Any, Any]]]:
    """A function that gives all values at a place below a node of its level, each with what it stands in.

    >>> from crosswalk.records import Creator, AgentName
    >>> maker = AgentName("Orla Fenn")
    >>> walker("asset.creator.creator")(Asset(creators=(Creator(creator=maker),)))[0][0].text
    'Orla Fenn'
    """
    place = resolve(path)
    assert place is not None
    return _walk(place, 0)


def levels(record: Record) -> Iterator[tuple[str, Any]]:
    """The record and the instantiations and tracks in it, each with the name of its level; parts are not entered."""
    if isinstance(record, Asset):
        yield "asset", record
    for instantiation in record.instantiations if isinstance(record, Asset) else (record,):
        yield "instantiation", instantiation
        for track in instantiation.essence_tracks:
            yield "track", track

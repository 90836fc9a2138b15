"""Records as flat lists of statements, such as Dublin Core has: property, text, kind of text."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from functools import cache
from operator import attrgetter
from typing import Any, TypeAlias

from crosswalk.records import Asset, Instantiation, Record
from crosswalk.standards.tables.choice import Choice
from crosswalk.standards.tables.forms import Form
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
    first, say = place.chain[0], _sayer(Choice(place, rules), forms)
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


def _sayer(choose: Choice[Rule], forms: Mapping[str, Form]) -> Emit:
    only = choose.only
    if only is not None and only.form == "plain" and not only.also:
        to = only.to

        def plainly(value: Any, parent: Any, add: Add) -> None:
            add((to, value.text, ""))

        return plainly
    if only is not None and not only.also:
        to, write = only.to, forms[only.form].write

        def formed(value: Any, parent: Any, add: Add) -> None:
            for text, kind in write(value):
                add((to, text, kind))

        return formed

    def say(value: Any, parent: Any, add: Add) -> None:
        rule = choose(value, parent)
        if rule is None or not rule.to:
            return
        if rule.form == "plain" and not rule.also:
            add((rule.to, value.text, ""))
            return
        for text, kind in forms[rule.form].write(value):
            add((rule.to, text, kind))
            for name in rule.also:
                add((name, text, kind))

    return say


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

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
Emit: TypeAlias = Callable[[Any, Add], None]

_INSTANTIATIONS = attrgetter("instantiations")
_TRACKS = attrgetter("essence_tracks")


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
        for emit in self._levels[level]:
            emit(node, add)


def emitters(table: Table, forms: Mapping[str, Form], level: str) -> tuple[Emit, ...]:
    """One function for each place of that level that the table names, in its order."""
    places = dict.fromkeys(rule.from_ for rule in table.rule if rule.place.level == level)
    made = []
    for path in places:
        rules = [rule for rule in table.rule if rule.from_ == path]
        if any(rule.to for rule in rules):
            made.append(_emitter(rules[0].place, rules, forms))
    return tuple(made)


def _emitter(place: Place, rules: list[Rule], forms: Mapping[str, Form]) -> Emit:
    say = _sayer(Choice(place, rules), forms)
    first = place.chain[0]
    get = attrgetter(first.field)
    if len(place.chain) == 2 and first.many and not place.chain[1].many:
        return _of_pairs(get, attrgetter(place.chain[1].field), say)
    if len(place.chain) > 1:
        return _of_containers(get, first.many, _walk(place, 1), say)
    if not first.many:

        def one(node: Any, add: Add) -> None:
            if (value := get(node)) is not None:
                say(value, node, add)

        return one

    def many(node: Any, add: Add) -> None:
        for value in get(node):
            say(value, node, add)

    return many


def _of_pairs(get: attrgetter[Any], inner: attrgetter[Any], say: Any) -> Emit:
    """Containers of which each holds the value once: the usual case, without lists."""

    def emit(node: Any, add: Add) -> None:
        for container in get(node):
            if (value := inner(container)) is not None:
                say(value, container, add)

    return emit


def _of_containers(get: attrgetter[Any], many: bool, walk: Any, say: Any) -> Emit:
    def emit(node: Any, add: Add) -> None:
        found = get(node)
        for container in found if many else (found,) if found is not None else ():
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


def _sayer(choose: Choice[Rule], forms: Mapping[str, Form]) -> Callable[[Any, Any, Add], None]:
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

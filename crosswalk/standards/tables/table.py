"""A crosswalk table as data: its rows, and how the shipped file and a house's own file become one table."""

from __future__ import annotations

from collections.abc import Callable
from functools import cache
from pathlib import Path
from typing import Any, Literal

import msgspec

from crosswalk.errors import MappingError
from crosswalk.records import shape
from crosswalk.resources import resource
from crosswalk.standards.tables.paths import Place, all_paths, resolve
from crosswalk.tomlio import complaint, load_toml

Condition = str | tuple[str, ...]


class Rule(msgspec.Struct, frozen=True, kw_only=True, forbid_unknown_fields=True, rename="kebab"):
    """One row: a place in the record, under which condition, to which property, in which form.

    `when` names attributes of the value (`titleType`) or texts beside it (`coverage-type`), each with the wordings
    that fit; the first of them is what a reader makes of the property. `"*"` fits any text. An empty `to` says that
    the value is not carried. `also` are further properties that say the same. In a table that makes nodes, `about`
    says what the statement is about: what the value stands in, or the whole record; and an `extra` row is said beside
    the row that was chosen. The form `prose` is a text in the language of the house, where that is known.
    """

    from_: str = msgspec.field(name="from")
    to: str = ""
    when: dict[str, Condition] = {}
    begins: tuple[str, ...] = ()  # the text begins with one of these
    form: str = "plain"
    also: tuple[str, ...] = ()
    about: Literal["parent", "record"] = "parent"
    extra: bool = False
    read: bool = True  # whether a reader goes this way back
    departs: str = ""  # why this differs from the published mapping
    note: str = ""
    source: str = ""

    @property
    def place(self) -> Place:
        """Where the value stands."""
        place = resolve(self.from_)
        assert place is not None, self.from_  # load() has made sure
        return place


class Node(msgspec.Struct, frozen=True, kw_only=True, forbid_unknown_fields=True, rename="kebab"):
    """One row of a table that makes nodes: what stands at a place becomes a node of these classes, linked by these
    properties (the first is the one that a reader follows)."""

    from_: str = msgspec.field(name="from")
    classes: tuple[str, ...] = ()
    when: dict[str, Condition] = {}
    link: tuple[str, ...] = ()
    back: str = ""  # the property from the node to what it belongs to
    value: str = ""  # the property that takes the text, where it is not rdf:value
    relators: str = ""  # the child whose texts are roles: each links the node by its MARC relator too
    note: str = ""
    source: str = ""


class Table(msgspec.Struct, frozen=True, kw_only=True, forbid_unknown_fields=True):
    """A crosswalk table."""

    target: str
    title: str
    source: str = ""
    rule: tuple[Rule, ...] = ()
    node: tuple[Node, ...] = ()

    def unspoken(self) -> Table:
        """The table for a house that does not say in which language its prose is: prose is plain text."""
        plain = (msgspec.structs.replace(rule, form="plain") if rule.form == "prose" else rule for rule in self.rule)
        return msgspec.structs.replace(self, rule=tuple(plain))

    def rules_at(self, path: str) -> list[Rule]:
        """The rows that state something of what stands at a place."""
        return [rule for rule in self.rule if rule.from_ == path and rule.to]

    def nodes_at(self, path: str) -> list[Node]:
        """The rows that make a node of what stands at a place."""
        return [row for row in self.node if row.from_ == path]


class Known(msgspec.Struct, frozen=True):
    """What a table for one standard may name: its properties and its forms."""

    properties: Callable[[], frozenset[str]]
    forms: frozenset[str]


@cache
def load(target: str, known: Known, house: str = "") -> Table:
    """The shipped table of that name, with the rows of the house's own file before it; a row of the house with the
    same `from` and `when` takes the place of a shipped one.

    Raises MappingError with file, line, key and near names where a row names what does not exist.
    """
    shipped = _parsed(resource("mappings", "crosswalks", f"{target}.toml"), known)
    if not house:
        return shipped
    own = _parsed(Path(house), known)
    if own.target != target:
        problem = f'target = "{own.target}" is a table for another standard'
        raise MappingError(house, problem, f'write target = "{target}", or name this file where it belongs')
    replaced = {(rule.from_, _key(rule.when)) for rule in own.rule}
    kept = tuple(rule for rule in shipped.rule if (rule.from_, _key(rule.when)) not in replaced)
    nodes = {(node.from_, _key(node.when)) for node in own.node}
    kept_nodes = tuple(node for node in shipped.node if (node.from_, _key(node.when)) not in nodes)
    return msgspec.structs.replace(shipped, rule=_in_place(own.rule, kept, shipped.rule), node=own.node + kept_nodes)


def _in_place(own: tuple[Rule, ...], kept: tuple[Rule, ...], shipped: tuple[Rule, ...]) -> tuple[Rule, ...]:
    """The house's rows before the shipped ones of the same place, so that the order of the output stays."""
    places = dict.fromkeys(rule.from_ for rule in (*shipped, *own))
    return tuple(rule for place in places for rule in (*own, *kept) if rule.from_ == place)


def _key(when: dict[str, Condition]) -> tuple[tuple[str, Condition], ...]:
    return tuple(sorted(when.items()))


def _parsed(path: Path, known: Known) -> Table:
    table = load_toml(path, Table)
    _Check(path, known).table(table)
    return table


class _Check:
    """What a row names must exist; if not, the message says where it stands and what is near."""

    def __init__(self, path: Path, known: Known) -> None:
        self.path, self.known = path, known

    def table(self, table: Table) -> None:
        for rule in table.rule:
            place = self.place(rule.from_)
            self.condition(rule.when, place)
            self.one_of("form", rule.form, self.known.forms)
            for name in (rule.to, *rule.also):
                self.one_of("to" if name == rule.to else "also", name, self.known.properties() | {""})
        for node in table.node:
            self.condition(node.when, self.place(node.from_))
            for name in (*node.link, *node.classes, node.back, node.value):
                self.one_of("node", name, self.known.properties() | {""})

    def place(self, path: str) -> Place:
        self.one_of("from", path, all_paths())
        place = resolve(path)
        assert place is not None
        return place

    def condition(self, when: dict[str, Condition], place: Place) -> None:
        for key in when:
            self.one_of("when", key, conditions(place))

    def one_of(self, key: str, value: str, names: frozenset[str] | tuple[str, ...]) -> None:
        if value in names:
            return
        from rapidfuzz import process  # late: only for a mistake

        near = [name for name, _, _ in process.extract(value, sorted(filter(None, names)), limit=3, score_cutoff=60)]
        step = f"did you mean {' or '.join(near)}?" if near else "see the shipped tables for what there is"
        raise complaint(self.path, value, f'{key} = "{value}" is unknown', step)


def conditions(place: Place) -> tuple[str, ...]:
    """What a condition at that place may name: attributes of the value, texts beside it, children of a container."""
    beside = [child.path for child in shape(place.parent).children] if place.chain else []
    inside = [child.path for child in shape(place.cls).children]
    return (*place.attributes, *beside, *inside)


def as_tuple(condition: Any) -> tuple[str, ...]:
    """The wordings of a condition.

    >>> as_tuple("Spatial")
    ('Spatial',)
    """
    return (condition,) if isinstance(condition, str) else tuple(condition)

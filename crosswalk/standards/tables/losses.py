"""What a table cannot carry: declared from its rows, and counted value by value in a run. One source for both."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Iterator, Mapping
from functools import cached_property
from typing import Any

import msgspec

from crosswalk.records import Record
from crosswalk.standards.base import Loss, Lost, Standard, WriteOptions
from crosswalk.standards.tables.choice import Choice, folded, getter, said_by
from crosswalk.standards.tables.flat import levels, walker
from crosswalk.standards.tables.forms import Form
from crosswalk.standards.tables.paths import Place, all_paths, is_nested, is_value, resolve
from crosswalk.standards.tables.table import Rule, Table, as_tuple

NO_PLACE = "the standard has no place for it"
FLATTENED = "which carrier or file it belongs to"
_WHICH = {"instantiation": FLATTENED, "track": "which track it belongs to"}
_CLOSED = {"coverage-type": ("Spatial", "Temporal")}  # texts that PBCore allows no other beside


class Field:
    """One place of the record model, and what a flat table makes of the values there."""

    def __init__(self, path: str, table: Table, forms: Mapping[str, Form]) -> None:
        place = resolve(path)
        assert place is not None
        self.path, self.place, self.forms = path, place, forms
        self.rules = [rule for rule in table.rule if rule.from_ == path]
        self.choose = Choice(place, self.rules)
        self.governs = _governed(place, table)
        self.governing_rows = [rule for rule in table.rule if self.governs and rule.from_ == self.governs.path]
        self.governing = Choice(self.governs, self.governing_rows) if self.governs else None

    @cached_property
    def carried(self) -> str:
        """The most that can be lost of a value that says all it can: nothing ("whole"), a part, or all ("none")."""
        if not self._always:
            return "none"
        partly = self.place.attributes or self.place.level in _WHICH or self.place.chain[-1].path == "part"
        return "part" if partly else "whole"

    @cached_property
    def why(self) -> str:
        """The reason in words: of the row that says that it is not carried, or what goes."""
        if self.carried == "none":
            fitting = [" or ".join(as_tuple(words)) for rule in self._carrying for words in rule.when.values()]
            return next((rule.note for rule in self.rules if rule.note), _only(fitting))
        goes = [name for name in self.place.attributes if name not in self._never_lost]
        which = [_WHICH[self.place.level]] if self.place.level in _WHICH else []
        whole = ["all but its name"] if self.place.chain[-1].path == "part" else []
        return "goes: " + ", ".join(whole or goes + which)

    @cached_property
    def _carrying(self) -> list[Rule]:
        """The rows by which a value, or the type that this text is, reaches the output."""
        if self.governs is None:
            return [rule for rule in self.rules if rule.to]
        key = self.place.chain[-1].path
        return [rule for rule in self.governing_rows if rule.to and key in rule.when]

    @cached_property
    def _always(self) -> bool:
        """Whether some row fits every text."""
        if self.governs is None:
            return any(not rule.when and not rule.begins for rule in self._carrying)
        key = self.place.chain[-1].path
        return set(_CLOSED.get(key, ("",))) <= {word for rule in self._carrying for word in as_tuple(rule.when[key])}

    @cached_property
    def _never_lost(self) -> set[str]:
        used = {field for rule in self.rules for field in self.forms[rule.form].uses}
        return {name for name, field in self.place.attributes.items() if field in used}

    def lost(self, value: Any, parent: Any) -> tuple[str, str]:
        """How much of a value is carried, and what goes."""
        rule = self.choose(value, parent) if self.rules else None
        if self.governing is not None:
            if not self._said_beside(value, parent):
                return "none", ""
            gone = self._attributes(value, set())
        elif rule is None or not rule.to or not (written := self.forms[rule.form].write(value)):
            return "none", ""
        elif self.place.chain[-1].path == "part":
            return "part", "all but its name"
        else:
            gone = self._attributes(value, self._said(rule, value)) + self._text(rule, value, written)
        gone += self._what_it_is(rule)
        return ("part", ", ".join(gone)) if gone else ("whole", "")

    def _what_it_is(self, rule: Rule | None) -> list[str]:
        if self.place.level in _WHICH:
            return [_WHICH[self.place.level]]
        return [f"that it is: {self.place.chain[-1].path}"] if rule and not rule.read else []

    def _attributes(self, value: Any, said: set[str]) -> list[str]:
        return [
            name for name, field in self.place.attributes.items()
            if field not in said and getattr(value, field) is not None
        ]  # fmt: skip

    def _said(self, rule: Rule, value: Any) -> set[str]:
        """The fields of the value that a reader gets back beside the text."""
        attributes = self.place.attributes
        said = {attributes[key]: text for key, text in said_by(rule, self.place).items() if key in attributes}
        kept = {field for field, text in said.items() if getattr(value, field) == text}
        return kept | set(self.forms[rule.form].uses)

    def _text(self, rule: Rule, value: Any, written: Any) -> list[str]:
        back = self.forms[rule.form].read(*written[0]) if len(written) == 1 else None
        if len(written) > 1:
            return ["which codes stand together"]
        return [] if back and back["text"] == value.text else ["the wording"]

    def _said_beside(self, value: Any, parent: Any) -> bool:
        """Whether the property chosen for the text beside this one says this one too."""
        assert self.governs is not None and self.governing is not None
        key = self.place.chain[-1].path
        for main, container in walker_of(self.governs, parent):
            rule = self.governing(main, container)
            if rule and rule.to and key in rule.when:
                mine = getter(self.governs, key)(main, container)
                return mine == (value.text,) and folded(said_by(rule, self.governs).get(key, "")) == folded(value.text)
        return False


def _only(fitting: list[str]) -> str:
    return f"carried only where it says {', '.join(fitting)}" if fitting else NO_PLACE


def walker_of(place: Place, parent: Any) -> list[tuple[Any, Any]]:
    """The values of the last child of a place in the container that is given."""
    found = getattr(parent, place.chain[-1].field)
    return [(x, parent) for x in found] if place.chain[-1].many else [(found, parent)] if found is not None else []


def _governed(place: Place, table: Table) -> Place | None:
    """The place whose rows have this text beside it as a condition (a relation's type chooses its property)."""
    if len(place.chain) < 2:
        return None
    container, _, key = place.path.rpartition(".")
    rows = (rule for rule in table.rule if rule.from_.rpartition(".")[0] == container and key in rule.when and rule.to)
    return next((rule.place for rule in rows if key not in rule.place.attributes), None)


class Losses:
    """The losses of one flat table."""

    def __init__(self, table: Table, forms: Mapping[str, Form]) -> None:
        places = [place for path in all_paths() if (place := resolve(path)) is not None]
        self._fields = [Field(place.path, table, forms) for place in places if is_value(place)]
        self._holders = [place for place in places if not is_value(place) and not is_nested(place) and place.attributes]

    def declared(self) -> tuple[Loss, ...]:
        """What the table cannot carry, field by field, in the order of the record model."""
        fields = [Loss(field.path, field.carried, field.why) for field in self._fields if field.carried != "whole"]
        holders = [Loss(f"{at.path}@{name}", "none", NO_PLACE) for at in self._holders for name in at.attributes]
        return tuple(fields + holders)

    def of(self, record: Record, name: str) -> Iterator[Lost]:
        """Every value of a record, with how much of it is carried; `name` is the record's identifier."""
        for level, node in levels(record):
            for field in self._fields:
                if field.place.level == level:
                    yield from self._values(field, node, name)
            for place in self._holders:
                if place.level == level:
                    yield from _attributes(place, node, name)

    def _values(self, field: Field, node: Any, name: str) -> Iterator[Lost]:
        for value, parent in walker(field.path)(node):
            carried, gone = field.lost(value, parent)
            yield Lost(name, field.path, shown(value), carried, gone)


def whole(record: Record, name: str) -> Iterator[Lost]:
    """Every value of a record as carried whole: what a standard tells that loses nothing."""
    places = [place for path in all_paths() if (place := resolve(path)) is not None and is_value(place)]
    for level, node in levels(record):
        for place in places:
            if place.level == level:
                for value, _ in walker(place.path)(node):
                    yield Lost(name, place.path, shown(value), "whole")


def shown(value: Any) -> str:
    """A value as a list of losses shows it."""
    if hasattr(value, "text"):
        return str(value.text)
    if hasattr(value, "xml"):
        return str(value.xml)
    return next((identifier.text for identifier in value.identifiers), "")


def _attributes(place: Place, node: Any, name: str) -> Iterator[Lost]:
    holders = [value for value, _ in walker(place.path)(node)] if place.chain else [node]
    for holder in holders:
        for attribute, field in place.attributes.items():
            if (text := getattr(holder, field)) is not None:
                yield Lost(name, f"{place.path}@{attribute}", text, "none", attribute)


class Count(msgspec.Struct, frozen=True):
    """How many values of one field were carried whole, in part and not at all, and what went of those in part."""

    field: str
    whole: int
    part: int
    none: int
    gone: tuple[str, ...]


def count_losses(standard: Standard, records: Iterable[Record], options: WriteOptions | None = None) -> list[Count]:
    """What a run in that standard would lose of the records, field by field: for the report and for the README.

    Nothing is written. The rows come in the order in which the fields first occur.
    """
    assert standard.write is not None
    seen: list[Lost] = []
    counted = msgspec.structs.replace(options or WriteOptions(), on_loss=seen.append)
    for _ in standard.write(records, counted):
        pass
    return tally(seen)


def tally(lost: Iterable[Lost]) -> list[Count]:
    """The values that `on_loss` was told, counted field by field."""
    carried: Counter[tuple[str, str]] = Counter()
    gone: dict[str, dict[str, None]] = {}
    for one in lost:
        carried[one.field, one.carried] += 1
        gone.setdefault(one.field, {}).update(dict.fromkeys(filter(None, one.gone.split(", "))))
    return [
        Count(field, carried[field, "whole"], carried[field, "part"], carried[field, "none"], tuple(words))
        for field, words in gone.items()
    ]

"""Which row of a table holds for a value: settled once for each combination of types that occurs."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from operator import attrgetter
from typing import Any, Generic, TypeVar

from crosswalk.records import Plain, shape
from crosswalk.standards.tables.paths import Place
from crosswalk.standards.tables.table import Node, Rule, as_tuple

Row = TypeVar("Row", Rule, Node)
Getter = Callable[[Any, Any], tuple[str, ...]]
_REMEMBERED = 4096


class Choice(Generic[Row]):
    """Chooses among the rows for one place. What is asked for is remembered: an archive has few types."""

    def __init__(self, place: Place, rows: Sequence[Row]) -> None:
        self._rows: Sequence[Row] = rows
        self._keys = sorted({key for row in rows for key in row.when})
        self._getters = [getter(place, key) for key in self._keys]
        self._texts = any(isinstance(row, Rule) and row.begins for row in rows)
        self._known: dict[Any, Row | None] = {}
        self._field = place.attributes.get(self._keys[0], "") if len(self._keys) == 1 and not self._texts else ""
        self.key: Getter | None = self._getters[0] if len(self._keys) == 1 and not self._texts else None
        self.only: Row | None = rows[0] if rows and not self._keys and not self._texts else None

    def __call__(self, value: Any, parent: Any) -> Row | None:
        """The first row that fits the value, or None."""
        if self.only is not None:
            return self.only
        if self._field:
            text = getattr(value, self._field)
            found = self._known.get(text, self)
            return self._settle(text, (() if text is None else (text,),)) if found is self else found  # type: ignore[return-value]
        asked: tuple[Any, ...] = tuple([get(value, parent) for get in self._getters])
        if self._texts:
            started = (row for row in self._rows if begins(row, value.text))
            return next((row for row in started if not row.when or self._fits(row, asked)), None)
        try:
            return self._known[asked]
        except KeyError:
            return self._settle(asked, asked)

    def _settle(self, key: Any, asked: tuple[Any, ...]) -> Row | None:
        if len(self._known) >= _REMEMBERED:
            self._known.clear()
        found = self._known[key] = next((row for row in self._rows if self._fits(row, asked)), None)
        return found

    def _fits(self, row: Row, asked: tuple[Any, ...]) -> bool:
        found = dict(zip(self._keys, asked, strict=True))
        return all(_fits(found[key], as_tuple(wanted)) for key, wanted in row.when.items())


def begins(row: Rule | Node, text: str) -> bool:
    """Whether the text begins as the row wants it."""
    return isinstance(row, Node) or not row.begins or text.startswith(row.begins)


def getter(place: Place, key: str) -> Getter:
    """A function that gives the texts a condition asks for: of an attribute, beside the value, or in a container."""
    if key in place.attributes:
        field = place.attributes[key]
        return lambda value, parent: (text,) if (text := getattr(value, field)) else ()
    inside = shape(place.cls).child(key)
    child = inside or shape(place.parent).child(key)
    assert child is not None, key
    get = attrgetter(child.field)
    if child.many:
        return lambda value, parent: tuple(x.text for x in get(value if inside else parent) if isinstance(x, Plain))
    return lambda value, parent: (x.text,) if isinstance(x := get(value if inside else parent), Plain) else ()


def folded(text: str) -> str:
    """How wordings of a condition are compared: case and spaces do not count.

    >>> folded(" Is Part  Of")
    'is part of'
    """
    return " ".join(text.casefold().split())


def _fits(found: tuple[str, ...], wanted: tuple[str, ...]) -> bool:
    if "*" in wanted:
        return bool(found)
    fitting = {folded(text) for text in wanted}
    return any(folded(text) in fitting for text in found)


def said_by(rule: Rule, place: Place) -> dict[str, str]:
    """What a reader of the property knows beside the text: condition, its first wording."""
    return {key: as_tuple(wanted)[0] for key, wanted in rule.when.items() if "*" not in as_tuple(wanted)}

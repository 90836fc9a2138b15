"""What a record must have: the elements and attributes that the record model calls required."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator
from functools import cache
from operator import attrgetter
from typing import Any

from crosswalk.checks.place import Place, below
from crosswalk.findings import Finding, finding
from crosswalk.records import (
    Asset,
    AssetRelation,
    Contributor,
    Coverage,
    Creator,
    Instantiation,
    InstantiationRelation,
    Node,
    Part,
    Plain,
    Publisher,
    shape,
)

_GROUPS = {
    Asset: ("relations", "coverages", "creators", "contributors", "publishers"),
    Part: ("relations", "coverages", "creators", "contributors", "publishers"),
    Instantiation: ("relations",),
}
_GROUP_CLASSES = (AssetRelation, Coverage, Creator, Contributor, Publisher, InstantiationRelation)


@cache
def needed(cls: type[Node]) -> dict[str, str]:
    """The fields that may not be empty, with the names of their elements.

    >>> needed(Instantiation)
    {'identifiers': 'instantiationIdentifier', 'location': 'instantiationLocation'}
    """
    return {child.field: child.element for child in shape(cls).children if child.least}


def _getter(fields: Iterable[str]) -> Callable[[Node], tuple[object, ...]]:
    """A function that gives the values of the fields as a tuple, even of one."""
    names = tuple(fields)
    return attrgetter(*names) if len(names) > 1 else lambda node: (getattr(node, names[0]),)


_needed_values: dict[Any, Callable[[Node], tuple[object, ...]]] = {
    cls: _getter(needed(cls)) for cls in (*_GROUPS, *_GROUP_CLASSES)
}
_group_values = {cls: _getter(fields) for cls, fields in _GROUPS.items()}


def required_elements(node: Asset | Instantiation, path: str, place: Place) -> Iterable[Finding]:
    """RC01: an element is missing in the record, or in one of the groups in it.

    >>> [f.message for f in required_elements(Instantiation(), "", Place())][1]
    'instantiationLocation is missing'
    """
    if all(_needed_values[type(node)](node)):
        for groups in _group_values[type(node)](node):
            for group in groups:  # type: ignore[attr-defined]  # the fields of _GROUPS are tuples
                if not all(_needed_values[type(group)](group)):
                    return _all_missing(node, path, place)
        return ()
    return _all_missing(node, path, place)


def _all_missing(node: Asset | Instantiation, path: str, place: Place) -> Iterator[Finding]:
    yield from _missing(node, path, place)
    elements = {child.field: child.element for child in shape(type(node)).children}
    for field in _GROUPS[type(node)]:
        for number, group in enumerate(getattr(node, field), 1):
            yield from _missing(group, below(path, f"{elements[field]}[{number}]"), place)


def _missing(node: Node, path: str, place: Place) -> Iterator[Finding]:
    for field, element in needed(type(node)).items():
        if not getattr(node, field):
            yield finding("RC01", place.at(path), f"{element} is missing")


def required_sources(node: Asset | Instantiation, path: str, place: Place) -> Iterable[Finding]:
    """RC02: an identifier does not say whose it is.

    >>> from crosswalk.records import Identifier
    >>> [f.code for f in required_sources(Asset(identifiers=(Identifier("0117"),)), "", Place())]
    ['RC02']
    """
    for identifier in node.identifiers:
        if not identifier.source:
            return _sourceless(node, path, place)
    return ()


def _sourceless(node: Asset | Instantiation, path: str, place: Place) -> Iterator[Finding]:
    element = needed(type(node))["identifiers"]
    for number, identifier in enumerate(node.identifiers, 1):
        if not identifier.source:
            origin = place.at(below(path, f"{element}[{number}]"), identifier)
            yield finding("RC02", origin, f'the identifier "{identifier.text}" has no source', value=identifier.text)


def required_texts(node: Asset | Instantiation, path: str, place: Place) -> Iterable[Finding]:
    """RC03: an element that must say something is empty.

    >>> from crosswalk.records import Text
    >>> [f.message for f in required_texts(Instantiation(location=Text(" ")), "", Place())]
    ['instantiationLocation is empty']
    """
    for value in _needed_values[type(node)](node):
        for item in value if isinstance(value, tuple) else (value,):
            if isinstance(item, Plain) and (not item.text or item.text.isspace()):
                return _empty(node, path, place)
    return ()


def _empty(node: Asset | Instantiation, path: str, place: Place) -> Iterator[Finding]:
    for field, element in needed(type(node)).items():
        value = getattr(node, field)
        for number, item in enumerate(value if isinstance(value, tuple) else (value,), 1):
            if isinstance(item, Plain) and not item.text.strip():
                step = f"{element}[{number}]" if isinstance(value, tuple) else element
                yield finding("RC03", place.at(below(path, step), item), f"{element} is empty")


ASSET = INSTANTIATION = (required_elements, required_sources, required_texts)

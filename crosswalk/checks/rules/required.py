"""What a record must have: the elements and attributes that the record model calls required."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator
from functools import cache
from typing import Any, cast

from crosswalk.checks.place import Place, below
from crosswalk.findings import Finding, finding
from crosswalk.records import Asset, Instantiation, Node, Part, Plain, shape

_GROUPS: dict[type[Node], tuple[str, ...]] = {  # groups of elements in which something is required too
    Asset: ("relations", "coverages", "creators", "contributors", "publishers"),
    Part: ("relations", "coverages", "creators", "contributors", "publishers"),
    Instantiation: ("relations",),
}


@cache
def needed(cls: type[Node]) -> dict[str, str]:
    """The fields that may not be empty, with the names of their elements.

    >>> needed(Instantiation)
    {'identifiers': 'instantiationIdentifier', 'location': 'instantiationLocation'}
    """
    return {child.field: child.element for child in shape(cls).children if child.least}


def required(node: Asset | Instantiation, path: str, place: Place) -> Iterable[Finding]:
    """RC01, RC02, RC03: what a record must have, and that it says something.

    >>> [f.message for f in required(Instantiation(), "", Place())][1]
    'instantiationLocation is missing'
    """
    if _is_whole(type(node))(node):
        return ()
    return [*_all_missing(node, path, place), *_sourceless(node, path, place), *_empty(node, path, place)]


@cache
def _is_whole(cls: type[Node]) -> Callable[[Node], bool]:
    """A function that says whether nothing required is missing or empty. Written out from the model and compiled, since
    every node of a collection goes through it."""
    lines = ["def is_whole(node):", *_present(cls, "node")]
    children = {child.field: child for child in shape(cls).children}
    for field in _GROUPS.get(cls, ()):
        lines += [f"    for group in node.{field}:"]
        lines += [f"    {line}" for line in _present(children[field].cls, "group")]
    scope: dict[str, Any] = {}
    exec("\n".join([*lines, "    return True"]), scope)  # noqa: S102  # of the model only, nothing from outside
    return cast("Callable[[Node], bool]", scope["is_whole"])


def _present(cls: type[Node], name: str) -> Iterator[str]:
    """The lines of code that ask for the required children of a node, and for required attributes and text in them."""
    for child in shape(cls).children:
        if not child.least:
            continue
        asked = [f"value.{one.field}" for one in shape(child.cls).attributes if one.required]
        asked += ["value.text.strip()"] if shape(child.cls).content == "text" else []
        yield f"    found = {name}.{child.field}"
        yield "    if not found: return False"
        if asked:
            yield f"    for value in {'found' if child.many else '(found,)'}:"
            yield f"        if not ({' and '.join(asked)}): return False"


def _all_missing(node: Asset | Instantiation, path: str, place: Place) -> Iterator[Finding]:
    yield from _missing(node, path, place)
    elements = {child.field: child.element for child in shape(type(node)).children}
    for field in _GROUPS[type(node)]:
        for number, group in enumerate(getattr(node, field), 1):
            step = below(path, f"{elements[field]}[{number}]")
            yield from _missing(group, step, place)
            yield from _empty(group, step, place)


def _missing(node: Node, path: str, place: Place) -> Iterator[Finding]:
    for field, element in needed(type(node)).items():
        if not getattr(node, field):
            yield finding("RC01", place.at(path), f"{element} is missing")


def _sourceless(node: Asset | Instantiation, path: str, place: Place) -> Iterator[Finding]:
    element = needed(type(node))["identifiers"]
    for number, identifier in enumerate(node.identifiers, 1):
        if not identifier.source:
            origin = place.at(below(path, f"{element}[{number}]"), identifier)
            yield finding("RC02", origin, f'the identifier "{identifier.text}" has no source', value=identifier.text)


def _empty(node: Node, path: str, place: Place) -> Iterator[Finding]:
    for field, element in needed(type(node)).items():
        value = getattr(node, field)
        for number, item in enumerate(value if isinstance(value, tuple) else (value,), 1):
            if isinstance(item, Plain) and not item.text.strip():
                step = f"{element}[{number}]" if isinstance(value, tuple) else element
                yield finding("RC03", place.at(below(path, step), item), f"{element} is empty")


ASSET = INSTANTIATION = (required,)

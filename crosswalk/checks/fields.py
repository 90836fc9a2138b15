"""Fields of records by the names that mappings and profiles use: `asset.title`, `asset.title@titleType`,
`instantiation.rights.link`. Derived from the record model, so a field of the model needs no row here.
"""

from __future__ import annotations

from collections.abc import Iterator
from functools import cache
from typing import NamedTuple

from crosswalk.checks.place import below
from crosswalk.records import LEVELS, Asset, Child, Embedded, Instantiation, Node, Plain, Record, Value, shape


class Field(NamedTuple):
    """One field, compiled: the level it starts at, the steps down from there, and the attribute at the end or ""."""

    name: str
    level: str
    steps: tuple[Child, ...]
    attribute: str


class Found(NamedTuple):
    """One text that a field has in a record: where it stands, and the value with its evidence."""

    text: str
    path: str
    value: Value | None


class UnknownField(ValueError):
    """There is no such field; the message says which there are."""


@cache
def field(name: str) -> Field:
    """The field of that name; raises UnknownField.

    >>> field("asset.title@titleType").attribute
    'title_type'
    >>> field("asset.tilte")
    Traceback (most recent call last):
    crosswalk.checks.fields.UnknownField: asset has no field "tilte"; perhaps title
    """
    path, _, attribute = name.partition("@")
    level, *names = path.split(".")
    if level not in LEVELS:
        raise UnknownField(f'"{level}" is none of {", ".join(LEVELS)}')
    cls: type[Node] = LEVELS[level]
    steps: list[Child] = []
    for step in names:
        child = shape(cls).child(step)
        if child is None:
            raise UnknownField(f'{path.partition(".")[0]} has no field "{step}"' + _perhaps(step, cls))
        steps.append(child)
        cls = child.cls
    return Field(name, level, tuple(steps), _attribute(attribute, cls, path) if attribute else "")


def _attribute(name: str, cls: type[Node], path: str) -> str:
    known = {attribute.name: attribute.field for attribute in shape(cls).attributes}
    if name not in known:
        raise UnknownField(f'{path} has no attribute "{name}"; it has {", ".join(known) or "none"}')
    return known[name]


def _perhaps(step: str, cls: type[Node]) -> str:
    from difflib import get_close_matches  # late: only a mistake needs it

    known = [child.path for child in shape(cls).children]
    close = get_close_matches(step, known, n=3)
    return f"; perhaps {' or '.join(close)}" if close else f"; it has {', '.join(known)}"


def nodes(record: Record, level: str) -> Iterator[tuple[Node, str]]:
    """The nodes of a level in a record, with their paths; parts of instantiations are instantiations too."""
    if level == "asset":
        if isinstance(record, Asset):
            yield record, ""
        return
    for node, path in _instantiations(record):
        if level == "instantiation":
            yield node, path
        else:
            for number, track in enumerate(node.essence_tracks, 1):
                yield track, below(path, f"instantiationEssenceTrack[{number}]")


def _instantiations(record: Record) -> Iterator[tuple[Instantiation, str]]:
    if isinstance(record, Instantiation):
        yield from _with_parts(record, "")
        return
    for number, instantiation in enumerate(record.instantiations, 1):
        yield from _with_parts(instantiation, f"pbcoreInstantiation[{number}]")


def _with_parts(node: Instantiation, path: str) -> Iterator[tuple[Instantiation, str]]:
    yield node, path
    for number, part in enumerate(node.parts, 1):
        yield from _with_parts(part, below(path, f"instantiationPart[{number}]"))


def texts(node: Node, wanted: Field, path: str) -> Iterator[Found]:
    """The texts of a field in a node of its level that say something. A field that ends at a group of elements counts
    the groups.

    >>> from crosswalk.records import Title
    >>> [found.text for found in texts(Asset(titles=(Title("Tideline"),)), field("asset.title"), "")]
    ['Tideline']
    """
    yield from _down(node, wanted.steps, wanted.attribute, path, None)


def _down(node: Node, steps: tuple[Child, ...], attribute: str, path: str, value: Value | None) -> Iterator[Found]:
    if not steps:
        text = getattr(node, attribute) if attribute else _said(node)
        if text and text.strip():
            yield Found(text.strip(), path, value)
        return
    child = steps[0]
    held = getattr(node, child.field)
    for number, item in enumerate(held if child.many else (held,) if held is not None else (), 1):
        step = f"{child.element}[{number}]" if child.many else child.element
        yield from _down(item, steps[1:], attribute, below(path, step), item if isinstance(item, Value) else value)


def _said(node: Node) -> str:
    if isinstance(node, Plain):
        return node.text
    return node.xml if isinstance(node, Embedded) else type(node).__name__


def every_text(node: Node, path: str = "") -> Iterator[Found]:
    """Every text and attribute in a record, in document order.

    >>> from crosswalk.records import Title
    >>> [found.text for found in every_text(Asset(titles=(Title("Tideline", source="log"),)))]
    ['Tideline', 'log']
    """
    value = node if isinstance(node, Value) else None
    if isinstance(node, Plain | Embedded):
        yield Found(_said(node), path, value)
    form = shape(type(node))
    for attribute in form.attributes:
        if text := getattr(node, attribute.field):
            yield Found(text, path, value)
    for child in form.children:
        held = getattr(node, child.field)
        for number, item in enumerate(held if child.many else (held,) if held is not None else (), 1):
            yield from every_text(item, below(path, f"{child.element}[{number}]" if child.many else child.element))


def all_strings(node: Node, found: list[str]) -> list[str]:
    """Every text and attribute in a record without its place, which is several times quicker to get.

    >>> from crosswalk.records import Title
    >>> all_strings(Asset(titles=(Title("Tideline", source="log"),)), [])
    ['Tideline', 'log']
    """
    for name in node.__struct_fields__:
        value = getattr(node, name)
        if not value:
            continue
        if type(value) is str:
            found.append(value)
        elif type(value) is tuple:
            for item in value:
                all_strings(item, found)
        elif isinstance(value, Node):
            all_strings(value, found)
    return found

"""Elements of a record taken apart: what each says, piece by piece, and what of it a mapping's column could say."""

from __future__ import annotations

from collections.abc import Iterator

import msgspec

from crosswalk.mapping.targets import Target
from crosswalk.records import Child, Evidence, Extension, Node, shape


class Piece(msgspec.Struct, eq=False):
    """One child element of a record on its way back. `field` is its place in a record: `asset.title`. `taken` names the
    column or constant that took it, `rest` is what of it that leaves out, `why` says why none took it."""

    field: str
    child: Child
    node: Node
    taken: str = ""
    rest: dict[str, str] = {}
    why: str = ""


def pieces(holder: Node, level: str, without: tuple[str, ...] = ()) -> list[Piece]:
    """All child elements of a record, carrier or track, but for the fields named.

    >>> from crosswalk.records import Asset, Title
    >>> [piece.field for piece in pieces(Asset(titles=(Title("Tideline"),)), "asset")]
    ['asset.title']
    """
    return [
        Piece(f"{level}.{child.path}", child, node)
        for child in shape(type(holder)).children
        if child.field not in without
        for node in held(holder, child)
    ]


def held(holder: Node, child: Child) -> tuple[Node, ...]:
    """The elements of one kind that a node holds."""
    found = getattr(holder, child.field)
    if child.many:
        return tuple(found)
    return () if found is None else (found,)


def leaves(node: Node) -> dict[str, str]:
    """All that an element says: "" is its own text, `@ref` an attribute, `role`, `role#2`, `role@ref` what is inside.

    >>> from crosswalk.records import Text
    >>> leaves(Text("U-matic", ref="https://example.org/u"))
    {'': 'U-matic', '@ref': 'https://example.org/u'}
    """
    form = shape(type(node))
    said = {} if form.content == "children" else {"": str(getattr(node, form.content))}
    said |= attributes(node)
    for child in form.children:
        for number, inner in enumerate(held(node, child), 1):
            name = child.path if number == 1 else f"{child.path}#{number}"
            said |= {_below(name, leaf): text for leaf, text in leaves(inner).items()}
    return said


def attributes(node: Node) -> dict[str, str]:
    """The attributes of an element, by `@name`."""
    given = ((f"@{one.name}", getattr(node, one.field)) for one in shape(type(node)).attributes)
    return {name: value for name, value in given if value is not None}


def _below(name: str, leaf: str) -> str:
    return f"{name}.{leaf}" if leaf and not leaf.startswith("@") else name + leaf


def value_node(node: Node, target: Target) -> Node | None:
    """The element whose text a column holds: the node itself, or the one that its container is about."""
    if isinstance(node, Extension):
        return node.wraps[0].value if node.wraps else None
    return next(iter(held(node, target.main)), None) if target.main is not None else node


def text_of(node: Node | None) -> str | None:
    """The text of an element, None where it has none."""
    text = getattr(node, "text", None)
    return text if isinstance(text, str) else None


def evidence_of(node: Node, target: Target) -> Evidence | None:
    """The evidence of an element, where it came from the cell of a sheet."""
    found = getattr(value_node(node, target), "evidence", None)
    return found if isinstance(found, Evidence) and found.row and found.column >= 0 else None


def beside(node: Node, target: Target, name: str) -> str:
    """What an element says beside its text, under the name that mappings use (`role`, `type`, `unit`, ...)."""
    if isinstance(node, Extension):
        wrap = node.wraps[0]
        return (text_of(wrap.element) if name == "type" else wrap.source if name == "source" else None) or ""
    inner = value_node(node, target)
    if name == "role" or (name == "type" and target.main is not None and not target.type_attribute):
        companion = getattr(node, "roles" if name == "role" else "type", None)
        return text_of(next(iter(companion), None) if isinstance(companion, tuple) else companion) or ""
    attribute = {"unit": "units_of_measure", "type": target.type_attribute}.get(name, name)
    return getattr(inner, attribute, None) or "" if attribute else ""


def telling(target: Target) -> frozenset[str]:
    """What changes the meaning of a value: its type, its unit, the role. A column that does not say it cannot take it.

    >>> from crosswalk.mapping.targets import resolve
    >>> sorted(telling(resolve("asset.title")) - telling(resolve("asset.contributor")))
    ['@titleType', '@unitsOfMeasure']
    """
    inside = target.main.path if target.main is not None else ""
    names = [one.name for one in shape(target.value).attributes if one.field == target.type_attribute]
    own = (f"{inside}@{name}" for name in (*names, "unitsOfMeasure"))
    return frozenset({*own, "type", "role", "wrap.element"})


def lines(piece: Piece, rest: dict[str, str]) -> Iterator[tuple[str, str]]:
    """Place and text of some of what an element says, as a person would look for it."""
    for leaf, text in rest.items():
        own = leaf == "" or leaf.startswith("@")
        yield piece.field + (leaf if own else f".{leaf}"), text


def shown(node: Node) -> str:
    """An element as one text: its main text first."""
    said = leaves(node)
    return said.get("") or next((text for text in said.values()), "")

"""The gate: what leaves the house. Nothing that is not cleared passes, neither as a record nor inside one."""

from __future__ import annotations

from collections.abc import Callable
from functools import cache
from typing import TypeVar

import msgspec

from crosswalk.records import Asset, AssetRelation, Evidence, InstantiationRelation, Node, Part, Value, located, shape

N = TypeVar("N", bound=Node)


class Kept(msgspec.Struct, frozen=True):
    """Something taken out of a record before it went out, and why."""

    evidence: Evidence
    why: str


class Cleared(msgspec.Struct, frozen=True):
    """What a record may point to: assets that are open, and its own carriers and files."""

    is_open: Callable[[str], bool]
    own: set[str]

    def carrier(self, identifier: str) -> bool:
        """Whether a relation between carriers may point there."""
        return identifier in self.own or self.is_open(identifier)


class PublicCopy(msgspec.Struct, frozen=True):
    """The record as the public may see it, and what was taken out."""

    asset: Asset
    kept: list[Kept]


NOT_PUBLIC = "the mapping keeps this column in the house"
RELATION = "relates to a record that does not go out"
PART = "a part that is not open"


def public_copy(asset: Asset, is_open: Callable[[str], bool]) -> PublicCopy:
    """The asset without values that are not public, without relations to and parts of what is not open.

    `is_open` says whether the asset of an identifier is cleared; an identifier that it does not know is not.
    """
    kept: list[Kept] = []
    own = {identifier.text for copy in asset.instantiations for identifier in copy.identifiers}
    copy = _pruned(asset, Cleared(is_open, own), kept) or Asset()
    if kept and asset.evidence is not None:  # the cells of what was kept are wanted; most records keep nothing
        return public_copy(located(asset), is_open)
    return PublicCopy(copy, kept)


def _pruned(node: N, cleared: Cleared, kept: list[Kept]) -> N | None:
    reason = _withheld(node, cleared)
    if reason:
        kept.extend(Kept(evidence, reason) for evidence in _evidence(node))
        return None
    changed: dict[str, object] = {}
    for field, many in _children(type(node)):
        held = getattr(node, field)
        if not held:
            continue
        if many:
            left = [pruned for item in held if (pruned := _pruned(item, cleared, kept)) is not None]
            if len(left) != len(held) or any(new is not old for new, old in zip(left, held, strict=True)):
                changed[field] = tuple(left)
        else:
            pruned = _pruned(held, cleared, kept)
            if pruned is None and _is_core(type(node), field):
                return None
            if pruned is not held:
                changed[field] = pruned
    return msgspec.structs.replace(node, **changed) if changed else node


def _withheld(node: Node, cleared: Cleared) -> str:
    if isinstance(node, Value):
        return NOT_PUBLIC if node.evidence is not None and not node.evidence.public else ""
    if isinstance(node, AssetRelation):
        return "" if node.identifier is None or cleared.is_open(node.identifier.text) else RELATION
    if isinstance(node, InstantiationRelation):
        return "" if node.identifier is None or cleared.carrier(node.identifier.text) else RELATION
    if isinstance(node, Part):
        identifiers = [identifier.text for identifier in node.identifiers]
        return "" if identifiers and all(map(cleared.is_open, identifiers)) else PART
    return ""


def _evidence(node: Node) -> list[Evidence]:
    if isinstance(node, Value):
        return [node.evidence] if node.evidence is not None else []
    found = []
    for field, many in _children(type(node)):
        held = getattr(node, field)
        for child in held if many else [held] if held is not None else []:
            found.extend(_evidence(child))
    return found


@cache
def _children(cls: type[Node]) -> tuple[tuple[str, bool], ...]:
    return tuple((child.field, child.many) for child in shape(cls).children)


@cache
def _is_core(cls: type[Node], field: str) -> bool:
    """Whether a container says nothing without this child: a contributor without a name, a relation without an end."""
    children = shape(cls).children
    return cls is InstantiationRelation or (len(children) <= 3 and children[0].field == field)

"""Where a value goes: `asset.title` and the like, resolved against the record model, and how the element is made."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from functools import partial
from typing import TypeAlias

import msgspec

from crosswalk import records
from crosswalk.records import LEVELS, Child, Evidence, Node, shape

Maker: TypeAlias = Callable[[Evidence | None], Node]

# The child of a container that the cell's own text fills; its companions are filled by `type` and `role`.
MAIN: dict[type[Node], str] = {
    records.AssetRelation: "identifier",
    records.InstantiationRelation: "identifier",
    records.Coverage: "coverage",
    records.Creator: "creator",
    records.Contributor: "contributor",
    records.Publisher: "publisher",
    records.Rights: "summary",
    records.Extension: "wraps",
}


class Target(msgspec.Struct, frozen=True):
    """One field of the model that a mapping fills. `main` is the child of a container that takes the text."""

    path: str
    level: str  # asset, instantiation or track
    child: Child
    main: Child | None = None

    @property
    def value(self) -> type[Node]:
        """The class that the text itself becomes."""
        return (self.main or self.child).cls

    @property
    def type_attribute(self) -> str:
        """The attribute that says what kind of value it is (`title_type`), "" where there is none."""
        names = (attribute.field for attribute in shape(self.value).attributes)
        return next((name for name in names if name.endswith("_type")), "")


def paths() -> list[str]:
    """All that a mapping may name in `to`, sorted.

    >>> "asset.title" in paths(), "instantiation.physical" in paths(), "track.encoding" in paths()
    (True, True, True)
    """
    nested = {"instantiation", "part", "essence-track"}
    return sorted(
        f"{level}.{child.path}" for level, cls in LEVELS.items() for child in shape(cls).children
        if child.path not in nested
    )  # fmt: skip


def resolve(path: str) -> Target | None:
    """The target of that name, or None. A third part chooses within a container: `asset.rights-summary.link`.

    >>> resolve("asset.contributor").main.element
    'contributor'
    >>> resolve("asset.colour") is None
    True
    """
    level, _, rest = path.partition(".")
    name, _, inner = rest.partition(".")
    child = shape(LEVELS[level]).child(name) if level in LEVELS else None
    if child is None or f"{level}.{name}" not in paths():
        return None
    if child.cls not in MAIN:
        return None if inner else Target(path, level, child)
    wanted = inner or MAIN[child.cls]
    main = next((c for c in shape(child.cls).children if c.field == wanted), None)
    return Target(path, level, child, main) if main else None


class Companions(msgspec.Struct, frozen=True):
    """What stands beside the text: attributes by field name, and a container's type and roles."""

    attributes: Mapping[str, str] = {}
    type: str | None = None
    roles: tuple[str, ...] = ()


def maker(target: Target, text: str, beside: Companions) -> Maker:
    """A function that makes the element from its evidence; everything else is settled now.

    >>> maker(resolve("asset.title"), "Tideline", Companions(type="Series"))(None).title_type
    'Series'
    """
    if target.child.cls is records.Extension:
        return partial(_extension, text, beside)
    attributes = dict(beside.attributes)
    if beside.type and target.type_attribute:
        attributes[target.type_attribute] = beside.type
    value = _value(target.value, text, attributes)
    if target.main is None:
        return value
    return _container(target, target.main, value, beside)


def _value(cls: type[Node], text: str, attributes: dict[str, str]) -> Maker:
    make = partial(cls, text, **attributes)

    def value(evidence: Evidence | None) -> Node:
        return make(evidence=evidence)

    return value


def _container(target: Target, main: Child, value: Maker, beside: Companions) -> Maker:
    container = target.child.cls
    companions: dict[str, object] = {}
    children = {child.field: child for child in shape(container).children}
    if beside.type and "type" in children:
        companions["type"] = children["type"].cls(beside.type)
    if beside.roles and "roles" in children:
        companions["roles"] = tuple(children["roles"].cls(role) for role in beside.roles)
    make = partial(container, **companions)

    def wrapped(evidence: Evidence | None) -> Node:
        made = value(evidence)
        return make(**{main.field: (made,) if main.many else made})

    return wrapped


def _extension(text: str, beside: Companions, evidence: Evidence | None) -> Node:
    authority = beside.attributes.get("ref")
    wrap = records.ExtensionWrap(
        element=records.Plain(beside.type or ""),
        value=records.Plain(text, evidence=evidence),
        authority=records.Plain(authority) if authority else None,
        source=beside.attributes.get("source"),
    )
    return records.Extension(wraps=(wrap,))

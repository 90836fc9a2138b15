"""Where a value goes: `asset.title` and the like, resolved against the record model, and how the element is made."""

from __future__ import annotations

from collections.abc import Mapping
from functools import partial
from typing import Protocol

import msgspec

from crosswalk import records
from crosswalk.records import LEVELS, Child, Evidence, Node, shape


class Maker(Protocol):
    """Makes an element from its text and its evidence."""

    def __call__(self, text: str, evidence: Evidence | None = None) -> Node: ...  # noqa: D102


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
    on_asset: bool = False

    @property
    def value(self) -> type[Node]:
        """The class that the text itself becomes."""
        return (self.main or self.child).cls

    @property
    def takes_role(self) -> bool:
        """Whether roles can stand beside the value."""
        return any(child.field == "roles" for child in shape(self.child.cls).children)

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
        return None if inner else Target(path, level, child, None, level == "asset")
    wanted = inner or MAIN[child.cls]
    main = next((c for c in shape(child.cls).children if c.field == wanted), None)
    return Target(path, level, child, main, level == "asset") if main else None


class Companions(msgspec.Struct, frozen=True):
    """What stands beside the text: attributes by field name, and a container's type and roles."""

    attributes: Mapping[str, str] = {}
    type: str | None = None
    roles: tuple[str, ...] = ()


def factory(target: Target, beside: Companions) -> Maker:
    """What makes the element from its text. All but the text and its evidence is settled once.

    >>> factory(resolve("asset.title"), Companions(type="Series"))("Tideline").title_type
    'Series'
    """
    if target.child.cls is records.Extension:
        return partial(_extension, beside)
    attributes = dict(beside.attributes)
    if beside.type and target.type_attribute:
        attributes[target.type_attribute] = beside.type
    make = _maker(target.value, attributes)
    return make if target.main is None else _wrapper(target.child.cls, target.main, beside, make)


def _maker(cls: type[Node], attributes: Mapping[str, str]) -> Maker:
    given = _positional(cls, attributes)

    def made(text: str, evidence: Evidence | None = None) -> Node:
        return cls(text, *given, evidence=evidence)

    return made


def _positional(cls: type[Node], attributes: Mapping[str, str]) -> list[str | None]:
    """The attributes in the order of the class's fields: a partial call with keywords costs three times as much."""
    fields = [field for field in cls.__struct_fields__ if field not in ("text", "xml", "evidence")]
    last = max((number for number, field in enumerate(fields, 1) if field in attributes), default=0)
    return [attributes.get(field) for field in fields[:last]]


def _wrapper(container: type[Node], main: Child, beside: Companions, value: Maker) -> Maker:
    companions: dict[str, object] = {}
    children = {child.field: child for child in shape(container).children}
    if beside.type and "type" in children:
        companions["type"] = children["type"].cls(beside.type)
    if beside.roles and "roles" in children:
        companions["roles"] = tuple(children["roles"].cls(role) for role in beside.roles)
    make, field, many = partial(container, **companions), main.field, main.many

    def wrapped(text: str, evidence: Evidence | None = None) -> Node:
        made = value(text, evidence)
        return make(**{field: (made,) if many else made})

    return wrapped


def _extension(beside: Companions, text: str, evidence: Evidence | None = None) -> Node:
    authority = beside.attributes.get("ref")
    wrap = records.ExtensionWrap(
        element=records.Plain(beside.type or ""),
        value=records.Plain(text, evidence=evidence),
        authority=records.Plain(authority) if authority else None,
        source=beside.attributes.get("source"),
    )
    return records.Extension(wraps=(wrap,))

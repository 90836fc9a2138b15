"""Places in the record model, named as everywhere in this project: `asset.title`, `asset.creator.creator-role`."""

from __future__ import annotations

from collections.abc import Iterator
from functools import cache

import msgspec

from crosswalk.records import LEVELS, Child, Node, shape

_NESTED = {"instantiation": "instantiation", "essence-track": "track"}  # children that are a level of their own
_UNITS = ("part",)  # whole records inside a record, treated as one value where a standard has no place for them


class Place(msgspec.Struct, frozen=True):
    """One place below a level: the children to go through, and the class at the end."""

    path: str
    level: str
    chain: tuple[Child, ...]

    @property
    def cls(self) -> type[Node]:
        """The class of what stands there."""
        return self.chain[-1].cls if self.chain else LEVELS[self.level]

    @property
    def parent(self) -> type[Node]:
        """The class that it stands in."""
        return self.chain[-2].cls if len(self.chain) > 1 else LEVELS[self.level]

    @property
    def attributes(self) -> dict[str, str]:
        """The attributes of what stands there: name in XML, field."""
        return {attribute.name: attribute.field for attribute in shape(self.cls).attributes}


@cache
def resolve(path: str) -> Place | None:
    """The place of that name, or None where the model has none.

    >>> resolve("asset.creator.creator-role").cls.__name__
    'Text'
    >>> resolve("asset.colour") is None
    True
    """
    level, *names = path.split(".")
    if level not in LEVELS:
        return None
    chain: list[Child] = []
    cls = LEVELS[level]
    for name in names:
        child = shape(cls).child(name)
        if child is None:
            return None
        chain.append(child)
        cls = child.cls
    return Place(path, level, tuple(chain))


@cache
def all_paths() -> tuple[str, ...]:
    """Every place below every level, containers before what they hold.

    >>> "track.data-rate" in all_paths(), "asset.part" in all_paths()
    (True, True)
    """
    return tuple(path for level, cls in LEVELS.items() for path in (level, *_below(level, cls)))


def _below(path: str, cls: type[Node]) -> Iterator[str]:
    for child in shape(cls).children:
        inner = f"{path}.{child.path}"
        yield inner
        if child.path not in _NESTED and child.path not in _UNITS and shape(child.cls).content == "children":
            yield from _below(inner, child.cls)


def is_value(place: Place) -> bool:
    """Whether what stands there is one value: a text, embedded XML, or a whole part."""
    return bool(place.chain) and (shape(place.cls).content != "children" or place.chain[-1].path in _UNITS)


def is_nested(place: Place) -> bool:
    """Whether what stands there is a level of its own: an instantiation, a track."""
    return bool(place.chain) and place.chain[-1].path in _NESTED

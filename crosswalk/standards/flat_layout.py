"""The flat layout: which sheets there are, and which columns a class has. Derived from the record model.

A class whose children are values has its own rows. A row says whose it is (`of`) and as what (`as`); values and
attributes are its columns: `title`, `title@titleType`, `own@source`.
"""

from __future__ import annotations

from functools import cache

import msgspec

from crosswalk.records import (
    Asset,
    AssetRelation,
    Child,
    Contributor,
    Coverage,
    Creator,
    EssenceTrack,
    Extension,
    ExtensionWrap,
    Instantiation,
    InstantiationRelation,
    Node,
    Part,
    Publisher,
    Rights,
    shape,
)

KEY, OF, AS = "key", "of", "as"
SHEETS: dict[str, tuple[type[Node], ...]] = {
    "assets": (Asset, Part),
    "instantiations": (Instantiation,),
    "essence tracks": (EssenceTrack,),
    "agents": (Creator, Contributor, Publisher),
    "relations": (AssetRelation, InstantiationRelation),
    "coverages": (Coverage,),
    "rights": (Rights,),
    "extensions": (Extension, ExtensionWrap),
}
RECORDS: dict[str, type[Node]] = {"assets": Asset, "instantiations": Instantiation}  # whose rows may be of nothing
# One column for the names of all agents, and one for their roles: the row says which kind of agent it is.
_LABELS = {
    **dict.fromkeys(("creator", "contributor", "publisher"), "name"),
    **dict.fromkeys(("creator-role", "contributor-role", "publisher-role"), "role"),
}


class Column(msgspec.Struct, frozen=True):
    """One column of a class: an attribute of its own, or of the values of one child; "" for their text."""

    label: str
    child: Child | None
    field: str


@cache
def sheet_of(cls: type[Node]) -> str:
    """The sheet on which a class has its rows.

    >>> sheet_of(Creator)
    'agents'
    """
    return next(sheet for sheet, classes in SHEETS.items() if cls in classes)


@cache
def columns(cls: type[Node]) -> tuple[Column, ...]:
    """The columns that a class can fill, in the order of the sheet.

    >>> [column.label for column in columns(AssetRelation)][:3]
    ['relation-type', 'relation-type@source', 'relation-type@ref']
    """
    found = [Column(f"own@{attribute.name}", None, attribute.field) for attribute in shape(cls).attributes]
    for child in values_of(cls):
        label = _LABELS.get(child.path, child.path)
        found.append(Column(label, child, "xml" if shape(child.cls).content == "xml" else "text"))
        found += [Column(f"{label}@{a.name}", child, a.field) for a in shape(child.cls).attributes]
    return tuple(found)


@cache
def values_of(cls: type[Node]) -> tuple[Child, ...]:
    """The children that stand in columns."""
    return tuple(child for child in shape(cls).children if shape(child.cls).content != "children")


@cache
def rows_of(cls: type[Node]) -> tuple[Child, ...]:
    """The children that have rows of their own."""
    return tuple(child for child in shape(cls).children if shape(child.cls).content == "children")


@cache
def labels(sheet: str) -> tuple[str, ...]:
    """All columns that a sheet can have, in order, each once."""
    return tuple(dict.fromkeys(column.label for cls in SHEETS[sheet] for column in columns(cls)))

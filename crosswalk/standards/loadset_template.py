"""The template of a load set: which columns its index has. A small TOML file that the receiving house's own import
asks for; nothing in it is particular to one system.

    title = "Load sheet of the asset system"
    row = "file"                      # one row a record, or one a digital file

    [[column]]
    heading = "Programme"
    from = "asset.title"
    where = { titleType = "Series" }  # only values with this attribute
    [[column]]
    heading = "Checksum"
    from = "file.digest"
    [[column]]
    heading = "Status"
    value = "to be checked"
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator
from pathlib import Path
from typing import Any, Literal

import msgspec

from crosswalk.records import Asset, Instantiation, Node, Record, shape
from crosswalk.standards.tables.paths import Place, resolve
from crosswalk.tomlio import complaint, load_toml

FILE_FIELDS = ("file.name", "file.folder", "file.digest", "file.algorithm")
_DIGEST = re.compile(r"\b(md5|sha-?1|sha-?224|sha-?256|sha-?384|sha-?512|crc-?32)\b", re.I)
_HEX = re.compile(r"[0-9A-Fa-f]{8,128}")


class Column(msgspec.Struct, frozen=True, forbid_unknown_fields=True, rename={"from_": "from"}):
    """One column: where its values come from, or one value for all rows."""

    heading: str
    from_: str = ""
    value: str = ""
    join: str = "; "
    where: dict[str, str] = {}


class Template(msgspec.Struct, frozen=True, forbid_unknown_fields=True):
    """What the index looks like."""

    column: tuple[Column, ...]
    title: str = ""
    file: str = "index.csv"
    delimiter: str = ","
    row: Literal["record", "file"] = "record"


DEFAULT = Template(
    column=(
        Column("Identifier", "asset.identifier"),
        Column("Title", "asset.title"),
        Column("Folder", "file.folder"),
        Column("Files", "file.name"),
        Column("Digests", "file.digest"),
    )
)


class DigitalFile(msgspec.Struct, frozen=True):
    """A digital file that an instantiation is: its name, and its digest where the record has one."""

    name: str
    algorithm: str = ""
    digest: str = ""


def load_template(path: str) -> Template:
    """The template in a file, or the usual one where none is named.

    Raises MappingError, with file and line, where the file makes no sense."""
    if not path:
        return DEFAULT
    template: Template = load_toml(Path(path), Template)
    for column in template.column:
        name = column.from_.partition("@")[0]
        if bool(column.from_) == bool(column.value):
            raise complaint(path, column.heading, f"{column.heading!r} needs `from` or `value`", "give one of the two")
        if column.from_ and column.from_ not in FILE_FIELDS and resolve(name) is None:
            known = f"use a place such as asset.title, or one of {', '.join(FILE_FIELDS)}"
            raise complaint(path, column.from_, f"{column.from_!r} is no place of a record", known)
    return template


def digital_files(record: Record) -> list[DigitalFile]:
    """The files that a record's digital instantiations are.

    The name is the identifier whose source speaks of a file, or else the first; the digest is an identifier or an
    annotation whose source or type names an algorithm."""
    instantiations = record.instantiations if isinstance(record, Asset) else (record,)
    return [_file(each) for each in instantiations if each.digital is not None and each.identifiers]


def _file(instantiation: Instantiation) -> DigitalFile:
    named = next((i for i in instantiation.identifiers if "file" in (i.source or "").lower()), None)
    name = (named or instantiation.identifiers[0]).text
    candidates = [(each.source or "", each.text) for each in instantiation.identifiers]
    candidates += [(each.annotation_type or each.source or "", each.text) for each in instantiation.annotations]
    for kind, text in candidates:
        algorithm, digest = _DIGEST.search(kind), _HEX.fullmatch(text.strip())
        if algorithm and digest:
            return DigitalFile(name, algorithm.group().lower(), digest.group().lower())
    return DigitalFile(name)


def rows(record: Record, folder: str, template: Template) -> Iterator[list[str]]:
    """The rows of the index for a record."""
    files = digital_files(record)
    for group in [[each] for each in files] if template.row == "file" else [files]:
        yield [_cell(column, record, folder, group) for column in template.column]


def _cell(column: Column, record: Record, folder: str, files: list[DigitalFile]) -> str:
    if not column.from_:
        return column.value
    if column.from_ == "file.folder":
        return folder
    if column.from_ in FILE_FIELDS:
        field = column.from_.removeprefix("file.")
        return column.join.join(getattr(each, field) for each in files)
    return column.join.join(_texts(column, record))


def _texts(column: Column, record: Record) -> Iterator[str]:
    path, _, attribute = column.from_.partition("@")
    place = resolve(path)
    assert place is not None  # `load_template` made sure
    for node in _reached(record, place):
        known = {each.name: getattr(node, each.field) for each in shape(node.__class__).attributes}
        if any(known.get(name) != value for name, value in column.where.items()):
            continue
        text = known.get(attribute) if attribute else _said(node)
        if text:
            yield text


def _reached(record: Record, place: Place) -> Iterable[Any]:
    nodes: list[Any] = [record]
    if place.level != "asset" and isinstance(record, Asset):
        nodes = list(record.instantiations)
    if place.level == "asset" and not isinstance(record, Asset):
        nodes = []
    if place.level == "track":
        nodes = [track for node in nodes for track in node.essence_tracks]
    for child in place.chain:
        nodes = [each for node in nodes for each in _listed(getattr(node, child.field), child.many)]
    return nodes


def _listed(value: Any, many: bool) -> list[Any]:
    return list(value) if many else [] if value is None else [value]


def _said(node: Node) -> str:
    """The text of a node, or of the first value in it: the name of a creator."""
    if shape(type(node)).content != "children":
        return str(getattr(node, shape(type(node)).content))
    values = (_listed(getattr(node, child.field), child.many) for child in shape(type(node)).children)
    return next((_said(value[0]) for value in values if value), "")

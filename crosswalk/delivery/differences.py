"""Two nodes of the record model, field by field: what differs, and where each of the two values came from."""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Hashable, Iterator, Sequence
from difflib import SequenceMatcher
from functools import cache
from typing import Any, Literal

import msgspec

from crosswalk.findings import Origin
from crosswalk.records import Child, DateText, Node, Value, shape

Kind = Literal["changed", "only left", "only right", "order"]
Pair = tuple[int | None, int | None]  # places of two nodes that belong together; None where one has no fellow


class Difference(msgspec.Struct, frozen=True, rename="camel"):
    """One field that differs: `asset.title[2]@titleType`, both values, and the cell or line of each where known."""

    record: str
    field: str
    kind: Kind
    left: str = ""
    right: str = ""
    left_place: str = ""
    right_place: str = ""


class Equivalences(msgspec.Struct, frozen=True, kw_only=True):
    """What a house takes for the same. Nothing, unless it says so."""

    case: bool = False  # Tideline, TIDELINE
    space: bool = False  # runs of white space, and white space at the ends
    dates: bool = False  # 3 April 1987, 1987-04-03
    order: bool = False  # of repeated fields
    ignore: tuple[str, ...] = ()  # fields that are not compared: asset.annotation, instantiation.location@source


EXACT = Equivalences()


class Differ:
    """Compares nodes under what a house takes for the same.

    >>> from crosswalk.records import Asset, Title
    >>> left, right = Asset(titles=(Title("Tideline"),)), Asset(titles=(Title("tideline"),))
    >>> [(d.field, d.kind, d.left, d.right) for d in Differ().between(left, right, "TDLN0423")]
    [('asset.title[1]', 'changed', 'Tideline', 'tideline')]
    >>> list(Differ(Equivalences(case=True)).between(left, right, "TDLN0423"))
    []
    """

    def __init__(self, same: Equivalences = EXACT) -> None:
        self.same = same

    def between(self, left: Node, right: Node, record: str) -> Iterator[Difference]:
        """The differences of two records that are paired."""
        self._record = record
        if left == right:
            return
        level = "asset" if "asset_types" in type(left).__struct_fields__ else "instantiation"
        if type(left) is not type(right):
            yield Difference(record, level, "changed", type(left).__name__, type(right).__name__)
        elif self._said(left) != self._said(right):
            yield from self._nodes(left, right, level)

    def _nodes(self, left: Node, right: Node, path: str) -> Iterator[Difference]:
        form = shape(type(left))
        for name, field in _own(type(left)):
            where = path + name
            one, other = getattr(left, field), getattr(right, field)
            if self._counts(where) and self._plain(one, left) != self._plain(other, right):
                kind: Kind = "only right" if one is None else "only left" if other is None else "changed"
                yield self._difference(where, kind, (left, one), (right, other))
        for child in form.children:
            ones, others = _listed(left, child), _listed(right, child)
            if self._counts(f"{path}.{child.path}") and list(map(self._said, ones)) != list(map(self._said, others)):
                yield from self._lists(ones, others, f"{path}.{child.path}", child)

    def _lists(self, lefts: Sequence[Node], rights: Sequence[Node], path: str, child: Child) -> Iterator[Difference]:
        if Counter(map(self._said, lefts)) == Counter(map(self._said, rights)):
            if not self.same.order:
                yield self._difference(path, "order", (lefts[0], _joined(lefts)), (rights[0], _joined(rights)))
            return
        for one, other in self._pairs(lefts, rights):
            if one is None and other is not None:
                yield from self._alone(rights[other], _at(path, other, child), "only right")
            elif other is None and one is not None:
                yield from self._alone(lefts[one], _at(path, one, child), "only left")
            elif one is not None and other is not None:
                yield from self._nodes(lefts[one], rights[other], _at(path, one, child))

    def _pairs(self, lefts: Sequence[Node], rights: Sequence[Node]) -> list[Pair]:
        """Which node of one list belongs to which of the other: by identifier where they have one, else by place."""
        if all(getattr(node, "identifiers", ()) for node in (*lefts, *rights)):
            return _by_name([_named(node) for node in lefts], [_named(node) for node in rights])
        ones, others = list(map(self._said, lefts)), list(map(self._said, rights))
        return _by_value(ones, others) if self.same.order else _by_place(ones, others)

    def _alone(self, node: Node, path: str, kind: Kind) -> Iterator[Difference]:
        """Every value of a node that has no fellow."""
        for name, field in _own(type(node)):
            value = getattr(node, field)
            if value is not None and self._counts(path + name):
                yield self._difference(path + name, kind, (node, value), (node, value))
        for child in shape(type(node)).children:
            for place, each in enumerate(_listed(node, child)):
                yield from self._alone(each, _at(f"{path}.{child.path}", place, child), kind)

    def _difference(
        self, path: str, kind: Kind, left: tuple[Node, str | None], right: tuple[Node, str | None]
    ) -> Difference:
        one, other = (left[1] or "", place_of(left[0])), (right[1] or "", place_of(right[0]))
        one = ("", "") if kind == "only right" else one
        other = ("", "") if kind == "only left" else other
        return Difference(self._record, path, kind, one[0], other[0], one[1], other[1])

    def _counts(self, path: str) -> bool:
        """Whether a field is compared."""
        ignored = self.same.ignore
        return not ignored or not any(_within(spelling, ignored) for spelling in _spellings(path))

    def _said(self, node: Node) -> Hashable:
        """What a node says, for comparing: equal for nodes that count as the same."""
        own = tuple(self._plain(getattr(node, field), node) for _, field in _own(type(node)))
        children = []
        for child in shape(type(node)).children:
            said = [self._said(each) for each in _listed(node, child)]
            children.append(tuple(sorted(said, key=repr)) if self.same.order else tuple(said))
        return (own, tuple(children))

    def _plain(self, text: str | None, node: Node) -> str | None:
        if text is None:
            return None
        if self.same.dates and isinstance(node, DateText):
            text = _date(text)
        if self.same.space:
            text = " ".join(text.split())
        return text.casefold() if self.same.case else text


def place_of(node: Node) -> str:
    """Where a node came from: the cell or line of the first value in it that knows; "" where none does."""
    if isinstance(node, Value):
        evidence = node.evidence
        if evidence is None:
            return ""
        if evidence.sheet:
            return str(Origin(file=evidence.file, cell=evidence.cell))
        return str(Origin(file=evidence.file, line=evidence.row))
    places = (place_of(each) for child in shape(type(node)).children for each in _listed(node, child))
    return next((place for place in places if place), "")


def _within(path: str, fields: Sequence[str]) -> bool:
    return any(path == field or path.startswith((field + ".", field + "@")) for field in fields)


def _spellings(path: str) -> tuple[str, ...]:
    """The names of a field: from the record down, and from its own level down as mappings have it.

    >>> _spellings("asset.instantiation[2].part[1].location@source")
    ('asset.instantiation.part.location@source', 'instantiation.location@source')
    >>> _spellings("asset.instantiation[1].essence-track[1].encoding")[1]
    'track.encoding'
    """
    plain = re.sub(r"\[\d+\]", "", path)
    level = re.sub(r"^(?:asset\.)?(?:part\.)*instantiation(?:\.part)*(?![\w-])", "instantiation", plain)
    return plain, re.sub(r"^instantiation\.essence-track(?![\w-])", "track", level)


@cache
def _own(cls: type[Node]) -> tuple[tuple[str, str], ...]:
    """What a node says itself, as the end of a path and the field: its text, and its attributes."""
    form = shape(cls)
    content = () if form.content == "children" else (("", form.content),)
    return (*content, *((f"@{attribute.name}", attribute.field) for attribute in form.attributes))


def _listed(node: Node, child: Child) -> tuple[Any, ...]:
    value = getattr(node, child.field)
    return value if child.many else () if value is None else (value,)


def _at(path: str, place: int, child: Child) -> str:
    return f"{path}[{place + 1}]" if child.many else path


def _joined(nodes: Sequence[Node]) -> str:
    return " | ".join(_named(node) or str(getattr(node, "text", "")) for node in nodes)


def _named(node: Node) -> str:
    identifiers = getattr(node, "identifiers", ())
    return str(identifiers[0].text) if identifiers else ""


def _by_name(lefts: list[str], rights: list[str]) -> list[Pair]:
    free = list(range(len(rights)))
    pairs: list[Pair] = []
    for place, name in enumerate(lefts):
        fellow = next((other for other in free if rights[other] == name), None)
        pairs.append((place, fellow))
        if fellow is not None:
            free.remove(fellow)
    return pairs + [(None, other) for other in free]


def _by_value(lefts: list[Hashable], rights: list[Hashable]) -> list[Pair]:
    """Equal ones first, whatever their order; then what is left, in its order."""
    free = list(range(len(rights)))
    odd = []
    for place, said in enumerate(lefts):
        fellow = next((other for other in free if rights[other] == said), None)
        odd += [place] if fellow is None else []
        free = [other for other in free if other != fellow]
    return _fellows(odd, free)


def _by_place(lefts: list[Hashable], rights: list[Hashable]) -> list[Pair]:
    """Those that differ between the longest runs of equal ones."""
    pairs: list[Pair] = []
    for tag, start, end, other_start, other_end in SequenceMatcher(None, lefts, rights, autojunk=False).get_opcodes():
        if tag != "equal":
            pairs += _fellows(list(range(start, end)), list(range(other_start, other_end)))
    return pairs


def _fellows(lefts: list[int], rights: list[int]) -> list[Pair]:
    count = max(len(lefts), len(rights))
    return [
        (lefts[n] if n < len(lefts) else None, rights[n] if n < len(rights) else None) for n in range(count)
    ]  # fmt: skip


@cache
def _date(text: str) -> str:
    """A date in the form of ISO 8601, where it can be told without doubt; else as it is."""
    from crosswalk.values.reading import NO_CONTEXT
    from crosswalk.values.registry import parser

    reading = parser("date")(text, NO_CONTEXT)
    return reading.value if reading.settled and reading.value else text

"""The elements of one part of a record in the making. What is said twice is held once."""

from __future__ import annotations

from collections.abc import Sequence

from crosswalk.mapping.made import Filled, Made
from crosswalk.records import Evidence, Node, located


class Elements:
    """The elements of one part, by field."""

    __slots__ = ("fields", "read", "spare")

    def __init__(self) -> None:
        self.fields: dict[str, Filled] = {}
        self.spare: list[Filled] = []  # for fields that hold nothing in the end
        self.read: tuple[object, ...] = ()  # the cells that the columns of the asset were last read from

    def add(self, new: Filled, row: int = 0) -> tuple[Made, ...]:
        """Adds what a cell fills; `row` where that is not the row of the part. Returns what of it has no place, since
        the field takes one value and holds another."""
        there = self.fields.get(new.field)
        if there is new:
            return ()
        if there is None:
            self.fields[new.field] = of_row(new, row) if row else new
        elif not new.many:
            return tuple([one for one in new.made if one.value != there.made[0].value])
        else:
            known = [any(map(one.says, there.made)) for one in new.made]
            if not all(known):
                self.fields[new.field] = _joined(there, of_row(new, row) if row else new, known)
        return ()

    def built(self) -> dict[str, object]:
        """The fields of the record."""
        for spare in self.spare:
            self.fields.setdefault(spare.field, spare)
        return {field: filled.held for field, filled in self.fields.items()}


def nodes_of(filled: Filled) -> tuple[Node, ...]:
    """The elements, whether the field takes one or several."""
    return filled.held if isinstance(filled.held, tuple) else (filled.held,)


def of_row(filled: Filled, row: int) -> Filled:
    """The same elements, their evidence in that row."""
    return _of(filled, [located(node, row) for node in nodes_of(filled)])


def with_evidence(filled: Filled, evidence: Evidence) -> Filled:
    """The same elements with other evidence."""
    return _of(filled, [made.node(evidence) for made in filled.made])


def _of(filled: Filled, nodes: Sequence[Node]) -> Filled:
    held = tuple(nodes) if filled.many else nodes[0]
    return Filled(filled.part, filled.field, filled.many, filled.made, held)


def _joined(there: Filled, new: Filled, known: Sequence[bool]) -> Filled:
    """What is there, and of the new what is not known."""
    made, nodes = new.made, nodes_of(new)
    if any(known):
        made = tuple(one for one, there_is in zip(made, known, strict=True) if not there_is)
        nodes = tuple(one for one, there_is in zip(nodes, known, strict=True) if not there_is)
    return Filled(there.part, there.field, True, there.made + made, nodes_of(there) + nodes)

"""The child elements of a record in the making. What is said twice is held once."""

from __future__ import annotations

from functools import cache

from crosswalk.mapping.columns import Made
from crosswalk.records import Evidence, Node, shape


class Elements:
    """Child elements by field. `held` has, per field, each element behind what made it: [made, node, made, node]."""

    def __init__(self) -> None:
        self.held: dict[str, list[Made | Node]] = {}
        self.met: set[Made] = set()  # by identity: a wording met again is known without a comparison
        self._spare: list[tuple[Made, Evidence | None]] = []

    def add(self, made: Made, evidence: Evidence | None) -> str:
        """Adds one element. Returns what the field holds already, where it can hold one value and that is another."""
        if made.spare:
            self._spare.append((made, evidence))
            return ""
        child = made.target.child
        held = self.held.get(child.field)
        if held is None:
            self.held[child.field] = [made, made.make(evidence=evidence)]
        elif any(one.key == made.key for one in held[0::2]):  # type: ignore[union-attr]
            return ""
        elif child.many:
            held += (made, made.make(evidence=evidence))
        elif held[0].value != made.value:  # type: ignore[union-attr]
            return held[0].value  # type: ignore[union-attr]
        return ""

    def built(self, cls: type[Node]) -> dict[str, object]:
        """The fields of a record of that class."""
        for made, evidence in self._spare:
            self.held.setdefault(made.target.child.field, [made, made.make(evidence=evidence)])
        many = _many(cls)
        return {field: tuple(held[1::2]) if field in many else held[1] for field, held in self.held.items()}


@cache
def _many(cls: type[Node]) -> frozenset[str]:
    return frozenset(child.field for child in shape(cls).children if child.many)

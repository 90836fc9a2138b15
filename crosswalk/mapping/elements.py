"""The child elements of a record in the making. What is said twice is held once."""

from __future__ import annotations

from crosswalk.mapping.columns import Made
from crosswalk.records import Evidence, Node


class Elements:
    """Child elements by field: `held` as the record takes them, `made` what they were made from."""

    __slots__ = ("_spare", "held", "made", "met", "read")

    def __init__(self) -> None:
        self.held: dict[str, Node | tuple[Node, ...]] = {}
        self.made: dict[str, list[Made]] = {}
        self.met: set[Made] = set()  # by identity: a wording met again is known without a comparison
        self.read: tuple[object, ...] = ()  # the cells that the columns of the asset were last read from
        self._spare: list[tuple[Made, Evidence | None]] = []

    def add(self, made: Made, evidence: Evidence | None) -> str:
        """Adds one element. Returns what the field holds already, where it can hold one value and that is another."""
        element = made.element
        if element.spare:
            self._spare.append((made, evidence))
            return ""
        field = element.field
        there = self.made.get(field)
        if there is None:
            self._start(made, evidence)
            return ""
        value, said = made.value, element.said
        for one in there:
            if one.value == value and one.element.said == said:
                return ""  # they differ in their evidence alone
        if element.many:
            there.append(made)
            self.held[field] += (made.make(evidence=evidence),)  # type: ignore[operator]
        elif there[0].value != value:
            return there[0].value
        return ""

    def _start(self, made: Made, evidence: Evidence | None) -> None:
        element, node = made.element, made.make(evidence=evidence)
        self.made[element.field] = [made]
        self.held[element.field] = (node,) if element.many else node

    def built(self) -> dict[str, object]:
        """The fields of the record."""
        for made, evidence in self._spare:
            if made.element.field not in self.held:
                self._start(made, evidence)
        return dict(self.held)

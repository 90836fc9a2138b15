"""What a value becomes in a record: the elements that a column or a constant describes, each in its field and part."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence

import msgspec

from crosswalk.mapping.model import Constant, Contents
from crosswalk.mapping.targets import Companions, Maker, Target, factory, resolve
from crosswalk.records import Evidence, Node
from crosswalk.values.reading import How

# Where goes what a wording says beside its main value (`Reading.also`). Kinds that are not named become annotations.
ALSO = {
    "generation": "instantiation.generations",
    "standard": "instantiation.standard",
    "duration": "instantiation.duration",
    "colors": "instantiation.colors",
    "media-type": "instantiation.media-type",
    "dimensions": "instantiation.dimensions",
    "tracks": "instantiation.tracks",
}
ASSET, CARRIER = 0, 1  # parts of a record that a row fills; track n is part CARRIER + n
ANNOTATION = "instantiation.annotation"
NOTHING_MORE = Contents()
NO_CELL = -1


class ElementOf(msgspec.Struct, frozen=True, eq=False):
    """What all values of a column, or of one constant, have in common.

    `part` is what the element belongs to: ASSET, CARRIER, or CARRIER + the number of a track. `remark` is the kind of a
    side remark ("duration"), which gives way to a value of its own column; `spare` is a constant for records that have
    no such element.
    """

    target: Target
    node: Maker
    said: tuple[object, ...]
    part: int
    field: str  # of the part
    many: bool  # whether the field holds several
    public: bool
    remark: str = ""
    spare: bool = False

    def made(self, value: str, how: str, rule: str) -> Made:
        """The element for one value, all but its evidence."""
        return Made(self, value, how, rule)


class Made(msgspec.Struct, frozen=True, eq=False):
    """One element that a wording becomes, all but its evidence."""

    element: ElementOf
    value: str
    how: str
    rule: str

    def node(self, evidence: Evidence | None = None) -> Node:
        """The element itself."""
        return self.element.node(self.value, evidence)

    def says(self, other: Made) -> bool:
        """Whether the two say the same: they may differ in their evidence."""
        mine, its = self.element, other.element
        return self.value == other.value and (mine is its or mine.said == its.said)


class Filled(msgspec.Struct, frozen=True, eq=False):
    """What a wording puts into one field of one part of a record: the elements, and what they were made from. A wording
    met again gives the very same object, so that a record is put together from what is there."""

    part: int
    field: str
    many: bool
    made: tuple[Made, ...]
    held: Node | tuple[Node, ...]


def fill(made: Made, evidence: Evidence | None) -> Filled:
    """What one element comes to."""
    element, node = made.element, made.node(evidence)
    return Filled(element.part, element.field, element.many, (made,), (node,) if element.many else node)


def fill_all(made: Sequence[Made], evidence: Callable[[Made], Evidence]) -> Filled:
    """What several elements of one field come to. What is said twice is held once."""
    element = made[0].element
    if len(made) == 1 or not element.many:
        return fill(made[0], evidence(made[0]))
    different = tuple([one for number, one in enumerate(made) if not any(map(one.says, made[:number]))])
    nodes = tuple([one.node(evidence(one)) for one in different])
    return Filled(element.part, element.field, True, different, nodes)


def element_of(target: Target, beside: Companions, contents: Contents = NOTHING_MORE, remark: str = "") -> ElementOf:
    """The element that a target and its companions describe, in the part and for the public of its contents."""
    said = (target.path, beside.type, beside.roles, tuple(beside.attributes.items()))
    part = {"asset": ASSET, "instantiation": CARRIER}.get(target.level, CARRIER + contents.track)
    child, spare = target.child, isinstance(contents, Constant) and contents.when_missing
    make = factory(target, beside)
    return ElementOf(target, make, said, part, child.field, child.many, contents.public, remark, spare)


def remark(kind: str, value: str, rule: str, contents: Contents) -> Made:
    """The element for a side remark of a wording, such as ("generation", "Master")."""
    target = resolve(ALSO.get(kind, ANNOTATION))
    assert target is not None
    beside = Companions() if kind in ALSO else Companions(type=kind)
    return element_of(target, beside, contents, remark=kind).made(value, How.PATTERN.value, rule)


def annotation(kind: str, told: Made) -> Made:
    """What was told, as a note of that kind."""
    target = resolve(ANNOTATION)
    assert target is not None
    note = element_of(target, Companions(type=kind), Contents(public=told.element.public))
    return note.made(told.value, told.how, told.rule)


def companions(contents: Contents, beside: Mapping[str, str]) -> Companions:
    """The attributes, type and roles of an element: what the mapping states, and what other columns of the row say."""

    def given(name: str) -> str | None:
        return beside.get(name) or getattr(contents, name)

    attributes = {name: value for name in ("source", "ref", "version", "annotation") if (value := given(name))}
    if unit := given("unit"):
        attributes["units_of_measure"] = unit
    attributes |= {snake(name): value for name, value in contents.attributes.items()}
    role = given("role")
    return Companions(attributes, given("type"), (role,) if role else ())


def snake(name: str) -> str:
    """An attribute's name in the form of the record model's fields.

    >>> snake("startTime"), snake("start-time")
    ('start_time', 'start_time')
    """
    return "".join("_" + letter.lower() if letter.isupper() else letter for letter in name).replace("-", "_")

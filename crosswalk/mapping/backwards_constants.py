"""What a mapping says of every row, backwards: constants recognised, quoted columns recovered, marks found again."""

from __future__ import annotations

from collections.abc import Iterable

import msgspec

from crosswalk.mapping import model
from crosswalk.mapping.backwards_columns import unsaid
from crosswalk.mapping.backwards_nodes import Piece, evidence_of, leaves, text_of, value_node
from crosswalk.mapping.made import companions, element_of
from crosswalk.mapping.places import place
from crosswalk.mapping.targets import Target
from crosswalk.mapping.templates import Template

CONSTANT, MARK = "a constant", "a mark"


class RowMark(msgspec.Struct, frozen=True):
    """A look that a row had in the sheet. `heading` names the column that it belongs to, "" any."""

    heading: str
    fill: str = ""
    struck: bool = False
    note: str = ""


class Stated(msgspec.Struct):
    """A constant, or a mark with a value of its own, and all that its element says."""

    spec: model.Constant | model.MarkRule
    target: Target
    said: dict[str, str]

    @classmethod
    def of(cls, mapping: model.Mapping, spec: model.Constant | model.MarkRule) -> Stated:
        """The entry of a mapping."""
        target = place(mapping, spec)
        element = element_of(target, companions(spec, {}))
        return cls(spec, target, leaves(element.node(spec.value)))

    def recognise(self, pieces: Iterable[Piece], even_cells: bool = False) -> Piece | None:
        """The element that the entry made, taken. What is known to come from a cell only where `even_cells`."""
        for piece in pieces:
            if piece.taken or piece.child.field != self.target.child.field or leaves(piece.node) != self.said:
                continue
            if even_cells or evidence_of(piece.node, self.target) is None:
                piece.taken = CONSTANT
                return piece
        return None

    def contradicted(self, pieces: Iterable[Piece]) -> str:
        """What stands where the entry would put its own value, "" where nothing does: only one fits there."""
        if self.target.child.many or (isinstance(self.spec, model.Constant) and self.spec.when_missing):
            return ""
        there = (text_of(value_node(one.node, self.target)) for one in pieces if one.child == self.target.child)
        return next((text for text in there if text and text != self.spec.value), "")


class Quoted(msgspec.Struct):
    """A constant that quotes columns."""

    spec: model.Constant
    target: Target
    template: Template

    @classmethod
    def of(cls, mapping: model.Mapping, spec: model.Constant) -> Quoted:
        """The entry of a mapping."""
        return cls(spec, place(mapping, spec), Template.parse(spec.value))

    def text(self, piece: Piece) -> tuple[str, dict[str, str]] | None:
        """The text of an element that the constant may have made, and what else the element says."""
        if piece.child != self.target.child:
            return None
        text = text_of(value_node(piece.node, self.target))
        rest = unsaid(piece, self.target, self.spec, text, {}) if text else None
        return None if text is None or rest is None else (text, rest)


class Noted(msgspec.Struct):
    """A mark that carries the text of a cell note."""

    spec: model.MarkRule
    target: Target

    @classmethod
    def of(cls, mapping: model.Mapping, spec: model.MarkRule) -> Noted:
        """The entry of a mapping."""
        return cls(spec, place(mapping, spec))

    def recognise(self, pieces: Iterable[Piece]) -> list[RowMark]:
        """The notes among the elements, taken."""
        found = []
        for piece in pieces:
            text = text_of(value_node(piece.node, self.target))
            if piece.taken or piece.child != self.target.child or not text:
                continue
            if unsaid(piece, self.target, self.spec, text, {}) == {}:
                piece.taken = MARK
                found.append(RowMark(self.spec.heading, note=text))
        return found


class Statements:
    """All constants and marks of a mapping, backwards."""

    def __init__(self, mapping: model.Mapping) -> None:
        self.constants = [Stated.of(mapping, spec) for spec in mapping.constant if not spec.quotes]
        self.quoted = [Quoted.of(mapping, spec) for spec in mapping.constant if spec.quotes]
        self.marks = [Stated.of(mapping, spec) for spec in mapping.mark if spec.value]
        self.notes = [Noted.of(mapping, spec) for spec in mapping.mark if spec.note and not spec.value]

    def of_track(self, number: int) -> list[Stated]:
        """The constants of one essence track."""
        return [one for one in self.constants if one.target.level == "track" and one.spec.track == number]

    def of_level(self, level: str) -> list[Stated]:
        """The constants of the asset or of the carrier."""
        return [one for one in self.constants if one.target.level == level]

    def looks(self, pieces: list[Piece], level: str) -> list[RowMark]:
        """The marks that elements stand for."""
        found = []
        for one in self.marks:
            assert isinstance(one.spec, model.MarkRule)
            if one.target.level == level and (piece := one.recognise(pieces, even_cells=True)) is not None:
                piece.taken = MARK
                note = one.spec.value if one.spec.note else ""
                found.append(RowMark(one.spec.heading, one.spec.fill.upper(), one.spec.struck, note))
        return found

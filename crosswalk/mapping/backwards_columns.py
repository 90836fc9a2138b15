"""One column of a mapping, backwards: which elements it can take, and the text that it would read back as the same."""

from __future__ import annotations

import msgspec

from crosswalk.mapping import model
from crosswalk.mapping.backwards_layout import Layout
from crosswalk.mapping.backwards_nodes import Piece, beside, evidence_of, leaves, telling, text_of, value_node
from crosswalk.mapping.columns import UNSURE, Bound, Outcome
from crosswalk.mapping.made import Made, companions, element_of
from crosswalk.mapping.places import place
from crosswalk.mapping.plan import BESIDE, Readers, context, own
from crosswalk.mapping.targets import Target
from crosswalk.values.folding import fold


class Match(msgspec.Struct, eq=False):
    """An element that a column can take: its text, what must stand in the columns beside, and what goes nowhere."""

    piece: Piece
    text: str
    beside: dict[str, str]  # `role` and the like -> what the column beside has to say
    rest: dict[str, str]


class Reader(msgspec.Struct):
    """How one column reads its cells."""

    heading: str  # as it is written
    bound: Bound
    ditto: frozenset[str]

    def outcome(self, text: str) -> Outcome:
        """What the column makes of a text."""
        return self.bound.outcome([text])

    def refusal(self, text: str) -> str:
        """Why a cell with that text would not be read, "" where it would."""
        if fold(text) in self.ditto:
            return f'column "{self.heading}" would take it for a ditto mark'
        outcome = self.outcome(text)
        if outcome.entry is None:
            return ""
        doubt = f" ({outcome.doubts[0].code}: {outcome.doubts[0].message})" if outcome.doubts else ""
        return f'column "{self.heading}" would not carry it: {outcome.entry.why}{doubt}'

    def says(self, text: str, value: str) -> bool:
        """Whether a cell with that text has that value."""
        return not self.refusal(text) and self.outcome(text).value == value


class Way(msgspec.Struct):
    """A column that carries something. `beside` are the headings of the columns that say more about its elements."""

    column: model.Column
    target: Target
    reader: Reader
    beside: dict[str, str]

    @property
    def heading(self) -> str:
        """The heading as it is written; with a `*` where there may be several such columns."""
        return self.reader.heading

    @property
    def starred(self) -> bool:
        """Whether there may be several such columns."""
        return "*" in self.heading

    def match(self, piece: Piece) -> Match | None:
        """How the column can take an element, None where it cannot: what the mapping states must be so, and a type,
        unit or role that neither it nor a column beside states must not be there."""
        if piece.child.field != self.target.child.field:
            return None
        text = text_of(value_node(piece.node, self.target))
        if not text:
            return None
        found = {name: beside(piece.node, self.target, name) for name in self.beside}
        said = dict(found)
        if not self.column.sure and beside(piece.node, self.target, "annotation") == UNSURE:
            said.setdefault("annotation", UNSURE)
        rest = unsaid(piece, self.target, self.reader.bound.contents(text), text, said)
        return None if rest is None else Match(piece, text, found, rest)

    def trouble(self, text: str, matches: list[Match]) -> str:
        """Why a cell with that text would not be read as just these elements, "" where it would."""
        refusal = self.reader.refusal(text)
        if refusal:
            return refusal
        made = [one for one in self.reader.outcome(text).made if not one.element.remark]
        if [one.value for one in made] != [match.text for match in matches]:
            return f'column "{self.heading}" would read it as "{"; ".join(one.value for one in made)[:60]}"'
        if not self.beside and any(not _same(one, match) for one, match in zip(made, matches, strict=True)):
            return f'column "{self.heading}" would read it with other attributes'
        return ""

    def original(self, matches: list[Match]) -> str:
        """The text of the cell that all these elements came from, "" where there is none."""
        found = {evidence_of(match.piece.node, self.target) for match in matches}
        only = next(iter(found)) if len(found) == 1 else None
        return only.text if only is not None else ""

    def joined(self, matches: list[Match]) -> str:
        """The elements as one cell."""
        separator = self.column.separators[0] if self.column.separators else ""
        return (separator if separator[-1:].isspace() else f"{separator} ").join(match.text for match in matches)


def unsaid(
    piece: Piece, target: Target, contents: model.Contents, text: str, said: dict[str, str]
) -> dict[str, str] | None:
    """What an element says beyond what the mapping's entry makes of the text; None where the two contradict."""
    made = leaves(element_of(target, companions(contents, said)).node(text))
    there = leaves(piece.node)
    if not made.items() <= there.items():
        return None
    rest = {leaf: value for leaf, value in there.items() if leaf not in made}
    return None if rest.keys() & telling(target) else rest


def _same(made: Made, match: Match) -> bool:
    """Whether what a cell is read as leaves out just what is known to go nowhere."""
    return leaves(made.node()).keys() == leaves(match.piece.node).keys() - match.rest.keys()


class Columns:
    """All columns of a mapping, backwards."""

    def __init__(self, mapping: model.Mapping, layout: Layout, readers: Readers) -> None:
        self._blank = frozenset(map(fold, mapping.blank))
        self._ditto = frozenset(map(fold, mapping.ditto))
        self._mapping, self._layout, self._readers = mapping, layout, readers
        self._reads: dict[str, Reader] = {}
        self.ways = self._ordered([self._way(column) for column in mapping.column if column.to])
        for column in mapping.column:
            if not column.to and not column.aside:
                self._reads.setdefault(layout.first(column.headings[0]), self._reader(column, None))

    def reader(self, heading: str) -> Reader:
        """How the column with that heading is read; as text where no entry of the mapping has it."""
        name = self._layout.first(heading)
        if name not in self._reads:
            self._reads[name] = self._reader(model.Column(heading=name), None)
        return self._reads[name]

    def carried(self, heading: str) -> bool:
        """Whether the column with that heading carries an element of its own."""
        return any(way.heading == self._layout.first(heading) for way in self.ways)

    def _way(self, column: model.Column) -> Way:
        target = place(self._mapping, column)
        named = {name: getattr(column, f"{name}_from") for name in BESIDE}
        reader = self._reader(column, target)
        self._reads.setdefault(reader.heading, reader)
        return Way(column, target, reader, {name: self._layout.first(h) for name, h in named.items() if h})

    def _reader(self, column: model.Column, target: Target | None) -> Reader:
        read = self._readers(column.read, context(self._mapping, column))
        bound = Bound(0, column, target, read, self._blank, own=own(self._mapping, column))
        return Reader(self._layout.first(column.headings[0]), bound, self._ditto)

    @staticmethod
    def _ordered(ways: list[Way]) -> list[Way]:
        """Columns that say more about others before these; of two with one heading the one that keeps the wording."""
        serving = {heading for way in ways for heading in way.beside.values()}
        return sorted(ways, key=lambda way: (way.heading not in serving, way.column.read != "text"))

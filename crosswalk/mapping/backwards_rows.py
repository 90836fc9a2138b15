"""Elements of a record into the cells of one row. A cell is only written where reading it again gives the element."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import groupby, islice

import msgspec

from crosswalk.mapping import model
from crosswalk.mapping.backwards_columns import Columns, Match, Way
from crosswalk.mapping.backwards_constants import CONSTANT, Quoted, RowMark
from crosswalk.mapping.backwards_layout import Layout, numbered
from crosswalk.mapping.backwards_nodes import Piece, evidence_of, leaves
from crosswalk.mapping.backwards_templates import solutions
from crosswalk.mapping.made import annotation
from crosswalk.mapping.plan import wanted

TRIED = 200  # ways to take the text of a quoting constant apart; a text that needs more is left over


class ReturnedRow(msgspec.Struct):
    """One row of the returned sheet: texts by heading ("" where a cell is known to be empty), how many columns each
    heading with `*` takes, looks, and the sheet that it came from ("" where nothing tells)."""

    cells: dict[str, str] = {}
    counts: dict[str, int] = {}
    marks: list[RowMark] = []
    sheet: str = ""

    @property
    def filled(self) -> bool:
        """Whether the row says anything."""
        return any(self.cells.values())


class Filler:
    """Fills rows by the columns of a mapping."""

    def __init__(self, mapping: model.Mapping, layout: Layout, columns: Columns, original: bool) -> None:
        self._mapping, self._layout, self._columns, self._original = mapping, layout, columns, original

    def fitting(self, pieces: list[Piece], level: str, track: int = 1) -> list[tuple[Way, list[Match]]]:
        """The columns of a level, each with the elements that it can take; where a column takes an element whole, no
        other takes it in part."""
        ways = [way for way in self._columns.ways if way.target.level == level]
        ways = [way for way in ways if level != "track" or way.column.track == track]
        found: dict[int, list[Match]] = {}
        for piece in pieces:
            every = [(number, match) for number, way in enumerate(ways) if (match := way.match(piece)) is not None]
            for number, match in [(n, m) for n, m in every if not m.rest] or every:
                found.setdefault(number, []).append(match)
        return [(ways[number], matches) for number, matches in sorted(found.items())]

    def fill(self, fitting: list[tuple[Way, list[Match]]], row: ReturnedRow, pieces: list[Piece]) -> None:
        """Fills the cells of one row; what earlier rows of the asset took is repeated where nothing new is left."""
        for way, matches in fitting:
            free = [match for match in matches if not match.piece.taken]
            again = [match for match in matches if match.piece.taken == way.heading]
            if way.starred:
                self._spread(way, [match for match in matches if match in free or match in again], row, pieces)
            elif row.cells.get(way.heading):
                self._confirm(way, row.cells[way.heading], free, pieces)
            elif way.heading in row.cells:
                _refuse(free, f'column "{way.heading}" must stay empty beside another value')
            else:
                groups = [*self._groups(way, free), *self._groups(way, again)]
                if any(self._put(way, 0, group, row, pieces) for group in groups):
                    _full(way, free)

    def quote(self, constant: Quoted, pieces: list[Piece], row: ReturnedRow) -> None:
        """Recovers the columns that a constant quotes."""
        for piece in pieces:
            found = constant.text(piece)
            for cells in islice(solutions(constant.template, found[0]), TRIED) if found else ():
                if all(self._quotable(name, value, row) for name, value in cells.items()):
                    for name, value in cells.items():
                        row.cells.setdefault(self._layout.first(name), value)
                    if not piece.taken:
                        piece.taken, piece.rest = CONSTANT, found[1] if found else {}
                    return
            if found and not piece.taken:
                piece.why = f'it is not of the form "{constant.spec.value}", or its columns would read it otherwise'

    def _quotable(self, name: str, value: str, row: ReturnedRow) -> bool:
        reader = self._columns.reader(name)
        there = row.cells.get(reader.heading)
        if there:
            return reader.outcome(there).value == value
        if not value:
            return True
        return there is None and not self._columns.carried(name) and reader.says(value, value)

    def _groups(self, way: Way, matches: list[Match]) -> Iterator[list[Match]]:
        """Elements that may stand in one cell."""
        if not way.column.split:
            yield from ([match] for match in matches)
            return
        for _, group in groupby(matches, lambda match: sorted(match.beside.items())):
            yield list(group)

    def _spread(self, way: Way, matches: list[Match], row: ReturnedRow, pieces: list[Piece]) -> None:
        """Over as many columns as it takes."""
        numbers = self._layout.numbers(way.heading)
        number, count = next(numbers), 0
        for group in self._groups(way, matches):
            while row.cells.get(numbered(way.heading, number)):
                number, count = next(numbers), count + 1
            if self._put(way, number, group, row, pieces):
                number, count = next(numbers), count + 1
                for heading in (way.heading, *(one for one in way.beside.values() if "*" in one)):
                    row.counts[heading] = max(count, row.counts.get(heading, 0))

    def _confirm(self, way: Way, cell: str, matches: list[Match], pieces: list[Piece]) -> None:
        """A second entry for a column whose cell is written: it takes what it reads there."""
        group = matches if way.column.split else matches[:1]
        if group and not way.trouble(cell, group):
            self._take(way, cell, group, pieces)
        _full(way, matches)

    def _put(self, way: Way, number: int, group: list[Match], row: ReturnedRow, pieces: list[Piece]) -> bool:
        """Writes one cell and those beside it; False, with the reason, where it would not be read back."""
        text, group = self._text(way, group)
        if not text:
            return False
        companions, trouble = self._companions(way, number, group[0].beside, row)
        if trouble:
            _refuse(group, trouble)
            return False
        row.cells |= {numbered(way.heading, number): text} | companions
        self._take(way, text, group, pieces)
        self._place(way, group[0], row)
        return True

    def _text(self, way: Way, group: list[Match]) -> tuple[str, list[Match]]:
        """The text of a cell for as many of the elements as can stand in it, "" where none can."""
        original = way.original(group) if self._original else ""
        if original and (way.column.lookup is not None or not way.trouble(original, group)):
            return original, group
        if way.column.lookup is not None:
            _refuse(group, f'column "{way.heading}" holds codes, and sheet "{way.column.lookup.sheet}" is not at hand')
            return "", group
        fit = [match for match in group if not _refused(match, way.trouble(match.text, [match]))]
        while fit:
            trouble = way.trouble(way.joined(fit), fit)
            if not trouble:
                return way.joined(fit), fit
            _refuse([fit.pop()], trouble)
        return "", group

    def _companions(
        self, way: Way, number: int, needed: dict[str, str], row: ReturnedRow
    ) -> tuple[dict[str, str], str]:
        """The cells beside, and why they cannot say what they should."""
        written: dict[str, str] = {}
        for name, value in needed.items():
            reader, heading = self._columns.reader(way.beside[name]), numbered(way.beside[name], number)
            there = written.get(heading, row.cells.get(heading))
            settled = there is not None or self._columns.carried(way.beside[name])
            said = reader.outcome(there).value if there else ""
            stated = getattr(way.column, name)
            if settled and said != value and (said or stated != value):
                return {}, f'column "{heading}" says "{said}", and not "{value}"'
            new = "" if settled or value == stated else value
            if new and not reader.says(new, new):
                return {}, reader.refusal(new) or f'column "{heading}" would read "{new}" otherwise'
            if there is None:
                written[heading] = new
        return written, ""

    def _take(self, way: Way, text: str, group: list[Match], pieces: list[Piece]) -> None:
        """The elements of a cell are taken, and so is what its text says besides."""
        for match in group:
            match.piece.taken, match.piece.rest = way.heading, match.rest
        for made in way.reader.outcome(text).made:
            if made.element.remark:
                told = [leaves(made.node()), leaves(annotation(made.element.remark, made).node())]
                found = next((one for one in pieces if not one.taken and leaves(one.node) in told), None)
                if found is not None:
                    found.taken = way.heading

    def _place(self, way: Way, match: Match, row: ReturnedRow) -> None:
        evidence = evidence_of(match.piece.node, way.target)
        tells = evidence is not None and (not row.sheet or way.target.level != "asset")  # a carrier has one row
        if evidence is not None and tells and wanted(self._mapping, evidence.sheet):
            row.sheet = evidence.sheet


def _refuse(group: list[Match], why: str) -> None:
    for match in group:
        match.piece.why = match.piece.why or why


def _refused(match: Match, why: str) -> bool:
    if why:
        _refuse([match], why)
    return bool(why)


def _full(way: Way, matches: list[Match]) -> None:
    _refuse([match for match in matches if not match.piece.taken], f'column "{way.heading}" holds another value')

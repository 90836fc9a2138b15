"""A mapping run backwards: a record goes back into the rows that it would be read from; what cannot go back is listed.

A cell is written only where the column would read it as the very element it came from. Where several sheets would give
one and the same record, the plainest is written: the first column that takes a value, brackets of a constant filled.
"""

from __future__ import annotations

from collections.abc import Iterator

import msgspec

from crosswalk.mapping import model
from crosswalk.mapping.backwards_columns import Columns
from crosswalk.mapping.backwards_constants import Stated, Statements
from crosswalk.mapping.backwards_layout import Layout
from crosswalk.mapping.backwards_nodes import Piece, attributes, leaves, lines, pieces, shown
from crosswalk.mapping.backwards_rows import Filler, ReturnedRow
from crosswalk.mapping.plan import Readers, wanted
from crosswalk.mapping.readers import readers_of
from crosswalk.mapping.targets import Target
from crosswalk.records import Asset, EssenceTrack, Instantiation, Record, Value, located

ONLY_ROW = Instantiation()  # stands for the carrier of a row that has none


class NotReturned(msgspec.Struct, frozen=True):
    """What could not go back: its place (`asset.title@ref`), its text, the reason, and the carrier it is said of."""

    field: str
    value: str
    why: str
    carrier: str = ""


class Returned(msgspec.Struct):
    """The rows of one record, and what is left over."""

    rows: list[ReturnedRow] = []
    left: list[NotReturned] = []


def returned(record: Record, mapping: model.Mapping, original: bool = False) -> Returned:
    """The rows that a record goes back into. `original`: each cell as it was written, where the record knows that.

    >>> from crosswalk.records import Subject
    >>> mapping = model.Mapping(row="asset", column=[model.Column(heading="Subjects", to="asset.subject", split=";")])
    >>> returned(Asset(subjects=(Subject("salt marsh"), Subject("waders"))), mapping).rows[0].cells
    {'Subjects': 'salt marsh; waders'}
    """
    return Backwards(mapping, original=original).returned(record)


class Backwards:
    """A mapping, ready to be run backwards over many records. Raises `MappingError` where it names what cannot be."""

    def __init__(self, mapping: model.Mapping, readers: Readers | None = None, original: bool = False) -> None:
        self.mapping, self.layout = mapping, Layout(mapping)
        self._columns = Columns(mapping, self.layout, readers or readers_of(mapping))
        self._said = Statements(mapping)
        self._filler = Filler(mapping, self.layout, self._columns, original)
        targets = [way.target for way in self._columns.ways] + [one.target for one in self._said.constants]
        self._levels = {target.level for target in targets}
        self._filled = {(target.level, target.child.field) for target in (way.target for way in self._columns.ways)}
        tracks = {way.column.track for way in self._columns.ways if way.target.level == "track"}
        tracks |= {one.spec.track for one in self._said.constants if one.target.level == "track"}
        self._tracks = sorted(tracks)

    def returned(self, record: Record) -> Returned:
        """The rows of a record, and what is left over."""
        asset = record if isinstance(record, Asset) else Asset(instantiations=(record,))
        return _OneRecord(self, located(asset)).returned()


class _OneRecord:
    """One record on its way back."""

    def __init__(self, way: Backwards, asset: Asset) -> None:
        self.way, self.asset = way, asset
        self.mapping, self.said, self.filler = way.mapping, way._said, way._filler
        self.left: list[NotReturned] = []
        self.pieces = pieces(asset, "asset", without=("instantiations",))
        for constant in self.said.of_level("asset"):
            constant.recognise(self.pieces)

    def returned(self) -> Returned:
        """The rows, and what is left over."""
        copies = list(self._copies())
        if self.asset.instantiations and not copies and self.mapping.row != "asset":
            rows: list[ReturnedRow] = []
        else:
            rows = [row for row in self._rows(copies or [ONLY_ROW]) if row.filled]
        own = [NotReturned(f"asset{name}", text, NO_COLUMN) for name, text in attributes(self.asset).items()]
        left = [*own, *self._left(self.pieces, "asset"), *self.left]
        return Returned(rows, left + list(self._apart(rows)))

    def _rows(self, copies: list[Instantiation]) -> Iterator[ReturnedRow]:
        """One row a carrier, with what the asset says on each of them."""
        looks = self.said.looks(self.pieces, "asset")
        fitting = self.filler.fitting(self.pieces, "asset")
        rows = []
        for copy in copies:
            row = ReturnedRow(marks=looks)
            mine = pieces(copy, "instantiation", without=("essence_tracks",))
            self.filler.fill(fitting, row, self.pieces)
            self._carrier(copy, mine, row)
            for quoted in self.said.quoted:
                self.filler.quote(quoted, self.pieces if quoted.target.on_asset else mine, row)
            rows.append((copy, mine, row))
        for constant in self.said.of_level("asset"):
            constant.recognise(self.pieces, even_cells=True)
        for note in self.said.notes:
            rows[0][2].marks = rows[0][2].marks + (note.recognise(self.pieces) if note.target.on_asset else [])
        for copy, mine, row in rows:
            self._rest_of(copy, mine, row)
            yield row

    def _carrier(self, copy: Instantiation, mine: list[Piece], row: ReturnedRow) -> None:
        for constant in self.said.of_level("instantiation"):
            constant.recognise(mine)
        row.marks = row.marks + self.said.looks(mine, "instantiation")
        self.filler.fill(self.filler.fitting(mine, "instantiation"), row, mine)
        numbers = list(self.way._tracks)
        for track in copy.essence_tracks:
            inside = pieces(track, "track")
            number = next((one for one in numbers if not self._contradicted(self.said.of_track(one), inside)), 0)
            if number:
                numbers = numbers[numbers.index(number) + 1 :]
                self._track(track, inside, number, row, name_of(copy))
            else:
                told = "; ".join(leaves(track).values())
                self.left.append(NotReturned("instantiation.essence-track", told, NO_TRACK, name_of(copy)))

    def _track(self, track: EssenceTrack, inside: list[Piece], number: int, row: ReturnedRow, carrier: str) -> None:
        for constant in self.said.of_track(number):
            constant.recognise(inside)
        self.filler.fill(self.filler.fitting(inside, "track", number), row, inside)
        for constant in self.said.of_track(number):
            constant.recognise(inside, even_cells=True)
        self.left += [NotReturned(f"track{name}", text, NO_COLUMN, carrier) for name, text in attributes(track).items()]
        self.left += self._left(inside, "track", carrier)

    def _rest_of(self, copy: Instantiation, mine: list[Piece], row: ReturnedRow) -> None:
        for constant in self.said.of_level("instantiation"):
            constant.recognise(mine, even_cells=True)
        for note in self.said.notes:
            if note.target.level == "instantiation":
                row.marks = row.marks + note.recognise(mine)
        carrier = name_of(copy)
        given = attributes(copy).items()
        self.left += [NotReturned(f"instantiation{name}", text, NO_COLUMN, carrier) for name, text in given]
        self.left += self._left(mine, "instantiation", carrier)

    def _copies(self) -> Iterator[Instantiation]:
        """The carriers or files that rows of this sheet describe. The others are listed as a whole."""
        met = 0
        for copy in self.asset.instantiations:
            why = self._foreign(copy) or (ONE_ROW if met and self.mapping.row == "asset" else "")
            if why:
                self.left.append(NotReturned("asset.instantiation", name_of(copy) or shown(copy), why, name_of(copy)))
            else:
                met += 1
                yield copy

    def _foreign(self, copy: Instantiation) -> str:
        """Why no row of the sheet can describe a carrier or file, "" where one can."""
        if not self.way._levels & {"instantiation", "track"}:
            return "the mapping carries nothing of carriers and files"
        inside = pieces(copy, "instantiation")
        sheets = {e.sheet for one in inside if isinstance(one.node, Value) and (e := one.node.evidence) and e.row}
        if sheets and "" not in sheets and not any(wanted(self.mapping, sheet) for sheet in sheets):
            return f'it comes from sheet "{min(sheets)}", which the mapping does not read'
        other, kind = OTHER_KIND.get(self.mapping.row, ("", ""))
        if other and getattr(copy, other) is not None and ("instantiation", other) not in self.way._filled:
            return f"it is a {kind}, and a row of the sheet is a {self.mapping.row}"
        return self._contradicted(self.said.of_level("instantiation"), inside)

    def _contradicted(self, constants: list[Stated], inside: list[Piece]) -> str:
        """Where a row would say something else of a carrier or track than the record does, "" where it would not."""
        alone = (one for one in constants if (one.target.level, one.target.child.field) not in self.way._filled)
        for one in alone:
            said = one.contradicted(inside)
            if said:
                return f'the mapping states {one.target.path} "{one.spec.value}" of every row, and this is "{said}"'
        return ""

    def _left(self, found: list[Piece], level: str, carrier: str = "") -> Iterator[NotReturned]:
        targets = [way.target for way in self.way._columns.ways]
        for piece in found:
            if not piece.taken:
                yield NotReturned(piece.field, shown(piece.node), piece.why or _why(piece, targets, level), carrier)
            for field, text in lines(piece, piece.rest):
                yield NotReturned(field, text, f'"{piece.taken}" takes the value alone', carrier)

    def _apart(self, rows: list[ReturnedRow]) -> Iterator[NotReturned]:
        """What reading the rows again would not bring together as one record."""
        name, keys = name_of(self.asset), [self.way.layout.first(key) for key in self.mapping.key_headings]
        if not rows:
            yield NotReturned("asset", name, "nothing of it has a place in a row of the sheet")
        elif keys and not all(any(row.cells.get(key) for key in keys) for row in rows):
            why = f"nothing in the record tells the key columns ({', '.join(keys)}): rows without a key cannot be read"
            yield NotReturned("asset", name, why)
        elif len(rows) > 1 and not keys:
            why = f"the sheet has no asset key: its {len(rows)} rows are read as {len(rows)} assets"
            yield NotReturned("asset", name, why)


OTHER_KIND = {"carrier": ("digital", "file"), "file": ("physical", "carrier")}
NO_COLUMN = "no column of the mapping carries it"
NO_TRACK = "the mapping has no such essence track"
ONE_ROW = "a row of the sheet is an asset, and holds one carrier"


def _why(piece: Piece, targets: list[Target], level: str) -> str:
    if not any(one.level == level and one.child.field == piece.child.field for one in targets):
        return NO_COLUMN
    beside = ", ".join(f'{leaf.lstrip("@")} "{text}"' for leaf, text in leaves(piece.node).items() if leaf)
    return "no column takes it as it is" + (f" ({beside})" if beside else "")


def name_of(record: Asset | Instantiation) -> str:
    """The first identifier of a record or carrier, "" where it has none."""
    return record.identifiers[0].text if record.identifiers else ""

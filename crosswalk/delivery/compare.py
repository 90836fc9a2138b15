"""Comparing two sets of records: what we sent against what a system exports, this month against last.

Records come in any order, from any readable format. Read them with `ReadOptions(evidence=True)` so that each difference
can say on which line or in which cell its two values stand.
"""

from __future__ import annotations

import csv
import io
from collections.abc import Callable, Iterable
from typing import TypeAlias

import msgspec

from crosswalk.delivery.differences import EXACT, Differ, Difference, Equivalences, place_of
from crosswalk.records import Asset, Instantiation, Record
from crosswalk.tables import as_text as as_cell

Key: TypeAlias = Callable[[Record], str]
_LINES = ("record", "field", "kind", "left", "right", "left place", "right place")


class Unpaired(msgspec.Struct, frozen=True):
    """A record without a fellow: on which side, and why (`alone`, or `twice` where its identifier came before)."""

    record: str
    side: str
    why: str
    place: str = ""


class Comparison(msgspec.Struct, frozen=True, rename="camel"):
    """What came of it."""

    left_count: int
    right_count: int
    paired: int
    equal: int
    unpaired: tuple[Unpaired, ...]
    differences: tuple[Difference, ...]

    @property
    def differ(self) -> bool:
        """Whether the two sets differ in anything; the exit status is 1 then."""
        return bool(self.unpaired or self.differences)


def by_identifier(source: str = "") -> Key:
    """Pairs records by their first identifier, or the first of one source.

    >>> from crosswalk.records import Identifier
    >>> asset = Asset(identifiers=(Identifier("7", source="database"), Identifier("TDLN0423", source="Merrow")))
    >>> by_identifier()(asset), by_identifier("Merrow")(asset)
    ('7', 'TDLN0423')
    """

    def key(record: Record) -> str:
        return next((each.text for each in record.identifiers if source in ("", each.source)), "")

    return key


def compare(
    left: Iterable[Record], right: Iterable[Record], same: Equivalences = EXACT, key: Key | None = None
) -> Comparison:
    """The differences between two sets of records, paired by `key` (their first identifier).

    The left set is held in packed form while the right one passes. What is not paired comes after the pairs."""
    return _Comparing(Differ(same), key or by_identifier()).run(left, right)


class _Comparing:
    def __init__(self, differ: Differ, key: Key) -> None:
        self.differ, self.key = differ, key
        self.waiting: dict[str, bytes] = {}
        self.unpaired: list[Unpaired] = []
        self.pack = msgspec.msgpack.Encoder().encode
        self.unpack_asset = msgspec.msgpack.Decoder(Asset).decode
        self.unpack_instantiation = msgspec.msgpack.Decoder(Instantiation).decode

    def run(self, left: Iterable[Record], right: Iterable[Record]) -> Comparison:
        left_count = sum(map(self._keep, left))
        differences: list[Difference] = []
        right_count = paired = equal = 0
        seen: set[str] = set()
        for record in right:
            right_count += 1
            name = self.key(record)
            if name in seen or name not in self.waiting:
                self._alone(name, "right", "twice" if name in seen else "alone", record)
            else:
                found = list(self.differ.between(self._take(name), record, name))
                paired, equal = paired + 1, equal + (not found)
                differences += found
            seen.add(name)
        for name in list(self.waiting):
            self._alone(name, "left", "alone", self._take(name))
        return Comparison(left_count, right_count, paired, equal, tuple(self.unpaired), tuple(differences))

    def _keep(self, record: Record) -> int:
        name = self.key(record)
        if name in self.waiting:
            self._alone(name, "left", "twice", record)
        else:
            self.waiting[name] = (b"i" if isinstance(record, Instantiation) else b"a") + self.pack(record)
        return 1

    def _take(self, name: str) -> Record:
        packed = self.waiting.pop(name)
        return self.unpack_asset(packed[1:]) if packed[:1] == b"a" else self.unpack_instantiation(packed[1:])

    def _alone(self, name: str, side: str, why: str, record: Record) -> None:
        self.unpaired.append(Unpaired(name, side, why, place_of(record)))


def as_text(found: Comparison) -> str:
    """The comparison for reading: a line a difference, and the counts.

    >>> print(as_text(compare([Asset()], [])))
    (no identifier): only left
    1 record left, 0 right, 0 paired, 0 of them equal; 0 fields differ
    """
    lines = [f"{each.record or '(no identifier)'}: {_unpaired(each)}{_place(each.place)}" for each in found.unpaired]
    lines += map(_line, found.differences)
    records = "record" if found.left_count == 1 else "records"
    fields = "1 field differs" if len(found.differences) == 1 else f"{len(found.differences)} fields differ"
    counts = (
        f"{found.left_count} {records} left, {found.right_count} right, {found.paired} paired, {found.equal} of them"
    )
    return "\n".join([*lines, f"{counts} equal; {fields}"])


def as_json(found: Comparison) -> bytes:
    """The comparison as JSON, indented."""
    return msgspec.json.format(msgspec.json.encode(found), indent=1) + b"\n"


def as_csv(found: Comparison) -> str:
    """The comparison as CSV, a row a difference."""
    out = io.StringIO(newline="")
    writer = csv.writer(out, lineterminator="\r\n")
    writer.writerow(_LINES)
    for each in found.unpaired:
        places = (each.place, "") if each.side == "left" else ("", each.place)
        writer.writerow([each.record, "", _unpaired(each), "", "", *places])
    writer.writerows(map(as_cell, msgspec.structs.astuple(each)) for each in found.differences)
    return out.getvalue()


def _unpaired(each: Unpaired) -> str:
    return f"only {each.side}" if each.why == "alone" else f"twice {each.side}"


def _line(each: Difference) -> str:
    left = f"{each.left!r}{_place(each.left_place)}"
    right = f"{each.right!r}{_place(each.right_place)}"
    said = {"only left": f"only left: {left}", "only right": f"only right: {right}"}
    return f"{each.record} {each.field}: " + said.get(each.kind, f"{each.kind}: {left}, {right}")


def _place(place: str) -> str:
    return f" ({place})" if place else ""

"""What goes out to the public. A record is written only when it is known of all others whether they go: a relation may
not point to one that stays, for whatever reason it does."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator
from functools import cache
from typing import IO

import msgspec

from crosswalk.checks.place import Place
from crosswalk.checks.profile import Profile
from crosswalk.checks.rules import check_record
from crosswalk.checks.run import AnyProfile
from crosswalk.checks.schema import SchemaCheck
from crosswalk.findings import Finding, Severity
from crosswalk.ledger import Entry
from crosswalk.mapping.assemble import Assembled, RowAccount
from crosswalk.mapping.store import StoredRow
from crosswalk.pipeline.gather import Source
from crosswalk.pipeline.namesakes import Namesakes, identifiers
from crosswalk.pipeline.produce import INCOMPLETE, INVALID, Item, hold
from crosswalk.pipeline.run import Run
from crosswalk.records import Asset, located
from crosswalk.rights.gate import public_copy
from crosswalk.rights.review import Astray, Status
from crosswalk.standards.pbcore import write_record
from crosswalk.values.folding import fold
from crosswalk.xmlio import parse_tree

OF_PROFILE = "the receiving party would refuse it"
OTHER_SPELLING = "the review names another spelling, and two records share it"
NEARLY = "the review rules on an identifier that differs in punctuation only, or is one of several"
HOUSE_ONLY = "incomplete without what stays in the house"


class Candidate(msgspec.Struct, array_like=True):
    """One record that may go out, with the account of its rows, as it waits for the others."""

    asset: Asset
    rows: list[tuple[StoredRow, dict[int, Entry]]]


class Going:
    """The records that go out. They wait on disk, since whether the last one goes concerns the first."""

    def __init__(self, spool: IO[bytes], sources: list[Source], namesakes: Namesakes) -> None:
        self._spool, self._sources, self._namesakes = spool, sources, namesakes
        self._names: set[str] = set()
        self._spellings: set[str] = set()  # of the names that records share but for their spelling
        self._encode = msgspec.msgpack.Encoder().encode

    def add(self, assembled: Assembled) -> None:
        """Takes a record that goes out."""
        self._names.update(map(fold, identifiers(assembled.asset)))
        rows = [(account.row, account.entries) for account in assembled.rows]
        packed = self._encode(Candidate(assembled.asset, rows))
        self._spool.write(len(packed).to_bytes(4, "big") + packed)

    def items(self, run: Run, astray: Astray) -> Iterator[Item]:
        """The records as the public may see them, once all have been added. Of records that share a name but for its
        spelling, those that the review does not spell so are held; and so are those that a ruling on nobody's
        identifier, `astray`, may mean."""
        staying = self._staying(run, astray) if self._namesakes.shared or astray.rulings else set()
        for number, candidate in enumerate(self._candidates()):
            if number not in staying:
                copy = public_copy(candidate.asset, self._goes)
                yield Item(copy.asset, self._accounts(candidate), copy.kept)

    def _staying(self, run: Run, astray: Astray) -> set[int]:
        """Holds what stays for its spelling, and keeps the names of the others only."""
        staying = set()
        self._names.clear()
        for number, candidate in enumerate(self._candidates()):
            held = self._held(candidate.asset, astray)
            if held is not None:
                staying.add(number)
                hold(candidate.asset, self._accounts(candidate), *held[:2], run, held[2])
            else:
                own = identifiers(candidate.asset)
                self._names.update(map(fold, own))
                self._spellings.update(name for name in own if fold(name) in self._namesakes.shared)
        return staying

    def _held(self, asset: Asset, astray: Astray) -> tuple[str, str, str] | None:
        """Why an open record stays for the spelling of its identifiers, the reason, and the cell of the ruling."""
        text = self._namesakes.meant_for_another(asset)
        if text:
            return Status.NOT_REVIEWED.value, f'"{text}": {OTHER_SPELLING}', self._namesakes.decided_in(text)
        ruling = astray.of(identifiers(asset))
        if ruling is None:
            return None
        return ruling.status.value, f"{NEARLY}{f': {ruling.reason}' if ruling.reason else ''}", ruling.decided_in

    def _goes(self, text: str) -> bool:
        key = fold(text)
        return key in self._names and (key not in self._namesakes.shared or text in self._spellings)

    def _candidates(self) -> Iterator[Candidate]:
        decode = msgspec.msgpack.Decoder(Candidate).decode
        self._spool.seek(0)
        while size := self._spool.read(4):
            yield decode(self._spool.read(int.from_bytes(size, "big")))

    def _accounts(self, candidate: Candidate) -> list[RowAccount]:
        return [RowAccount(self._sources[row.source].plan, row, entries) for row, entries in candidate.rows]


def may_go(assembled: Assembled, is_open: Callable[[str], bool], profile: AnyProfile | None, run: Run) -> bool:
    """Whether an open record may go out; where it may not, it is held with the reason, and the findings say more."""
    copy = public_copy(assembled.asset, is_open).asset
    if not any(found for _, found in _judged(copy, profile)):
        return True
    for why, found in _judged(located(copy), profile):
        run.log.add(found)
        first = next((one for one in found if one.severity is Severity.ERROR), None)
        if first is not None:
            hold(assembled.asset, assembled.rows, why, first.message, run, first.origin.cell)
            return False
    return True


def _judged(copy: Asset, profile: AnyProfile | None) -> Iterator[tuple[str, list[Finding]]]:
    yield HOUSE_ONLY, [one for one in check_record(copy, Place()) if one.code in INCOMPLETE]
    yield OF_PROFILE, list(_of_profile(copy, profile))
    content = write_record(copy)
    if not _schema().accepts(content):
        yield INVALID, _schema().content(content)


def _of_profile(copy: Asset, profile: AnyProfile | None) -> Iterable[Finding]:
    if profile is None:
        return ()
    place = Place().of(copy)
    if isinstance(profile, Profile):
        return profile.check(copy, place)
    return profile.check(msgspec.structs.replace(place, element=parse_tree(write_record(copy))))


@cache
def _schema() -> SchemaCheck:
    return SchemaCheck("pbcore-2.1.xsd")

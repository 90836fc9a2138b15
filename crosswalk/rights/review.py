"""The rights review: what was decided for each asset. What was not decided is held."""

from __future__ import annotations

import re
from collections.abc import Container, Iterable, Mapping
from enum import StrEnum

import msgspec

from crosswalk.findings import Finding, Origin, finding
from crosswalk.values.folding import fold


class Status(StrEnum):
    """What may be done with an asset, from the freest to the strictest."""

    OPEN = "open"
    IN_HOUSE = "in-house only"
    NOT_REVIEWED = "not reviewed"
    HOLD = "hold"


_STRICTNESS = list(Status)


class Ruling(msgspec.Struct, frozen=True):
    """One decision, its reason, and the cell it stands in."""

    status: Status
    reason: str = ""
    place: Origin = Origin()

    @property
    def decided_in(self) -> str:
        """The cell of the decision; the address in a delimited file names the file already."""
        place = self.place
        return place.cell if place.file and place.cell.startswith(f"{place.file}:") else str(place)


PIECES = re.compile(r"\d+|[^\W\d_]+")
SEVERAL = re.compile(r"[/,;&+\n]|\b(?:and|und|et|y)\b")
SPAN = re.compile(r"(.*?)(\d+) ?(?:-|–|to|thru|through|bis|au?|al?|hasta) ?(?=(?:.*?)(\d+)$)(.*?)\d+", re.IGNORECASE)
LONGEST_SPAN = 500
SHORT = 4
NOT_REVIEWED = Ruling(Status.NOT_REVIEWED, "no decision in the rights review")


class Review(msgspec.Struct):
    """All rulings by folded identifier, and the identifiers as the review spells them."""

    rulings: dict[str, Ruling]
    spellings: set[str] = set()

    def astray(self, described: Container[str]) -> Astray:
        """The rulings that open nothing, on assets that nobody describes."""
        return Astray(
            [
                (named_in(key), ruling)
                for key, ruling in self.rulings.items()
                if key not in described and ruling.status is not Status.OPEN
            ]
        )

    def of(self, identifiers: Iterable[str]) -> Ruling:
        """The strictest ruling that any of an asset's identifiers has; not reviewed where none has one.

        >>> Review({"tdln-0423": Ruling(Status.OPEN)}).of(["TDLN-0423"]).status.value
        'open'
        """
        found = [self.rulings[key] for key in map(fold, identifiers) if key in self.rulings]
        return max(found, key=lambda ruling: _STRICTNESS.index(ruling.status), default=NOT_REVIEWED)

    def spells(self, identifier: str) -> bool:
        """Whether the review has the identifier in just this spelling."""
        return identifier.strip() in self.spellings

    def is_open(self, identifier: str) -> bool:
        """Whether the asset of that identifier is cleared for the public."""
        return self.of([identifier]).status is Status.OPEN


class Astray(msgspec.Struct):
    """Rulings that open nothing on identifiers that nobody has: an asset may be meant whose own identifier differs from
    them in punctuation only, or stands among others in them."""

    rulings: list[tuple[str, Ruling]]

    def of(self, identifiers: Iterable[str]) -> Ruling | None:
        """The ruling that may mean an asset of these identifiers."""
        for own in map(bare, identifiers):
            telling = " " in own or len(own) > SHORT  # a bare number stands in many texts
            for named, ruling in self.rulings:
                if f"|{own}|" in named or (telling and f" {own} " in named.replace("|", " ")):
                    return ruling
        return None


def named_in(text: str) -> str:
    """All identifiers that a cell of the review may name, between bars: one, several, or from one to another.

    >>> named_in("TDLN-0101/0102"), named_in("tdln 7 to 9")
    ('|tdln 101 102|tdln 101|tdln 102|', '|tdln 7 to 9|tdln 7|tdln 8|tdln 9|')
    """
    whole, span = bare(text), SPAN.fullmatch(" ".join(text.split()))
    if span and 0 < int(span[3]) - int(span[2]) <= LONGEST_SPAN and span[4] in ("", span[1]):
        parts = [bare(f"{span[1]}{number}") for number in range(int(span[2]), int(span[3]) + 1)]
    else:
        pieces = [piece.strip() for piece in SEVERAL.split(text) if piece.strip()]
        stem = bare(pieces[0]).rpartition(" ")[0] if pieces else ""
        parts = [bare(f"{stem} {piece}" if piece.isdigit() else piece) for piece in pieces]
    return f"|{'|'.join(dict.fromkeys((whole, *parts)))}|"


def bare(identifier: str) -> str:
    """An identifier without punctuation, and without noughts before its numbers.

    >>> bare("TDLN-0423"), bare("tdln 423")
    ('tdln 423', 'tdln 423')
    """
    pieces = PIECES.findall(fold(identifier))
    return " ".join(piece.lstrip("0") or "0" if piece.isdigit() else piece for piece in pieces)


class Line(msgspec.Struct, frozen=True):
    """One row of the review sheet."""

    asset: str
    decision: str
    reason: str
    place: Origin
    mark: str = ""  # why the decision cannot be relied on, such as that it is struck out


def read_review(lines: Iterable[Line], words: Mapping[Status, Iterable[str]], findings: list[Finding]) -> Review:
    """The review of some lines. A word that means nothing holds, with a finding; of two rulings the stricter counts."""
    meanings = {fold(word): status for status, wordings in words.items() for word in wordings}
    rulings: dict[str, Ruling] = {}
    spellings: set[str] = set()
    for line in lines:
        spellings.add(line.asset.strip())
        ruling = _ruling(line, meanings, findings)
        known = rulings.get(fold(line.asset))
        if known is not None and known.status is not ruling.status:
            message = f'"{line.asset}" is ruled twice: {known.status} and {ruling.status}; the stricter one counts'
            findings.append(finding("RT02", line.place, message, value=line.decision))
        if known is None or _STRICTNESS.index(ruling.status) > _STRICTNESS.index(known.status):
            rulings[fold(line.asset)] = ruling
    return Review(rulings, spellings)


def _ruling(line: Line, meanings: Mapping[str, Status], findings: list[Finding]) -> Ruling:
    if not line.decision.strip():
        return Ruling(Status.NOT_REVIEWED, line.reason or NOT_REVIEWED.reason, line.place)
    status = meanings.get(fold(line.decision))
    if status is None:
        message = f'"{line.decision}" is no decision that the job names; {line.asset} is held'
        findings.append(finding("RT01", line.place, message, value=line.decision))
        return Ruling(Status.HOLD, f'decision not understood: "{line.decision}"', line.place)
    if status is Status.OPEN and line.mark:
        findings.append(finding("RT04", line.place, f"{line.asset} is held: {line.mark}", value=line.decision))
        return Ruling(Status.NOT_REVIEWED, line.mark, line.place)
    return Ruling(status, line.reason, line.place)

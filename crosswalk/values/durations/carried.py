"""Lengths beside carriers: what a carrier holds beside what is on it, and so many carriers with one length each."""

from __future__ import annotations

from crosswalk.values.durations import words
from crosswalk.values.durations.clocks import Length
from crosswalk.values.durations.grammar import Found
from crosswalk.values.durations.lengths import MOST_TIMES, Term
from crosswalk.values.durations.lexer import Token

_JOINTS = (words.AND - {"u"}) | frozenset(("+", "&", "plus", "or", "oder", "ou", "o"))
_BEFORE_EACH = frozenset(("@", "at", "a", "of", "de", "x", "von", "zu"))


def recorded(found: Found, row: list[Token]) -> Term | None:
    """The length of what is recorded, where one other says what the carrier holds: `60-min tape, 42 min recorded`."""
    holding = [term for term in found.terms if term.holds]
    rest = [term for term in found.terms if not term.holds and (term.part_of or not term.bare)]
    if len(holding) != 1 or len(rest) != 1 or found.passing or found.limit or found.each or found.run_in:
        return None
    term, texts = rest[0], {token.text for token in row}
    if sum(token.text in words.CARRIERS for token in row) > 1:
        return None
    if texts & words.UNUSED or texts & _JOINTS or (found.parts and not found.capacity and not texts & words.USED):
        return None
    if term.bare:
        term = _with_unit(term, found)
    fits = 0 < term.length.seconds <= holding[0].length.seconds
    return term if fits and not holding[0].length.impossible else None


def _with_unit(term: Term, found: Found) -> Term:
    """`22 of 30 min`: the unit of the whole holds for the part."""
    counted = Term(Length(term.length.seconds * term.part_of))
    found.places[id(counted)] = found.places[id(term)]
    found.terms.append(counted)
    return counted


def put_together(found: Found, row: list[Token]) -> None:
    """`2 reels, 30 min each` becomes an hour, where no other count and no other length stand beside."""
    whole = [term for term in found.terms if not term.bare]
    if len(whole) != 1 or found.limit or found.passing or found.parts:
        return
    at = found.places[id(whole[0])][0]
    before = row[at - 1].text if at else ""
    counts = _counts(row, at)
    near = before in _BEFORE_EACH and counts and counts[0][0] == at - 3
    if len(counts) != 1 or not (_said(row) or (near and before in ("@", "at", "a", "x", "zu"))):
        return
    count = counts[0][1]
    if 1 < count <= MOST_TIMES and whole[0].length.seconds:
        one = whole[0].length
        whole[0].length = Length(one.seconds * count, doubts=_doubts(one, count), impossible=one.impossible)
        found.each = False
        found.capacity &= before not in ("of", "de", "von")


def _doubts(one: Length, count: int) -> tuple[tuple[str, str, tuple[str, ...]], ...]:
    if not one.doubts:
        return ()
    return tuple((code, message, (Length(one.seconds * count).text,)) for code, message, _ in one.doubts)


def _said(row: list[Token]) -> bool:
    """Whether a word such as "each" is there, or the length is per carrier."""
    return any(token.text in words.EACH for token in row)


def _counts(row: list[Token], start: int) -> list[tuple[int, int]]:
    """The places and numbers of `2 reels`, `drei Rollen`; not of `reels 1-2` or `2 reels of 3`."""
    found = []
    for at, token in enumerate(row[:-1]):
        number = int(token.text) if token.text.isdigit() else words.NUMBERS.get(token.text, 0)
        behind = row[at + 1].text
        plural = behind in words.CARRIED or (behind.endswith("s") and behind[:-1] in words.CARRIERS)
        of_more = at + 3 != start and [token.text for token in row[at + 2 : at + 3]] == ["of"]
        if number and plural and not of_more and not (at and row[at - 1].text in _NUMBERED):
            found.append((at, number))
    return found


_NUMBERED = words.CARRIERS | words.COUNTED | frozenset(("-", "/", "#", "of", *words.AND))

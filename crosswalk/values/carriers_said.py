"""What the pieces of a carrier wording say in their order: examples, what is not there, what is said to be unknown."""

from __future__ import annotations

from crosswalk.values.carriers_grammar import ARROW, ETC, EXAMPLE, FORMERLY, HEDGE, HELD, NO, OF, OTHER, SOURCE
from crosswalk.values.carriers_told import Parts

BODIES = frozenset({"reel", "cassette", "disc", "cylinder", "cartridge", "belt", "roll", "record"})
WIDTHS_MM = {
    "1/8in": 3.81,
    "1/4in": 6.3,
    "1/2in": 12.7,
    "3/4in": 19.0,
    "1in": 25.4,
    "2in": 50.8,
    "8mm": 8.0,
    "19mm": 19.0,
}
_MADE = ("file", "transferred")  # what is `of` something was made from it


def said(meanings: tuple[Parts, ...]) -> list[Parts]:
    """The meanings without examples (`e.g. 16mm`); `dub of`, `copy of` lead to what it was made from; what is not
    there (`no VHS`) or not named (`VHS etc.`) makes the rest a guess."""
    found: list[Parts] = []
    meanings = _without_unstated(meanings)
    for at, meaning in enumerate(meanings):
        before, after = meanings[at - 1] if at else (), meanings[at + 1 : at + 2]
        if meaning in (OF, ARROW, FORMERLY):
            found.extend(_linked(meaning, before, found, meanings[at + 1 :]))
        elif meaning == NO:
            found.extend([HEDGE] if _is_missed(after) else [])
        elif meaning == OTHER:
            found.extend([HEDGE] if names_something(list(after)) else [])
        elif meaning == ETC:
            named = [piece for piece in found if piece[0] != "break"][-1:]
            found.extend([HEDGE] if names_something(named) else [])
        elif meaning != EXAMPLE and before != EXAMPLE:
            found.append(meaning)
    return found


def _linked(meaning: Parts, before: Parts, found: list[Parts], after: tuple[Parts, ...]) -> list[Parts]:
    """What a link means that means several things: `dub of` and `reel of`, `VHS > DVD` and `> 60 min`, `VHS ex 16mm`
    and `ex VHS`."""
    if meaning == OF:
        if before and (before[0].startswith("generation=") or before[0] in _MADE):
            return [SOURCE]
        return [OF] if any(piece[0].startswith("carrier:") for piece in found) else []
    named = names_something(found)
    if meaning == ARROW:
        stored = any("store" in piece or "file" in piece for piece in after)
        return [HELD] if named and (stored or names_something(list(after))) else []
    if named or (before[:1] and before[0].startswith("generation=")):
        return [SOURCE]
    return [HEDGE] if names_something(list(after[:1])) else []


def unstated(meanings: tuple[Parts, ...]) -> frozenset[int]:
    """The places of attributes that are said to be unknown, and of the words that say so: `gauge not noted`."""
    pairs = [
        (at, at + 1)
        for at in range(len(meanings) - 1)
        if ("attribute" in meanings[at] and "unstated" in meanings[at + 1])
        or ("attribute" in meanings[at + 1] and ("unstated" in meanings[at] or meanings[at] == NO))
    ]
    return frozenset(at for pair in pairs for at in pair)


def _without_unstated(meanings: tuple[Parts, ...]) -> tuple[Parts, ...]:
    """The meanings without attributes; a format that is said to be unknown remains as `unstated`."""
    places = unstated(meanings)
    kept = tuple(
        ("unstated",) if "kind" in meaning and at in places else meaning
        for at, meaning in enumerate(meanings)
        if ("attribute" not in meaning and at not in places) or ("kind" in meaning and at in places)
    )
    return kept if names_something(list(kept)) or not places else meanings


def _is_missed(following: tuple[Parts, ...]) -> bool:
    """Whether a "no" speaks of the carrier: `no VHS`, `no copy`, `VHS: no`; not `no label`."""
    return not following or names_something(list(following)) or following[0][0].startswith("generation=")


def names_something(pieces: list[Parts]) -> bool:
    """Whether a carrier, a body or a width is named."""
    return any(
        part.startswith("carrier:") or part in BODIES or part in WIDTHS_MM or part in ("film", "tape", "cd", "beta")
        for piece in pieces
        for part in piece
    )

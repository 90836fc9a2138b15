"""What the parts of a carrier wording mean together: one carrier, a choice, a proposal, or a refusal."""

from __future__ import annotations

from collections.abc import Sequence

import msgspec
from rapidfuzz.distance import OSA

from crosswalk.values.carriers_grammar import (
    BREAK,
    ETC,
    EXAMPLE,
    GAUGES,
    HELD,
    OF,
    ON,
    ONTO,
    OTHER,
    SOURCE,
    Grammar,
    Rule,
)
from crosswalk.values.carriers_said import BODIES, WIDTHS_MM, names_something, said, unstated
from crosswalk.values.carriers_told import Parts, accounts
from crosswalk.values.reading import Doubt, How, Reading

_ALLOWED = {
    "reel": {"reel"}, "cassette": {"cassette", "cartridge"}, "disc": {"disc", "record", "cassette"},
    "film": {"reel", "roll", "cartridge", "cassette"},
    "wire": {"reel", "cartridge"}, "belt": {"belt", "cylinder"}, "cylinder": {"cylinder", "record", "roll"},
    "roll": {"roll", "reel"},
    "cartridge": {"cartridge", "cassette"},
}  # fmt: skip
_TAPE_WIDTHS = frozenset({"1/4in", "1/2in", "3/4in", "1in", "2in"})
_MOST_UNKNOWN, _SHORT, _MOST_MEANT = 4, 4, 2
_SAYS_NOTHING = (("unknown",), ("break",), ("break", "slash"))

WHY = {
    "CA01": "no part of the wording says what the carrier is",
    "CA02": "the wording fits more than one carrier",
    "CA03": "the wording names several carriers",
    "CA04": "the published list has no term for this format",
    "CA05": "this is a file, a still, paper or data storage, no carrier of the list",
    "CA06": "no film of this gauge is in use",
    "CA07": "the wording says what the recording was made from, not what is held",
    "CA09": "whoever wrote it was not sure, or wrote much besides",
}


class _Found(msgspec.Struct, frozen=True):
    value: str | None
    doubts: tuple[Doubt, ...] = ()
    alias: bool = False
    when: frozenset[str] = frozenset()  # parts that decided

    @property
    def settled(self) -> bool:
        return self.value is not None and not self.doubts


class Judged(msgspec.Struct, frozen=True, gc=False):
    """A reading without lengths and counts, and which of the meanings it does not account for."""

    reading: Reading
    more: frozenset[int] = frozenset()


def judge(grammar: Grammar, meanings: tuple[Parts, ...]) -> Judged:
    """The reading that the meanings of a wording's pieces add up to."""
    held, source = _held_and_source(grammar, said(meanings))
    found = _found(grammar, held)
    told = {part: None for meaning in meanings for part in meaning if "=" in part}
    also = tuple((key, value) for key, _, value in (part.partition("=") for part in told) if key != "unlisted")
    if source is None:
        return Judged(_reading(found, also, False), _more(grammar, meanings, [found]))
    if found.settled and any("hedge" in piece for piece in source):
        found = msgspec.structs.replace(found, doubts=(_doubt("CA09", str(found.value)),))
    origin = _found(grammar, source)
    if found.value is None and not names_something(held):
        found = _Found(None, (_doubt("CA07", *([origin.value] if origin.value else [])),))
    also = (*also, ("source", origin.value)) if origin.value else also
    more = _more(grammar, meanings, [found, origin], [] if origin.value else source)
    return Judged(_reading(found, also, True), more)


def _more(
    grammar: Grammar, meanings: tuple[Parts, ...], found: list[_Found], unread: Sequence[Parts] = ()
) -> frozenset[int]:
    """Which meanings a settled reading does not account for; `unread` is a source of which nothing was made."""
    if not found[0].settled:
        return frozenset()
    named = [(one.value, one.when) for one in found if one.value]
    left_open = unstated(meanings)
    return frozenset(
        at
        for at, meaning in enumerate(meanings)
        if at in left_open
        or (at and meanings[at - 1] == EXAMPLE)
        or meaning in (EXAMPLE, OTHER, ETC)
        or (unread and (meaning in unread or meaning in (SOURCE, HELD)) and meaning[0] not in ("unknown", "break"))
        or not any(accounts(grammar.vocabulary, name, meaning, when) for name, when in named)
    )


def _reading(found: _Found, also: tuple[tuple[str, str], ...], linked: bool) -> Reading:
    if found.value is None:
        return Reading(None, How.UNREAD, found.doubts, also=also)
    if found.alias and not linked:
        return Reading(found.value, How.ALIAS, found.doubts, "carriers: a wording of the list", also)
    return Reading(found.value, How.PATTERN, found.doubts, "carriers: the parts of the wording together", also)


def _held_and_source(grammar: Grammar, pieces: list[Parts]) -> tuple[list[Parts], list[Parts] | None]:
    """The pieces about what is held, and those about what it was made from (None where nothing is said of it)."""
    if HELD in pieces:
        at = len(pieces) - 1 - pieces[::-1].index(HELD)
        return pieces[at + 1 :], pieces[:at]
    if SOURCE in pieces:
        at = pieces.index(SOURCE)
        before, after = pieces[:at], pieces[at + 1 :]
        if ONTO in after and names_something(after[after.index(ONTO) :]):
            onto = after.index(ONTO)
            return after[onto + 1 :], after[:onto]
        if names_something(before):
            return before, after
        if ON in after:
            on = after.index(ON)
            return before + after[on + 1 :], after[:on]
        return before, after
    if OF in pieces:
        at = pieces.index(OF)
        if names_something(pieces[at + 1 :]):
            return pieces[:at], pieces[at + 1 :]
        pieces = [piece for piece in pieces if piece != OF]
    if ONTO in pieces:
        at = pieces.index(ONTO)
        if any("store" in piece or "file" in piece for piece in pieces[at + 1 :]):  # VHS to MP4
            return pieces[at + 1 :], pieces[:at]
    return _split_at_on(grammar, pieces)


def _split_at_on(grammar: Grammar, pieces: list[Parts]) -> tuple[list[Parts], list[Parts] | None]:
    """`16mm film on VHS` is a VHS; `sound on film` is not two things."""
    if ON in pieces:
        at = pieces.index(ON)
        before, after = pieces[:at], pieces[at + 1 :]
        stored = any("store" in piece or "file" in piece for piece in after)
        if _is_upon(grammar, before, after):
            return [*before, *(piece for piece in after if not _carriers(grammar, [piece]))], None
        if _apart(before):
            return [piece for piece in pieces if piece != ON], None
        if _found(grammar, before).settled and (stored or _carriers(grammar, after)):
            return after, before
    return [piece for piece in pieces if piece != ON], None


def _is_upon(grammar: Grammar, before: list[Parts], after: list[Parts]) -> bool:
    """`Digital8 recorded on Hi8`, `lacquer on aluminum`: what the first is made upon is no other carrier."""
    upon = {other for name in _carriers(grammar, before) for other in grammar.upon(name)}
    return not upon.isdisjoint(_carriers(grammar, after))


def _apart(before: list[Parts]) -> bool:
    """`VHS; access copy on DVD`: what is on the other carrier is a copy beside the first."""
    at = len(before)
    while at and before[at - 1] and before[at - 1][0].startswith("generation="):
        at -= 1
    return 0 < at < len(before) and before[at - 1][0] == BREAK[0]


def _found(grammar: Grammar, pieces: list[Parts]) -> _Found:
    """What pieces about one thing name."""
    carriers = _carriers(grammar, pieces)
    parts = _all_parts(grammar, pieces, carriers)
    widths = parts & _TAPE_WIDTHS
    if not carriers and len(widths) > 1:
        return _Found(None, (_doubt("CA03"),))
    rule = next((rule for rule in grammar.rules if rule.fits(parts)), None)
    if rule is None:
        return _Found(None, (_doubt("CA08" if "none" in parts else "CA01"),))
    alias = sum(1 for piece in pieces if piece and not piece[0].startswith("break")) == 1
    found = _by_carriers(grammar, carriers, parts) if rule.carrier else _by_rule(grammar, rule, parts, carriers)
    when = frozenset(part for want in rule.when for part in want.split("|"))
    found = msgspec.structs.replace(found, alias=alias and rule.carrier, when=when)
    return _hedged(found, pieces, rule)


def _all_parts(grammar: Grammar, pieces: list[Parts], carriers: list[str]) -> frozenset[str]:
    parts = {part for piece in pieces for part in piece if not part.startswith("carrier:")}
    parts |= {part.partition("=")[0] + "=" for part in parts if "=" in part}
    parts |= {f"carrier:{name}" for name in carriers} | {"carrier" for _ in carriers}
    facts = {f"{key}:{grammar.vocabulary.fact(name, key)}" for name in carriers for key in ("kind", "body")}
    return frozenset(parts | facts)


def _carriers(grammar: Grammar, pieces: list[Parts]) -> list[str]:
    """The carriers named, each once, without those that another of them stands under or is recorded upon."""
    named = list(dict.fromkeys(p[8:] for piece in pieces for p in piece if p.startswith("carrier:")))
    if len(named) < 2:
        return named
    covered = {name.partition(": ")[0] for name in named if ": " in name}
    if not any(piece and piece[0] == "break" for piece in pieces):
        covered |= {upon for name in named for upon in grammar.upon(name)}
    return [name for name in named if name not in covered]


def _by_carriers(grammar: Grammar, carriers: list[str], parts: frozenset[str]) -> _Found:
    if len({name.partition(": ")[0] for name in carriers}) > 1:
        return _Found(None, (_doubt("CA03", *carriers),))
    name = carriers[0] if len(carriers) == 1 else carriers[0].partition(": ")[0]
    against = _contradiction(grammar, name, parts)
    return _Found(None, (_doubt(against, name),)) if against else _Found(name)


def _contradiction(grammar: Grammar, name: str, parts: frozenset[str]) -> str:
    """The code where other parts of the wording speak of another thing; empty where they agree."""
    fact = grammar.vocabulary.fact
    kind, body, width = fact(name, "kind"), str(fact(name, "body")), fact(name, "width_mm")
    if parts & BODIES - _ALLOWED.get(body, BODIES) or (body == "disc" and "tape" in parts):
        return "CA03"
    if (kind != "film" and "film" in parts) or (kind == "film" and parts & {"video", "disc"}):
        return "CA03"
    if kind == "audio" and "video" in parts and not name.startswith("PCM"):
        return "CA03"
    others = {WIDTHS_MM[part] for part in parts & WIDTHS_MM.keys()}
    if body in ("cassette", "reel") and isinstance(width, float) and any(abs(other - width) > 0.5 for other in others):
        return "CA02"
    gauges = {part for part in parts if part[-2:] == "mm" and part[0].isdigit()}
    return "CA03" if kind == "film" and gauges - {f"{width:g}mm"} else ""


def _by_rule(grammar: Grammar, rule: Rule, parts: frozenset[str], carriers: list[str]) -> _Found:
    if rule.refuse:
        return _Found(None, (_doubt(rule.refuse, *_meant(rule.refuse, parts, carriers)),))
    if rule.propose:
        unlisted = next((part.partition("=")[2] for part in parts if part.startswith("unlisted=") and part[9:]), "")
        value = rule.propose.format(unlisted=unlisted)
        return _Found(value, (_doubt(rule.code, value),))
    if len(rule.take) > 1:
        return _Found(None, (_doubt("CA02", *rule.take),))
    return _Found(rule.take[0])


def _meant(code: str, parts: frozenset[str], carriers: list[str]) -> tuple[str, ...]:
    """What may have been meant: the gauges that one slip of the pen or a digit in common leads to, the nearest first;
    or the carriers named beside."""
    if code != "CA06":
        return tuple(carriers)
    written = next((part[:-2] for part in parts if part[-2:] == "mm" and part[0].isdigit()), "0")
    slips = {f"{gauge:g}": OSA.distance(written, f"{gauge:g}") for gauge in GAUGES}
    likely = [shown for shown, slip in slips.items() if slip < 2 or set(shown) & set(written) - {"."}]
    nearest = sorted(likely, key=lambda shown: (slips[shown], abs(float(shown) - float(written))))
    return tuple(f"{shown}mm film" for shown in nearest[:_MOST_MEANT])


def _hedged(found: _Found, pieces: list[Parts], rule: Rule) -> _Found:
    """The finding with a doubt where the writer hedged, or wrote many words that are not understood."""
    if found.value is None or found.doubts:
        return found
    unknown = sum(1 for piece in pieces if piece == ("unknown",))
    most = _most_unknown(found.value, pieces, rule)
    general = _within_one_term(pieces)
    if general and unknown <= most:
        return msgspec.structs.replace(found, value=general)
    if any("hedge" in piece for piece in pieces) or unknown > most or _left_open(pieces, rule):
        return msgspec.structs.replace(found, doubts=(_doubt("CA09", found.value),))
    return found


def _within_one_term(pieces: list[Parts]) -> str:
    """The published term where a guess is only between it and what stands under it: `VHS, possibly S-VHS`."""
    hedges = [at for at, piece in enumerate(pieces) if "hedge" in piece]
    if len(hedges) != 1 or "perhaps" not in pieces[hedges[0]]:
        return ""
    named = [(at, part[8:]) for at, piece in enumerate(pieces) for part in piece if part[:8] == "carrier:"]
    terms = {name.partition(": ")[0] for _, name in named}
    if len({name for _, name in named}) < 2 or len(terms) > 1 or hedges[0] < named[0][0]:
        return ""
    return terms.pop()


def _left_open(pieces: list[Parts], rule: Rule) -> bool:
    """Whether a format or gauge is said to be unknown, and named all the same."""
    measured = any(part in WIDTHS_MM or part[-2:] == "mm" for piece in pieces for part in piece)
    return ("unstated",) in pieces and (rule.carrier or measured)


def _most_unknown(value: str, pieces: list[Parts], rule: Rule) -> int:
    """How many words may be unknown: the shorter and the more general what is found, the fewer."""
    if any("weak" in piece for piece in pieces):
        return 0
    if rule.carrier:
        return len(value) - 1 if len(value) < _SHORT else _MOST_UNKNOWN
    named = sum(len(piece) for piece in pieces if piece not in _SAYS_NOTHING)
    return int(named > 1)


def _doubt(code: str, *suggestions: str) -> Doubt:
    return Doubt(code, WHY.get(code, "nothing is said of a carrier"), suggestions)

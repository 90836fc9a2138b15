"""The grammar of carrier wordings (mappings/vocabularies/grammar/carriers.toml), ready to take wordings apart."""

from __future__ import annotations

import re
import tomllib
from functools import cache
from itertools import product

import msgspec

from crosswalk.resources import resource
from crosswalk.values.carriers_spelling import Speller
from crosswalk.values.carriers_tokens import pieces
from crosswalk.values.carriers_told import CONDITION, TOLD, Parts
from crosswalk.vocabularies import Vocabulary, load

UNKNOWN, BREAK, HELD, SOURCE, ON, ONTO, EXAMPLE, OF, NO, OTHER, ETC, HEDGE, SLASH, ARROW, FORMERLY = (
    ("unknown",),
    ("break",),
    ("held",),
    ("source",),
    ("on",),
    ("onto",),
    ("example",),
    ("of",),
    ("no",),
    ("other",),
    ("etc",),
    ("hedge",),
    ("break", "slash"),
    ("arrow",),
    ("formerly",),
)
UNKNOWN_WORD = "\0"  # stands for any word that no wording holds
GAUGES = frozenset({8.0, 9.5, 16.0, 22.0, 28.0, 35.0, 70.0})  # what the published list has
_SHORT_NAME = 5
_HELICAL_MM = 19.0  # a width of videotape, not of film
_RARE_GAUGES = frozenset({17.5, 32.0, 65.0, 68.0})  # made once, not on the list
_SHARES = {0.5: "half track", 0.25: "quarter track"}  # of the width of the tape
_SHORTEST_TOLD = 3  # wordings of generations shorter than this mean too many other things beside a carrier
_SPELLED_SIGNS = {",": BREAK, ";": BREAK, "/": SLASH, "+": BREAK, "&": BREAK, "|": BREAK, ">": ARROW}
_MEASURE = re.compile(r"(?P<value>[\d./]+)(?P<unit>mm|in|rpm|ips|track|cm)")


class Word(msgspec.Struct, frozen=True):
    """Wordings and the parts that they name."""

    says: str
    of: tuple[str, ...]


class Rule(msgspec.Struct, frozen=True, kw_only=True):
    """What parts mean together: see the head of the grammar file."""

    when: tuple[str, ...]
    take: tuple[str, ...] = ()
    propose: str = ""
    refuse: str = ""
    code: str = ""
    carrier: bool = False

    def fits(self, parts: frozenset[str]) -> bool:
        """Whether every wanted part is there and no unwanted one."""
        return all(self._holds(want, parts) for want in self.when)

    @staticmethod
    def _holds(want: str, parts: frozenset[str]) -> bool:
        if want[0] == "-":
            return want[1:] not in parts
        return any(choice in parts for choice in want.split("|"))


class Bare(msgspec.Struct, frozen=True, forbid_unknown_fields=True):
    """Gauges without their unit, and the words beside which they are gauges."""

    gauges: tuple[str, ...]
    heads: tuple[str, ...]
    beside: tuple[str, ...]


class About(msgspec.Struct, frozen=True, forbid_unknown_fields=True):
    """Papers, and the words behind them that lead to what they are about."""

    papers: tuple[str, ...]
    links: tuple[str, ...]


class GrammarFile(msgspec.Struct, frozen=True, kw_only=True, forbid_unknown_fields=True):
    """The grammar as it is written down."""

    brands: tuple[str, ...]
    untold: tuple[str, ...]
    mend: tuple[str, ...]
    nothing: tuple[str, ...]
    told: tuple[str, ...]
    beside: tuple[str, ...]
    condition: tuple[str, ...]
    word: tuple[Word, ...]
    rule: tuple[Rule, ...]
    bare: Bare
    about: About
    general: dict[str, str]
    weak: dict[str, tuple[str, ...]]
    tells: dict[str, tuple[str, ...]]
    links: dict[str, tuple[str, ...]]


class Grammar:
    """The wordings of the vocabulary and of the grammar, by their joined pieces."""

    def __init__(self, vocabulary: Vocabulary, written: GrammarFile, shipped: Vocabulary | None = None) -> None:
        self.vocabulary = vocabulary
        self.rules = written.rule
        self.meanings: dict[str, Parts] = {}
        self.words: set[str] = set()  # every piece of every wording
        self.plurals: set[str] = set()  # that nobody wrote down
        self._written: set[str] = set()
        self._one_word: set[str] = set()
        self._said: dict[str, Parts] = {}  # what keys that got another meaning told
        for phrases, parts in (*_meanings(vocabulary, written), *_of_the_house(vocabulary, shipped)):
            for phrase in phrases:
                self._add(phrase, parts)
        self._add_bare_gauges(written.bare)
        self.meanings[UNKNOWN_WORD] = UNKNOWN
        for words, wordings in written.tells.items():
            self._said |= {"".join(pieces(wording)): (f"also-written={words}",) for wording in wordings}
        self._tell_more(vocabulary, (*written.brands, *written.beside))
        self.words.update(",;/+&|?:>")
        self.openings = {key[:end] for key in self.meanings for end in range(1, len(key))}
        self.speller = Speller({word: self.meanings.get(word, UNKNOWN) for word in (*written.mend, *self._names())})

    def _add(self, phrase: str, parts: Parts) -> None:
        spelled = pieces(phrase)
        key = "".join(spelled)
        if known := tuple(part for part in self.meanings.get(key, ()) if "=" in part):
            self._said[key] = known
        self.meanings[key] = parts
        self.words.update(spelled)
        self._written.add(key)
        self.plurals.discard(key)
        if " " not in phrase:
            self._one_word.update((key, key + "s"))
        if key[-1:].isalpha() and not key.endswith("s") and len(key) > 1 and key + "s" not in self._written:
            self.meanings[key + "s"] = parts
            self.plurals.add(key + "s")
            self.words.add(spelled[-1] + "s")

    def _add_bare_gauges(self, bare: Bare) -> None:
        """`16 neg`, `film 16 neg`; no plurals, for `16 negs` are sixteen."""
        for gauge, word, head in product(bare.gauges, bare.beside, bare.heads):
            spelled = pieces(f"{head} {gauge} {word}")
            said = self.meanings.get("".join(pieces(word)), ())
            told = ("told",) if said in ((), UNKNOWN, TOLD) else said
            self.meanings.setdefault("".join(spelled), (f"{gauge}mm", "film", "bare", *told))
            self.words.update(spelled)

    def _tell_more(self, vocabulary: Vocabulary, beside: tuple[str, ...]) -> None:
        """What the words of an alias say beside the carrier is told, as if they stood beside its name."""
        telling = {"".join(pieces(word)): word for word in beside}
        aliases = [(pieces(alias), term.name) for term in vocabulary.term for alias in term.aliases]
        for spelled, name in sorted(aliases, key=lambda alias: len(alias[0])):
            key = "".join(spelled)
            told: dict[str, None] = {}
            for word in self._parted(spelled):
                told |= dict.fromkeys(part for part in self.meanings.get(word) or self.alone(word) if "=" in part)
                if word in telling and word not in name.lower():
                    told[f"also-written={telling[word]}"] = None
            self._add_parts(key, (*told, *self._said.get(key, ())))

    def _add_parts(self, key: str, told: Parts) -> None:
        parts = self.meanings[key]
        for form in (key, key + "s"):
            if told and parts and parts[0] != "break" and self.meanings.get(form) == parts:
                self.meanings[form] = tuple(dict.fromkeys((*parts, *told)))

    def _parted(self, spelled: list[str]) -> list[str]:
        """The longest known wordings that a wording of several pieces consists of."""
        parted, at, end = [], 0, len(spelled)
        while at < end:
            ends = range(end if at else end - 1, at, -1)  # never the whole of it
            last = next((last for last in ends if "".join(spelled[at:last]) in self.meanings), at + 1)
            parted.append("".join(spelled[at:last]))
            at = last
        return parted

    def upon(self, name: str) -> list[str]:
        """The carriers that a carrier is recorded on, or made upon."""
        return str(self.vocabulary.fact(name, "upon", "")).split(", ")

    def _names(self) -> list[str]:
        """The names of carriers that are one word, and long enough to be known with a slip in them."""
        return [
            word
            for word, parts in self.meanings.items()
            if word in self._one_word and len(word) > _SHORT_NAME and parts[:1] and parts[0][:8] == "carrier:"
        ]

    def alone(self, piece: str) -> Parts:
        """What a piece says that is not part of a longer wording."""
        known = self.meanings.get(piece) or _SPELLED_SIGNS.get(piece)
        if known is not None:
            return known
        if piece[0].isdigit():
            return _measure(piece)
        return UNKNOWN if piece[0].isalpha() and piece not in self.meanings else ()


def _meanings(vocabulary: Vocabulary, written: GrammarFile) -> list[tuple[tuple[str, ...], Parts]]:
    """All wordings with their parts; what comes later overrides what came before."""
    generations = [
        ((wording,), (f"generation={term.name}", *_body_of(wording)))
        for term in load("generations").term
        for wording in (term.name, *term.aliases)
        if len(wording) >= _SHORTEST_TOLD and wording.lower() not in written.untold
    ]
    carriers = [
        ((wording,), _carrier_parts(term.name, wording, written.general))
        for term in vocabulary.term
        for wording in (term.name, term.id or term.name, *term.aliases)
    ]
    weak = [(wordings, (f"carrier:{name}", "weak")) for name, wordings in written.weak.items()]
    words = [(word.of, tuple(_split(word.says))) for word in written.word]
    papers = tuple(" ".join(pair) for pair in product(written.about.papers, written.about.links))
    return [
        *generations,
        (written.brands, TOLD),
        (written.nothing, ()),
        (written.told, TOLD),
        (written.condition, CONDITION),
        *carriers,
        *weak,
        *words,
        (papers, ("paper", "about")),
        (("and", "und", "et", "y", "plus", "also on", "also as", "also available on", "as well as"), BREAK),
        (written.links["to"], HELD),
        (written.links["from"], SOURCE),
        (written.links["onto"], ONTO),
        (written.links["on"], ON),
        (written.links["example"], EXAMPLE),
        (written.links["of"], OF),
        (written.links["no"], NO),
        (written.links["other"], OTHER),
        (written.links["etc"], ETC),
        (written.links["ex"], FORMERLY),
    ]


def _body_of(wording: str) -> Parts:
    """A master tape is a tape, and a camera reel a reel."""
    last = wording.lower().rpartition(" ")[2].rstrip("s")
    return (last,) if last in ("tape", "reel") else ()


def _of_the_house(vocabulary: Vocabulary, shipped: Vocabulary | None) -> list[tuple[tuple[str, ...], Parts]]:
    """The wordings that a house added: they come last, and so override the grammar."""
    if shipped is None:
        return []
    known = {wording for entry in shipped.term for wording in (entry.name, *entry.aliases)}
    return [
        (tuple(w for w in (entry.name, *entry.aliases) if w not in known), (f"carrier:{entry.name}",))
        for entry in vocabulary.term
    ]


def _split(says: str) -> list[str]:
    """The parts of a `says`; a part with `=` is the last and may hold spaces.

    >>> _split("film base=cellulose nitrate")
    ['film', 'base=cellulose nitrate']
    """
    plain, told = says, []
    while "=" in plain:
        head, _, tail = plain.rpartition("=")
        before, _, key = head.rpartition(" ")
        if key == "standard":
            value, _, after = tail.partition(" ")
            told.append(f"{key}={value}")
            plain = f"{before} {after}"
        else:
            told.append(f"{key}={tail}")
            plain = before
    return [*plain.split(), *told]


def _carrier_parts(name: str, wording: str, general: dict[str, str]) -> Parts:
    """A general term's parts, and that the wording says "reel" where it does; otherwise the carrier."""
    if name not in general:
        return (f"carrier:{name}",)
    parts = tuple(general[name].split())
    return (*parts, "reel") if "reel" in wording.lower() and "reel" not in parts else parts


def _measure(piece: str) -> Parts:
    """What a number with its unit says."""
    found = _MEASURE.fullmatch(piece)
    if found is None:
        return ()
    if "/" in found["value"]:
        return (piece,)
    value, unit = float(found["value"]), found["unit"]
    if unit == "ips":
        return ("audio", f"speed={found['value']} {unit}")
    if unit == "track":
        if value in _SHARES:
            return ("audio", f"tracks={_SHARES[value]}")
        return ("audio", "multitrack", f"tracks={found['value']}")
    if unit == "rpm":
        return (piece, f"speed={found['value']} rpm")
    if unit != "mm" or value in GAUGES or value == _HELICAL_MM:
        return (piece,)
    return ("oddgauge", piece) if value in _RARE_GAUGES else ("nogauge", piece)


@cache
def grammar(*house_files: str) -> Grammar:
    """The grammar over the vocabulary of carriers, with the house's additions."""
    text = resource("mappings", "vocabularies", "grammar", "carriers.toml").read_text(encoding="utf-8")
    shipped = load("carriers")
    return Grammar(load("carriers", *house_files), msgspec.convert(tomllib.loads(text), GrammarFile), shipped)

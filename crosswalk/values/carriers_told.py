"""Which words of a carrier wording a reading accounts for, and how those are told that it does not."""

from __future__ import annotations

from collections.abc import Container, Sequence

from crosswalk.values.written import Written
from crosswalk.vocabularies import Vocabulary

Parts = tuple[str, ...]
ALSO_WRITTEN = "also-written"
TOLD: Parts = ("told",)  # a known word that says nothing of which carrier it is
CONDITION: Parts = ("condition",)  # a word of how the carrier is, or how it must be treated
# links; what the walk tells
_ELSEWHERE = {("of",), ("on",), ("onto",), ("held",), ("source",), ("unknown",), ("no",), ("arrow",)}
_PLAIN = frozenset(
    {
        *("film", "tape", "reel", "cassette", "disc", "record", "cylinder", "cartridge", "belt", "roll", "open"),
        *("cd", "beta", "dvcassette", "barenumber", "weak", "oddgauge", "bare"),
    }
)  # parts that any name found beside them implies
_LONGER = 4  # letters that accents and signs may add to a piece
_WIDTHS = ("1in", "2in")
_SIGNALS = {"analog": "analogue", "digital": "digital"}


def accounts(vocabulary: Vocabulary, name: str, meaning: Parts, when: frozenset[str]) -> bool:
    """Whether a carrier's name, found by a rule of the parts `when`, says all that a piece of the wording says."""
    if meaning in _ELSEWHERE or meaning[0] in ("break", "attribute"):
        return True
    if "told" in meaning or any(part[:9] == "unlisted=" for part in meaning):
        return False
    if any("=" in part for part in meaning):
        return True  # told by its own name
    if any(part[-2:] == "in" and part[0].isdigit() and "/" not in part and part not in _WIDTHS for part in meaning):
        return False  # a size: told as a figure, or as it is written
    return all(part in when or _implied(vocabulary, name, part) for part in meaning)


def _implied(vocabulary: Vocabulary, name: str, part: str) -> bool:
    if part[:8] == "carrier:":
        return name == part[8:] or name.startswith(part[8:] + ":")
    if part in _PLAIN or part in name.lower().replace(":", "").split():
        return True
    if part in _SIGNALS:
        return bool(vocabulary.fact(name, "signal") == _SIGNALS[part])
    if part[0].isdigit():
        return part[-2:] == "mm" or "/" in part or part in _WIDTHS
    return bool(part == vocabulary.fact(name, "kind"))


def with_accents(text: str, pieces: list[str], places: Container[int]) -> list[str]:
    """The pieces of a text, those at the places with its capitals and accents.

    >>> with_accents("VHS Größe", ["vhs", "grosse"], {1})
    ['vhs', 'Größe']
    """
    written = Written(text)
    typed = [(piece, written.piece(piece) if at in places else piece) for at, piece in enumerate(pieces)]
    return [found if len(found) < len(piece) + _LONGER else piece for piece, found in typed]


def as_typed(text: str, also: tuple[tuple[str, str], ...]) -> tuple[tuple[str, str], ...]:
    """What else a wording says, the words that an alias tells with the capitals that the text has.

    >>> as_typed("Sony VHS", (("also-written", "sony"), ("generation", "Master")))
    (('also-written', 'Sony'), ('generation', 'Master'))
    """
    lowered = text.lower()
    return tuple(
        (kind, text[at : at + len(words)])
        if kind == ALSO_WRITTEN and len(lowered) == len(text) and (at := lowered.find(words)) >= 0
        else (kind, words)
        for kind, words in also
    )


def told(pieces: Sequence[str], places: Sequence[int]) -> str:
    """The pieces at these places as they are written; what does not stand side by side is parted by commas.

    >>> told(["vhs", "german", "version", ",", "4"], [1, 2, 4])
    'german version, 4'
    """
    last = places[0]
    shown = pieces[last]
    if len(places) == 1:
        return shown
    for at in places[1:]:
        last += 1
        shown += " " + pieces[at] if at == last else ", " + pieces[at]
        last = at
    return shown

"""Carriers: a wording of a house to the published PBCore physical format, and what else the wording said."""

from __future__ import annotations

import re
from functools import lru_cache
from typing import NamedTuple

from msgspec.structs import replace

from crosswalk.values.carriers_figures import SIGNS, Figure, figures
from crosswalk.values.carriers_grammar import Grammar, grammar
from crosswalk.values.carriers_judge import WHY, Judged, judge
from crosswalk.values.carriers_mend import MARKS, mended, without_files
from crosswalk.values.carriers_tokens import CLOCK, SECONDS, pieces, typed_pieces
from crosswalk.values.carriers_told import ALSO_WRITTEN, Parts, as_typed, told, with_accents
from crosswalk.values.carriers_walk import Beside, Walk
from crosswalk.values.reading import Context, Doubt, How, Reading, refused
from crosswalk.vocabularies import near

LONGEST = 400  # a longer text is prose, not a format
_FEW = 4  # pieces; what a longer unknown wording may mean is anyone's guess
_FEWEST = 3  # pieces of a shelf mark
_PLACES = frozenset(
    {
        *("box", "shelf", "rack", "bay", "row", "bin", "drawer", "room", "no", "nr", "part", "pt", "vol", "volume"),
        *("side", "item", "reel", "disc", "disk", "tape"),
    }
)
# 3/4 behind one of these may be a shelf, or the third part of four.
_PLACED = re.compile(
    rf"\b(?:{'|'.join(sorted(_PLACES))})\.?\s*#?\s*"
    r"[1-9]/[1-9]\b(?!\s*(?:[\"'\u201c\u201d\u2033\u2032]|in\b|inch|zoll|po\b|pouce|pulg))",
    re.IGNORECASE,
)
_MEMO = 65_536  # distinct wordings, pieces and combinations that are remembered


class _Shape(NamedTuple):
    """What all wordings have in common that differ in words and numbers alone which say nothing of the carrier."""

    judged: Reading | None  # None where nothing is said of a carrier
    beside: list[Beside]
    left: list[int]
    condition: list[int]
    known_words: bool  # whether it tells words of an alias, which are typed in any case
    figured: bool  # whether there may be figures to look for
    marked: bool  # whether a number at the end may make it a shelf mark
    mistyped: bool  # whether it may be, or hold the name of a file
    places: bool  # whether it may hold a place


class _Reader:
    """Reads wordings by one grammar; remembers pieces, shapes, combinations and whole wordings."""

    def __init__(self, by: Grammar) -> None:
        self._grammar = by
        self._walk = Walk(by, SIGNS | MARKS | _PLACES)
        self._shapes: dict[str, _Shape] = {}
        self._judged: dict[tuple[Parts, ...], Judged] = {}
        self._published = {name: Reading(name, How.EXACT) for name in by.vocabulary.by_name}
        self._spelled = {"".join(pieces(name)): name for name in by.vocabulary.by_name}
        self._read = dict(self._published)

    def read(self, text: str) -> Reading:
        """The reading of a wording."""
        known = self._read.get(text)
        if known is not None:
            return known
        if len(text) > LONGEST:
            return refused("CA08", "a text of this length is no format")
        if len(self._read) >= _MEMO:
            self._read = dict(self._published)
        written = typed_pieces(text)
        key = self._walk.signs(written)
        shape = self._shapes.get(key) or self._shape(key, written)
        reading = self._fresh(shape, text, written)
        if shape.mistyped:
            reading = self._mended(reading, text)
        if shape.places and reading.settled and (placed := _PLACED.search(text)):
            reading = self._placed(reading, text[: placed.start()] + " " + text[placed.end() :])
        self._read[text] = reading
        return reading

    def _mended(self, reading: Reading, text: str) -> Reading:
        """The reading of a wording that may be mistyped, or hold the name of a file."""
        better = mended(text)
        if better != text:
            return self.read(better)
        rest = without_files(text)
        if reading.settled and rest != text and self.read(rest).value != reading.value:
            return refused("CA05", WHY["CA05"])
        return reading

    def _placed(self, reading: Reading, rest: str) -> Reading:
        """The reading, with a doubt where it rests on a fraction that may say where the carrier is."""
        if self.read(rest).value == reading.value:
            return reading
        doubt = Doubt("CA09", "the fraction may be a place or a part", (str(reading.value),))
        return replace(reading, doubts=(doubt,))

    def _fresh(self, shape: _Shape, text: str, written: list[str]) -> Reading:
        judged, beside, left, condition, known_words, figured, marked = shape[:7]
        if judged is None:
            return refused("CA08", "nothing is said of a carrier")
        if judged.value is None:
            return self._no_fact(self._unread(text, judged), self._beside(written, beside), [])
        hits = figures(text, judged.also) if figured else []
        if judged.doubts:
            return self._no_fact(judged, self._beside(written, beside), hits)
        if marked and _is_number_of_mark(written[-1]):
            doubt = Doubt("CA09", "this may be a shelf mark", (judged.value,))
            return self._no_fact(replace(judged, doubts=(doubt,)), (), hits)
        if hits and left:
            left = _without(left, text, written, hits)
        if not (beside or hits or left or condition or known_words):
            return judged
        also = as_typed(text, judged.also) if known_words else judged.also
        if beside:
            also += self._beside(written, beside)
        if hits:
            also += tuple(hit.said for hit in hits)
        if (condition or left) and not text.isascii():
            written = with_accents(text, written, {*condition, *left})
        if condition:
            also += (("condition", told(written, condition)),)
        if left:
            also += ((ALSO_WRITTEN, told(written, left)),)
        return Reading(judged.value, judged.how, (), judged.rule, also)

    def _beside(self, written: list[str], places: list[Beside]) -> tuple[tuple[str, str], ...]:
        """Counts and lengths of time, which differ from wording to wording."""
        if not places:
            return ()
        spelled = self._walk.spelled
        if len(places) > 1:
            return _counted(*[spelled(written[at]) + sign for at, sign in places])
        at, sign = places[0]
        return _counted(spelled(written[at]) + sign)

    def _shape(self, key: str, written: list[str]) -> _Shape:
        """The shape of a wording that has none as yet."""
        if len(self._shapes) >= _MEMO:
            self._shapes.clear()
        written = [piece.lower() for piece in written]
        rows = self._walk.rows(written)
        walked = self._walk.meanings(rows)
        marked = len(rows) <= _FEWEST and any(walked[1:3]) and all(len(piece) < 3 for piece, _ in rows[:-1])
        known = self._judge(tuple(walked.found)) if walked.found else None
        left = self._walk.meanings(rows, known.more).left if known and known.more else walked.left
        figured = not SIGNS.isdisjoint(written)
        places = not _PLACES.isdisjoint(written) and any("/" in piece for piece in written)
        mistyped = not MARKS.isdisjoint(written)
        judged = known.reading if known else None
        known_words = judged is not None and any(kind == ALSO_WRITTEN for kind, _ in judged.also)
        shape = _Shape(judged, walked.beside, left, walked.condition, known_words, figured, marked, mistyped, places)
        self._shapes[key] = shape
        return shape

    @staticmethod
    def _no_fact(reading: Reading, beside: tuple[tuple[str, str], ...], hits: list[Figure]) -> Reading:
        """The reading that is no fact, with its counts, lengths and figures."""
        extra = beside + tuple(hit.said for hit in hits)
        return replace(reading, also=reading.also + extra) if extra else reading

    def _unread(self, text: str, judged: Reading) -> Reading:
        """A published term in another spelling that the grammar refuses; or the refusal, with what may be meant."""
        written = pieces(text)
        joined = "".join(written)
        named = self._spelled.get(joined, "")
        if named and (judged.doubts[0].code != "CA02" or text.strip().casefold() == named.casefold()):
            return Reading(named, How.ALIAS, rule="carriers: a term of the list")
        if judged.doubts[0].code == "CA01" and len(written) <= _FEW:
            return self._with_near(judged, joined)
        return judged

    def _with_near(self, judged: Reading, spelled: str) -> Reading:
        """The refusal with what may have been meant; only proposals, never applied."""
        meant = tuple(found.term for found in near(self._grammar.vocabulary, spelled))
        doubt = judged.doubts[0]
        return Reading(None, How.UNREAD, (Doubt(doubt.code, doubt.message, meant),), also=judged.also)

    def _judge(self, meanings: tuple[Parts, ...]) -> Judged:
        known = self._judged.get(meanings)
        if known is None:
            if len(self._judged) >= _MEMO:
                self._judged.clear()
            known = self._judged[meanings] = judge(self._grammar, meanings)
        return known


def _is_number_of_mark(number: str) -> bool:
    """Whether a number behind a short name is more likely part of a shelf mark: `D2-0123`."""
    return number.isdigit() and (len(number) > 3 or (number[0] == "0" and len(number) > 2))


def _without(left: list[int], text: str, written: list[str], hits: list[Figure]) -> list[int]:
    """The places of the words that are left, without those that a figure of the wording holds."""
    held: set[int] = set()
    for hit in hits:
        start = len(typed_pieces(text[: hit.start]))
        shown = typed_pieces(text[hit.start : hit.end])
        if written[start : start + len(shown)] == shown:
            held.update(range(start, start + len(shown)))
    return [at for at in left if at not in held]


@lru_cache(maxsize=_MEMO)
def _counted(*numbers: str) -> tuple[tuple[str, str], ...]:
    found: list[tuple[str, str]] = []
    seconds = 0
    for number in numbers:
        if number[-1] == SECONDS:
            seconds += int(number[:-1])
        else:
            found.append(("duration_as_written" if number[-1] == CLOCK else "count", number[:-1]))
    if seconds:
        found.append(("duration", f"{seconds // 3600:02d}:{seconds // 60 % 60:02d}:{seconds % 60:02d}"))
    return tuple(found)


_READERS: dict[tuple[str, ...], _Reader] = {}


def read_carrier(text: str, context: Context) -> Reading:
    """The published physical format that a wording means, with a sub-format after a colon. `also` holds what else it
    says: generation, standard, size, count, duration, colors, sound, speed, tracks, base, source, condition; and, as
    also-written, the words of a settled reading that it does not account for.

    >>> reading = read_carrier('3/4" Umatic SP; Master', Context())
    >>> reading.value, reading.also
    ('U-matic: SP', (('generation', 'Master'),))
    >>> read_carrier("35mm nitrate, mouldy, reel 2", Context()).also
    (('base', 'nitrate'), ('condition', 'mouldy'), ('also-written', '2'))
    >>> read_carrier("Beta", Context()).doubts[0].suggestions
    ('Betamax', 'Betacam')
    """
    reader = _READERS.get(context.house_files)
    if reader is None:
        reader = _READERS[context.house_files] = _Reader(grammar(*context.house_files))
    return reader.read(text)

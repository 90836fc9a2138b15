"""Carriers: a wording of a house to the published PBCore physical format, and what else the wording said."""

from __future__ import annotations

import re

from msgspec.structs import replace

from crosswalk.values.carriers_figures import figures
from crosswalk.values.carriers_grammar import UNKNOWN_WORD, Grammar, Parts, grammar
from crosswalk.values.carriers_judge import judge
from crosswalk.values.carriers_tokens import CLOCK, SECONDS, TIMES, pieces
from crosswalk.values.reading import Context, Doubt, How, Reading, refused
from crosswalk.vocabularies import near

LONGEST = 400  # a longer text is prose, not a format
_DIGIT = re.compile(r"\d")
_FEW = 4  # pieces; what a longer unknown wording may mean is anyone's guess
_COUNTED = frozenset({"cassette", "reel", "tape", "disc", "cylinder", "roll"})
_MOST_COUNTED = 12  # `60 tape` is a length
_MEMO = 65_536  # distinct wordings, pieces and combinations that are remembered


class _Reader:
    """Reads wordings by one grammar; remembers pieces, combinations and whole wordings."""

    def __init__(self, by: Grammar) -> None:
        self._grammar = by
        self._alone: dict[str, Parts] = {}
        self._mended: dict[str, str] = {}
        self._judged: dict[tuple[Parts, ...], Reading] = {}
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
        reading = self._fresh(pieces(text))
        if reading.value is not None and _DIGIT.search(text) and (more := figures(text, reading.also)):
            reading = replace(reading, also=reading.also + more)
        self._read[text] = reading
        return reading

    def _fresh(self, spelled: list[str]) -> Reading:
        meanings, beside = self._meanings(spelled)
        if not meanings:
            return refused("CA08", "nothing is said of a carrier")
        judged = self._judged.get(meanings)
        if judged is None:
            judged = self._judge(meanings)
        if judged.value is None and "".join(spelled) in self._spelled:
            return Reading(self._spelled["".join(spelled)], How.ALIAS, rule="carriers: a term of the list")
        if judged.doubts and judged.doubts[0].code == "CA01" and len(spelled) <= _FEW:
            judged = self._with_near(judged, "".join(spelled))
        if not beside:
            return judged
        extra = _beside(spelled[0], beside)
        return Reading(judged.value, judged.how, judged.doubts, judged.rule, judged.also + extra) if extra else judged

    def _with_near(self, judged: Reading, spelled: str) -> Reading:
        """The refusal with what may have been meant; only proposals, never applied."""
        meant = tuple(found.term for found in near(self._grammar.vocabulary, spelled))
        doubt = judged.doubts[0]
        return Reading(None, How.UNREAD, (Doubt(doubt.code, doubt.message, meant),), also=judged.also)

    def _judge(self, meanings: tuple[Parts, ...]) -> Reading:
        if len(self._judged) >= _MEMO:
            self._judged.clear()
        judged = self._judged[meanings] = judge(self._grammar, meanings)
        return judged

    def _meanings(self, spelled: list[str]) -> tuple[tuple[Parts, ...], list[str]]:
        """What the pieces say, joined where together they are a wording; and the numbers that say nothing of it."""
        known, openings, alone = self._grammar.meanings, self._grammar.openings, self._alone
        words = self._grammar.words
        spelled = [piece if piece in words or piece[0] <= "9" else self._mend(piece) for piece in spelled]
        found: list[Parts] = []
        beside: list[str] = []
        at, end = 0, len(spelled)
        while at < end:
            piece = key = spelled[at]
            at += 1
            best = known.get(key)
            if key in openings:
                ahead = at
                while ahead < end:
                    key += spelled[ahead]
                    ahead += 1
                    if key in known:
                        best, at = known[key], ahead
                    if key not in openings:
                        break
            if best is None:
                if piece.isdigit() and at < end and len(piece) < 3:
                    counted = known.get(spelled[at])
                    piece += TIMES if counted and counted[-1] in _COUNTED and int(piece) <= _MOST_COUNTED else ""
                if piece.isdigit() or (piece[-1] in "~^x" and "0" <= piece[0] <= "9"):
                    beside.append(piece)
                    continue
                best = alone.get(piece)
                if best is None:
                    best = self._single(piece)
            if best:
                found.append(best)
        return tuple(found), beside

    def _mend(self, piece: str) -> str:
        mended = self._mended.get(piece)
        if mended is None:
            if len(self._mended) >= _MEMO:
                self._mended.clear()
            mended = self._mended[piece] = self._grammar.speller.mended(piece) or UNKNOWN_WORD
        return mended

    def _single(self, piece: str) -> Parts:
        if len(self._alone) >= _MEMO:
            self._alone.clear()
        meaning = self._alone[piece] = self._grammar.alone(piece)
        return meaning


def _beside(first: str, numbers: list[str]) -> tuple[tuple[str, str], ...]:
    """Counts and lengths of time, which differ from wording to wording."""
    found: list[tuple[str, str]] = []
    seconds = 0
    for number in numbers:
        if number[-1] == SECONDS:
            seconds += int(number[:-1])
        elif number[-1] == CLOCK:
            found.append(("duration_as_written", number[:-1]))
        elif (number is first and len(number) < 4) or number[-1] == TIMES:
            found.append(("count", number.rstrip(TIMES)))
    if seconds:
        found.append(("duration", f"{seconds // 3600:02d}:{seconds // 60 % 60:02d}:{seconds % 60:02d}"))
    return tuple(found)


_READERS: dict[tuple[str, ...], _Reader] = {}


def read_carrier(text: str, context: Context) -> Reading:
    """The published physical format that a wording means, with a sub-format after a colon. `also` holds what else it
    says: generation, standard, size, count, duration, colors, sound, speed, tracks, base, source.

    >>> reading = read_carrier('3/4" Umatic SP; Master', Context())
    >>> reading.value, reading.also
    ('U-matic: SP', (('generation', 'Master'),))
    >>> read_carrier("Beta", Context()).doubts[0].suggestions
    ('Betamax', 'Betacam')
    """
    reader = _READERS.get(context.house_files)
    if reader is None:
        reader = _READERS[context.house_files] = _Reader(grammar(*context.house_files))
    return reader.read(text)

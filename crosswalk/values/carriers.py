"""Carriers: a wording of a house to the published PBCore physical format, and what else the wording said."""

from __future__ import annotations

from crosswalk.values.carriers_grammar import Grammar, Parts, grammar
from crosswalk.values.carriers_judge import judge
from crosswalk.values.carriers_tokens import TOKEN, canonical, tokens
from crosswalk.values.reading import Context, How, Reading, refused

LONGEST = 400  # a longer text is prose, not a format
_MEMO = 65_536  # distinct wordings, pieces and combinations that are remembered


class _Reader:
    """Reads wordings by one grammar; remembers pieces, combinations and whole wordings."""

    def __init__(self, by: Grammar) -> None:
        self._grammar = by
        self._spelling: dict[str, str] = {}
        self._alone: dict[str, Parts] = {}
        self._judged: dict[tuple[Parts, ...], Reading] = {}
        self._published = {name: Reading(name, How.EXACT) for name in by.vocabulary.by_name}
        self._read: dict[str, Reading] = {}

    def read(self, text: str) -> Reading:
        """The reading of a wording."""
        known = self._read.get(text) or self._published.get(text)
        if known is not None:
            return known
        if len(text) > LONGEST:
            return refused("CA08", "a text of this length is no format")
        reading = self._fresh(tokens(text))
        if len(self._read) >= _MEMO:
            self._read.clear()
        self._read[text] = reading
        return reading

    def _fresh(self, pieces: list[str]) -> Reading:
        spelled = self._spell(pieces)
        meanings, lengths = self._meanings(spelled)
        if not meanings:
            return refused("CA08", "nothing is said of a carrier")
        judged = self._judged.get(meanings)
        if judged is None:
            judged = self._judge(meanings)
        extra = _beside(spelled, lengths)
        if not extra:
            return judged
        return Reading(judged.value, judged.how, judged.doubts, judged.rule, (*judged.also, *extra))

    def _spell(self, pieces: list[str]) -> list[str]:
        spelling = self._spelling
        for piece in pieces:
            if piece not in spelling:
                if len(spelling) >= _MEMO:
                    spelling.clear()
                    return [canonical(piece) for piece in pieces]
                spelling[piece] = canonical(piece)
        return [spelling[piece] for piece in pieces]

    def _judge(self, meanings: tuple[Parts, ...]) -> Reading:
        if len(self._judged) >= _MEMO:
            self._judged.clear()
        judged = self._judged[meanings] = judge(self._grammar, meanings)
        return judged

    def _meanings(self, pieces: list[str]) -> tuple[tuple[Parts, ...], list[str]]:
        """What the pieces say, joined where together they are a wording; and the pieces that are lengths of time."""
        known, openings = self._grammar.meanings, self._grammar.openings
        found: list[Parts] = []
        lengths: list[str] = []
        at, end = 0, len(pieces)
        while at < end:
            key = pieces[at]
            best, after = known.get(key), at + 1
            if key in openings:
                for ahead in range(after, end):
                    key += pieces[ahead]
                    meaning = known.get(key)
                    if meaning is not None:
                        best, after = meaning, ahead + 1
                    if key not in openings:
                        break
            if best is None:
                best = self._single(pieces[at])
                if pieces[at][0].isdigit() and pieces[at][-1] in "sk":
                    lengths.append(pieces[at])
            if best:
                found.append(best)
            at = after
        return tuple(found), lengths

    def _single(self, piece: str) -> Parts:
        meaning = self._alone.get(piece)
        if meaning is None:
            if len(self._alone) >= _MEMO:
                self._alone.clear()
            meaning = self._alone[piece] = self._grammar.alone(piece)
        return meaning


def _beside(pieces: list[str], lengths: list[str]) -> tuple[tuple[str, str], ...]:
    """Counts and lengths of time, which differ from wording to wording."""
    found: list[tuple[str, str]] = []
    first = pieces[0]
    if len(pieces) > 1 and (first.isdigit() or first[-1] == "x" and first[:-1].isdigit()) and len(first) < 5:
        found.append(("count", first.rstrip("x")))
    seconds = sum(round(float(piece[:-1])) for piece in lengths if piece[-1] == "s")
    if seconds:
        found.append(("duration", f"{seconds // 3600:02d}:{seconds // 60 % 60:02d}:{seconds % 60:02d}"))
    found.extend(("duration_as_written", piece[:-5]) for piece in lengths if piece.endswith("clock"))
    return tuple(found)


_READERS: dict[tuple[str, ...], _Reader] = {}


def _reader(house_files: tuple[str, ...]) -> _Reader:
    reader = _READERS.get(house_files)
    if reader is None:
        reader = _READERS[house_files] = _Reader(grammar(*house_files))
    return reader


def read_carrier(text: str, context: Context) -> Reading:
    """The published physical format that a wording means, with a sub-format after a colon. `also` holds what else it
    says: generation, standard, size, count, duration, colors, sound, speed, tracks, base, source.

    >>> reading = read_carrier('3/4" Umatic SP; Master', Context())
    >>> reading.value, reading.also
    ('U-matic: SP', (('generation', 'Master'),))
    >>> read_carrier("Beta", Context()).doubts[0].suggestions
    ('Betamax', 'Betacam')
    """
    return _reader(context.house_files).read(text)


__all__ = ["TOKEN", "read_carrier"]

"""Carriers: a wording of a house to the published PBCore physical format, and what else the wording said."""

from __future__ import annotations

from msgspec.structs import replace

from crosswalk.values.carriers_figures import SIGNS, figures
from crosswalk.values.carriers_grammar import UNKNOWN_WORD, Grammar, Parts, grammar
from crosswalk.values.carriers_judge import judge
from crosswalk.values.carriers_tokens import CLOCK, SECONDS, TIMES, pieces, raw_pieces, spelling
from crosswalk.values.reading import Context, Doubt, How, Reading, refused
from crosswalk.vocabularies import near

LONGEST = 400  # a longer text is prose, not a format
_FEW = 4  # pieces; what a longer unknown wording may mean is anyone's guess
_COUNTED = frozenset((body,) for body in ("cassette", "reel", "tape", "disc", "cylinder", "roll"))
_MOST_COUNTED = 12  # `60 tape` is a length
_TWO = tuple(f"{number:02}" for number in range(60))
_FIGURES = SECONDS + CLOCK + TIMES
_NO_ENTRY: tuple[Parts | None, str] = (None, "")
_MEMO = 65_536  # distinct wordings, pieces and combinations that are remembered


class _Reader:
    """Reads wordings by one grammar; remembers pieces, combinations and whole wordings."""

    def __init__(self, by: Grammar) -> None:
        self._grammar = by
        self._alone: dict[str, Parts] = {}
        self._counted = {word for word, parts in by.meanings.items() if parts[-1:] in _COUNTED}
        self._spellings: dict[str, str] = {}
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
        spellings = self._spellings
        spelled = [spellings.get(piece) or self._spell(piece) for piece in raw_pieces(text)]
        reading = self._fresh(text, spelled)
        if reading.value is not None and not SIGNS.isdisjoint(spelled) and (more := figures(text, reading.also)):
            reading = replace(reading, also=reading.also + more)
        self._read[text] = reading
        return reading

    def _fresh(self, text: str, spelled: list[str]) -> Reading:
        meanings, beside = self._meanings(spelled)
        if not meanings:
            return refused("CA08", "nothing is said of a carrier")
        judged = self._judged.get(meanings)
        if judged is None:
            judged = self._judge(meanings)
        if judged.value is None:
            judged = self._unread(text, judged)
        if not beside:
            return judged
        extra = _beside(spelled[0], beside)
        return Reading(judged.value, judged.how, judged.doubts, judged.rule, judged.also + extra) if extra else judged

    def _unread(self, text: str, judged: Reading) -> Reading:
        """A published term in another spelling that the grammar refuses; or the refusal, with what may be meant."""
        written = pieces(text)
        joined = "".join(written)
        if joined in self._spelled:
            return Reading(self._spelled[joined], How.ALIAS, rule="carriers: a term of the list")
        if judged.doubts[0].code == "CA01" and len(written) <= _FEW:
            return self._with_near(judged, joined)
        return judged

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
        entries, known, openings = self._grammar.entries, self._grammar.meanings, self._grammar.openings
        counted = self._counted
        found: list[Parts] = []
        beside: list[str] = []
        at, end = 0, len(spelled)
        while at < end:
            piece = spelled[at]
            at += 1
            best, opens = entries.get(piece, _NO_ENTRY)
            if opens and at < end and spelled[at][0] in opens:
                key, ahead = piece, at
                while ahead < end:
                    key += spelled[ahead]
                    ahead += 1
                    if key in known:
                        best, at = known[key], ahead
                    if key not in openings:
                        break
            if best is None:
                if piece.isdigit():
                    if len(piece) < 3 and at < end and spelled[at] in counted and int(piece) <= _MOST_COUNTED:
                        piece += TIMES
                    beside.append(piece)
                    continue
                if piece[-1] in _FIGURES and "0" <= piece[0] <= "9":
                    beside.append(piece)
                    continue
                best = self._alone.get(piece) or self._single(piece)
            if best:
                found.append(best)
        return tuple(found), beside

    def _spell(self, piece: str) -> str:
        """The spelling of a piece that is seen the first time, with a slip in it mended."""
        if piece.isdigit():
            return piece
        if len(self._spellings) >= _MEMO:
            self._spellings.clear()
        spelled = spelling(piece)
        if spelled[0] > "9" and spelled not in self._grammar.words:
            spelled = self._grammar.speller.mended(spelled) or UNKNOWN_WORD
        self._spellings[piece] = spelled
        return spelled

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
        sign = number[-1]
        if sign == SECONDS:
            seconds += int(number[:-1])
        elif sign == TIMES or (number is first and len(number) < 4):
            found.append(("count", number.rstrip(TIMES)))
        elif sign == CLOCK:
            found.append(("duration_as_written", number[:-1]))
    if seconds:
        minutes, rest = divmod(seconds, 60)
        found.append(("duration", f"{minutes // 60:02d}:{_TWO[minutes % 60]}:{_TWO[rest]}"))
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

"""The pieces of a carrier wording, joined where together they say something, and the numbers beside them."""

from __future__ import annotations

import re
from typing import NamedTuple, TypeAlias

from crosswalk.values.carriers_grammar import NO, OF, UNKNOWN, UNKNOWN_WORD, Grammar
from crosswalk.values.carriers_tokens import CLOCK, SECONDS, TIMES, spelling
from crosswalk.values.carriers_told import CONDITION, TOLD, Parts

Row: TypeAlias = tuple[str, Parts]  # a piece, and what it says alone
Beside: TypeAlias = tuple[int, str]  # the place of a count or length of time, and what its piece lacks of its sign


class Walked(NamedTuple):
    """What the pieces of a wording say, joined where together they are one; and the places of the others."""

    found: list[Parts]
    beside: list[Beside]
    left: list[int]  # words that say nothing of the carrier
    condition: list[int]


_BESIDE: Parts = ("#",)  # a number that says nothing of a carrier
_FIGURES = SECONDS + CLOCK + TIMES
_COUNTED = frozenset((body,) for body in ("cassette", "reel", "tape", "disc", "cylinder", "roll"))
_MOST_COUNTED = 12  # `60 tape` is a length
_LONG_COUNT = 4  # figures
_LONG_NUMBER = 3  # figures; a shorter one keeps its own sign
_NONE: frozenset[int] = frozenset()
_ANY_WORD, _ANY_TIME, _ANY_CLOCK, _ANY_COUNT, _FEW, _SHORT, _SMALL, _LARGE = "ABCDEFGH"  # no piece has capitals
_UNKNOWN_ROW: Row = (UNKNOWN_WORD, UNKNOWN)
_MEMO = 65_536  # distinct pieces that are remembered


class Walk:
    """Walks along the pieces of wordings by one grammar; each piece is looked at closely once.

    Each piece has a sign: wordings whose pieces have the same signs differ in words and numbers alone that say nothing
    of the carrier, so that they mean the same. `kept` are pieces that are their own sign.
    """

    def __init__(self, by: Grammar, kept: frozenset[str] = frozenset()) -> None:
        self._grammar = by
        self._counted = {word for word, parts in by.meanings.items() if parts[-1:] in _COUNTED}
        self._telling = {key for key in (*by.meanings, *by.openings) if key.isdigit()}
        self._figured = " ".join(key for key in by.meanings if re.search(rf"\d[{re.escape(_FIGURES)}]", key))
        figures = {figures for key in by.meanings for figures in re.findall(r"\d+", key)}
        self._kept = kept | {run for one in figures for run in _runs(one)}
        self._rows: dict[str, Row] = {}
        self._signs: dict[str, str] = {}

    def signs(self, pieces: list[str]) -> str:
        """The shape of a wording: the signs of its pieces."""
        known, fresh = self._signs, self._sign
        return "\n".join([known.get(piece) or fresh(piece) for piece in pieces])

    def spelled(self, piece: str) -> str:
        """The one spelling of a count or a length of time."""
        return piece if piece.isdigit() else self._row(piece.lower())[0]

    def rows(self, pieces: list[str]) -> list[Row]:
        """The pieces as written, spelled and with what they say."""
        return list(map(self._row, pieces))

    def meanings(self, rows: list[Row], more: frozenset[int] = _NONE) -> Walked:
        """What the pieces say; the meanings `more` are told as words too, since no reading accounts for them."""
        walked = Walked([], [], [], [])
        at = 0
        while at < len(rows):
            said, end = self._longest(rows, at)
            self._take(walked, rows, range(at, end), said, len(walked.found) in more)
            at = end
        return walked

    def _longest(self, rows: list[Row], at: int) -> tuple[Parts, int]:
        """What the longest wording says that begins at a piece, and where it ends."""
        known, openings, plurals = self._grammar.meanings, self._grammar.openings, self._grammar.plurals
        key, said = rows[at]
        end = at + 1
        for ahead in range(end, len(rows)):
            if key not in openings:
                break
            key += rows[ahead][0]
            if key in known and (rows[ahead][0] != "s" or key not in plurals):  # digi-beta S is not two of them
                said, end = known[key], ahead + 1
        if "bare" in said and at and _counts_on(rows[at - 1]) and rows[at][0].isdigit():
            return _BESIDE, at + 1  # box 16 neg
        return said, end

    def _take(self, walked: Walked, rows: list[Row], places: range, said: Parts, more: bool) -> None:
        """Adds what the pieces at some places say together."""
        at, following = places[0], rows[places[-1] + 1 :][:1]
        if said is _BESIDE:
            self._number(walked, rows, at)
        elif said is CONDITION:
            walked.condition.extend(places)
        elif said is TOLD:
            walked.left.extend(places)
        elif said:
            counts = said is OF and at and following and rows[at - 1][1] is following[0][1] is _BESIDE  # 1 of 2
            if said in (UNKNOWN, NO) or more or counts:
                walked.left.extend(places)
            if said is not NO or not following or not following[0][0].isdigit():  # no. 4
                walked.found.append(said)
        elif _is_letter(rows[at][0]) and not (following and following[0][0].isalnum()):  # side A
            walked.left.extend(places)

    def _number(self, walked: Walked, rows: list[Row], at: int) -> None:
        """A number that says nothing of the carrier: a length of time, a count, or something else."""
        number, following = rows[at][0], rows[at + 1 :][:1]
        if number[-1] in _FIGURES:
            walked.beside.append((at, ""))
            return
        counts = following and following[0][0] in self._counted and int(number) <= _MOST_COUNTED
        if counts or (at == 0 and len(number) < _LONG_COUNT):
            walked.beside.append((at, TIMES))
        else:
            walked.left.append(at)

    def _sign(self, typed: str) -> str:
        """The sign of a piece without one as yet. Bare numbers are not remembered: they would crowd out the rest."""
        raw = typed.lower()
        if raw.isdigit() and raw not in self._telling:
            return raw if len(raw) < _LONG_NUMBER or raw in self._kept else _size(raw)
        if len(self._signs) >= _MEMO:
            self._signs.clear()
        sign = self._signs[typed] = raw if raw in self._kept else self._alike(raw)
        return sign

    def _alike(self, raw: str) -> str:
        """The sign of words that nobody knows, and of figures that no wording of the grammar holds; else the piece."""
        if raw[0] > "9":
            return raw if self._word(raw) else _ANY_WORD
        piece, said = self._row(raw)
        if said is not _BESIDE or len(piece) < _LONG_NUMBER or piece in self._figured:
            return raw
        return {SECONDS: _ANY_TIME, CLOCK: _ANY_CLOCK, TIMES: _ANY_COUNT}.get(piece[-1], raw)

    def _row(self, raw: str) -> Row:
        known = self._rows.get(raw)
        if known is not None:
            return known
        if raw.isdigit() and raw not in self._telling:
            return raw, _BESIDE
        piece = spelling(raw) if raw[0] <= "9" else self._word(raw)
        if not piece:
            return _UNKNOWN_ROW
        if len(self._rows) >= _MEMO:
            self._rows.clear()
        row = self._rows[raw] = piece, self._said(piece)
        return row

    def _said(self, piece: str) -> Parts:
        known = self._grammar.meanings.get(piece)
        if known is not None:
            return known
        numeric = piece.isdigit() or (piece[-1] in _FIGURES and "0" <= piece[0] <= "9")
        if numeric:
            return _BESIDE if piece != "0" + SECONDS and (piece[-1] != TIMES or piece[:-1].isdigit()) else TOLD
        return self._grammar.alone(piece) or (TOLD if piece[0].isalnum() else ())

    def _word(self, raw: str) -> str | None:
        """A known word, with a slip in it mended; `rn` is how scanners read an m. None for an unknown one."""
        words = self._grammar.words
        if raw in words:
            return raw
        if "rn" in raw and (scanned := raw.replace("rn", "m")) in words:
            return scanned
        return self._grammar.speller.mended(raw)


def _counts_on(before: Row) -> bool:
    """Whether a number behind a word is that of a box or a tape, and no gauge."""
    return before[0].isalnum() and not any("=" in part for part in before[1])


def _is_letter(piece: str) -> bool:
    return len(piece) == 1 and piece.isalpha()


def _runs(figures: str) -> list[str]:
    """All runs of figures within one: two numbers that stand side by side may make it up."""
    return [figures[start:end] for start in range(len(figures)) for end in range(start + 1, len(figures) + 1)]


def _size(number: str) -> str:
    """The sign of a number of three figures or more: how long it is, and whether it may be a count."""
    small = number[0] == "0" and int(number) <= _MOST_COUNTED
    if len(number) < _LONG_COUNT:
        return _FEW if small else _SHORT
    return _SMALL if small else _LARGE

"""The pieces of a carrier wording, joined where together they say something, and the numbers beside them."""

from __future__ import annotations

import re
from typing import TypeAlias

from crosswalk.values.carriers_grammar import NO, OF, UNKNOWN, UNKNOWN_WORD, Grammar
from crosswalk.values.carriers_tokens import CLOCK, SECONDS, TIMES, spelling
from crosswalk.values.carriers_told import CONDITION, TOLD, Parts

Row: TypeAlias = tuple[str, Parts, str]  # a piece, what it says alone, the letters that may follow where it opens more
Beside: TypeAlias = tuple[int, str]  # the place of a count or length of time, and what its piece lacks of its sign

Walked: TypeAlias = tuple[tuple[Parts, ...], list[Beside], list[int], list[int]]

_BESIDE: Parts = ("#",)  # a number that says nothing of a carrier
_FIGURES = SECONDS + CLOCK + TIMES
_COUNTED = frozenset((body,) for body in ("cassette", "reel", "tape", "disc", "cylinder", "roll"))
_MOST_COUNTED = 12  # `60 tape` is a length
_LONG_COUNT = 4  # figures
_LONG_NUMBER = 3  # figures; a shorter one keeps its own sign
_NONE: frozenset[int] = frozenset()
_ANY_WORD, _ANY_TIME, _ANY_CLOCK, _ANY_COUNT, _FEW, _SHORT, _SMALL, _LARGE = "ABCDEFGH"  # no piece has capitals
_UNKNOWN_ROW: Row = (UNKNOWN_WORD, UNKNOWN, "")
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
        return piece if piece.isdigit() else self._row(piece)[0]

    def rows(self, pieces: list[str]) -> list[Row]:
        """The pieces as written, spelled and with what they say."""
        return list(map(self._row, pieces))

    def meanings(self, rows: list[Row], more: frozenset[int] = _NONE) -> Walked:
        """What the pieces say, joined where together they are a wording; counts and lengths of time; and the places of
        words that say nothing of the carrier, with those of the meanings `more`."""
        found: list[Parts] = []
        beside: list[Beside] = []
        left: list[int] = []
        condition: list[int] = []
        counted, end, read_to = self._counted, len(rows), 0
        for after, (piece, best, opens) in enumerate(rows, 1):
            if after <= read_to:
                continue
            if opens and after < end and rows[after][0][0] in opens:
                best, read_to = self._longest(rows, after, best)
            if best is _BESIDE:
                if piece[-1] in _FIGURES:
                    beside.append((after - 1, ""))
                elif (after == 1 and len(piece) < _LONG_COUNT) or (
                    after < end and rows[after][0] in counted and int(piece) <= _MOST_COUNTED
                ):
                    beside.append((after - 1, TIMES))
                else:
                    left.append(after - 1)
            elif best is UNKNOWN:
                left.append(after - 1)
                found.append(best)
            elif best is TOLD:
                left.extend(range(after - 1, max(after, read_to)))
            elif best is CONDITION:
                condition.extend(range(after - 1, max(after, read_to)))
            elif best:
                if best is NO:
                    left.extend(range(after - 1, max(after, read_to)))
                    if after < end and rows[after][0].isdigit():  # no. 4
                        continue
                elif more and len(found) in more:
                    left.extend(range(after - 1, max(after, read_to)))
                elif best is OF and 1 < after < end and rows[after - 2][1] is rows[after][1] is _BESIDE:  # 1 of 2
                    left.append(after - 1)
                found.append(best)
            elif len(piece) == 1 and piece.isalpha() and (after == end or not rows[after][0].isalnum()):  # side A
                left.append(after - 1)
        return tuple(found), beside, left, condition

    def _longest(self, rows: list[Row], at: int, best: Parts) -> tuple[Parts, int]:
        """What the longest wording says that starts one piece before, and where it ends."""
        known, openings, plurals = self._grammar.meanings, self._grammar.openings, self._grammar.plurals
        key, ahead, end = rows[at - 1][0], at, len(rows)
        while ahead < end:
            key += rows[ahead][0]
            ahead += 1
            if key in known and (rows[ahead - 1][0] != "s" or key not in plurals):  # digi-beta S is not two of them
                best, at = known[key], ahead
            if key not in openings:
                break
        return best, at

    def _sign(self, raw: str) -> str:
        """The sign of a piece without one as yet. Bare numbers are not remembered: they would crowd out the rest."""
        if raw.isdigit() and raw not in self._telling:
            return raw if len(raw) < _LONG_NUMBER or raw in self._kept else _size(raw)
        if len(self._signs) >= _MEMO:
            self._signs.clear()
        sign = self._signs[raw] = raw if raw in self._kept else self._alike(raw)
        return sign

    def _alike(self, raw: str) -> str:
        """The sign of words that nobody knows, and of figures that no wording of the grammar holds; else the piece."""
        if raw[0] > "9":
            return raw if self._word(raw) else _ANY_WORD
        piece, said, _ = self._row(raw)
        if said is not _BESIDE or len(piece) < _LONG_NUMBER or piece in self._figured:
            return raw
        return {SECONDS: _ANY_TIME, CLOCK: _ANY_CLOCK, TIMES: _ANY_COUNT}.get(piece[-1], raw)

    def _row(self, raw: str) -> Row:
        known = self._rows.get(raw)
        if known is not None:
            return known
        if raw.isdigit() and raw not in self._telling:
            return raw, _BESIDE, ""
        piece = spelling(raw) if raw[0] <= "9" else self._word(raw)
        if not piece:
            return _UNKNOWN_ROW
        if len(self._rows) >= _MEMO:
            self._rows.clear()
        row = self._rows[raw] = piece, self._said(piece), self._grammar.openings.get(piece, "")
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


def _runs(figures: str) -> list[str]:
    """All runs of figures within one: two numbers that stand side by side may make it up."""
    return [figures[start:end] for start in range(len(figures)) for end in range(start + 1, len(figures) + 1)]


def _size(number: str) -> str:
    """The sign of a number of three figures or more: how long it is, and whether it may be a count."""
    small = number[0] == "0" and int(number) <= _MOST_COUNTED
    if len(number) < _LONG_COUNT:
        return _FEW if small else _SHORT
    return _SMALL if small else _LARGE

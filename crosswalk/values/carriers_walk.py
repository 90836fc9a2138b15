"""The pieces of a carrier wording, joined where together they say something, and the numbers beside them."""

from __future__ import annotations

from typing import TypeAlias

from crosswalk.values.carriers_grammar import NO, OF, UNKNOWN, UNKNOWN_WORD, Grammar
from crosswalk.values.carriers_tokens import CLOCK, SECONDS, TIMES, spelling
from crosswalk.values.carriers_told import CONDITION, TOLD, Parts

Row: TypeAlias = tuple[str, Parts, str]  # a piece, what it says alone, the letters that may follow where it opens more

Walked: TypeAlias = tuple[tuple[Parts, ...], list[str], list[int], list[int]]

_BESIDE: Parts = ("#",)  # a number that says nothing of a carrier
_FIGURES = SECONDS + CLOCK + TIMES
_COUNTED = frozenset((body,) for body in ("cassette", "reel", "tape", "disc", "cylinder", "roll"))
_MOST_COUNTED = 12  # `60 tape` is a length
_LONG_COUNT = 4  # figures
_NONE: frozenset[int] = frozenset()
_UNKNOWN_ROW: Row = (UNKNOWN_WORD, UNKNOWN, "")
_MEMO = 65_536  # distinct pieces that are remembered


class Walk:
    """Walks along the pieces of wordings by one grammar; each piece is looked at closely once."""

    def __init__(self, by: Grammar) -> None:
        self._grammar = by
        self._counted = {word for word, parts in by.meanings.items() if parts[-1:] in _COUNTED}
        self._telling = {key for key in (*by.meanings, *by.openings) if key.isdigit()}
        self._rows: dict[str, Row] = {}
        self._unknown: set[str] = set()

    def rows(self, pieces: list[str]) -> list[Row]:
        """The pieces as written, spelled and with what they say."""
        known, fresh = self._rows, self._row
        return [known.get(piece) or fresh(piece) for piece in pieces]

    def meanings(self, rows: list[Row], more: frozenset[int] = _NONE) -> Walked:
        """What the pieces say, joined where together they are a wording; counts and lengths of time; and the places of
        words that say nothing of the carrier, with those of the meanings `more`."""
        found: list[Parts] = []
        beside: list[str] = []
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
                    beside.append(piece)
                elif (after == 1 and len(piece) < _LONG_COUNT) or (
                    after < end and rows[after][0] in counted and int(piece) <= _MOST_COUNTED
                ):
                    beside.append(piece + TIMES)
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

    def _row(self, raw: str) -> Row:
        """A piece without a row as yet. Bare numbers have none to keep, and unknown words would crowd out the rest."""
        if raw.isdigit() and raw not in self._telling:
            return raw, _BESIDE, ""
        if raw in self._unknown:
            return _UNKNOWN_ROW
        piece = self._spelled(raw)
        if piece is UNKNOWN_WORD:
            if len(self._unknown) >= _MEMO:
                self._unknown.clear()
            self._unknown.add(raw)
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

    def _spelled(self, raw: str) -> str:
        """The one spelling of a piece, with a slip in it mended; `rn` is how scanners read an m."""
        if raw[0] <= "9":
            return spelling(raw)
        words = self._grammar.words
        if raw in words:
            return raw
        if "rn" in raw and (scanned := raw.replace("rn", "m")) in words:
            return scanned
        return self._grammar.speller.mended(raw) or UNKNOWN_WORD

"""Spelling slips in carrier wordings: one letter too many, missing, wrong, or two exchanged."""

from __future__ import annotations

from collections.abc import Mapping

from rapidfuzz.distance import OSA

SHORTEST = 5  # a shorter word has too many neighbours
LONGEST = 30


class Speller:
    """Finds the one known word that a slip turned into another. Words are known by what remains when one letter is
    left out, so that a look-up costs no more than the length of the word.

    >>> Speller({"betacam": ("Betacam",), "betamax": ("Betamax",)}).mended("betcam")
    'betacam'
    """

    def __init__(self, known: Mapping[str, tuple[str, ...]]) -> None:
        self._known = known
        self._by_gap: dict[str, set[str]] = {}
        self._starts: set[str] = set()
        self._ends: set[str] = set()
        for word in known:
            if len(word) >= SHORTEST and word.isalpha():
                for gap in {word, *(word[:at] + word[at + 1 :] for at in range(len(word)))}:
                    self._by_gap.setdefault(gap, set()).add(word)
                self._starts.update(word[:at] for at in range(len(word)))
                self._ends.update(word[at:] for at in range(len(word)))

    def mended(self, word: str) -> str | None:
        """The known word one slip away; None where there is none, or where several mean different things."""
        half = len(word) // 2
        if not SHORTEST <= len(word) <= LONGEST or not word.isalpha():
            return None
        if word[:half] not in self._starts and word[half + 1 :] not in self._ends:
            return None  # one slip leaves one half as it was
        by_gap = self._by_gap
        near = by_gap.get(word)
        for at in range(len(word)):
            found = by_gap.get(word[:at] + word[at + 1 :])
            if found is not None:
                near = found if near is None else near | found
        slips = sorted(known for known in near if OSA.distance(word, known, score_cutoff=1) <= 1) if near else []
        return slips[0] if slips and len({self._meant(slip) for slip in slips}) == 1 else None

    def _meant(self, word: str) -> tuple[str, ...]:
        """What a word means; a word that means something only beside others means itself, in singular and plural."""
        meaning = self._known[word]
        return meaning if meaning and meaning != ("unknown",) else (word.rstrip("s"),)

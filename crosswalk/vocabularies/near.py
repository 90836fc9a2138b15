"""Near terms: what may have been meant, scored by rapidfuzz. Proposals only; nothing here is ever applied."""

from __future__ import annotations

import msgspec

from crosswalk.vocabularies.fold import fold
from crosswalk.vocabularies.model import Vocabulary


class Near(msgspec.Struct, frozen=True):
    """A term that a wording may mean, with the score of its nearest spelling (0 to 100)."""

    term: str
    score: float


def near(vocabulary: Vocabulary, text: str, limit: int = 3, least: float = 75.0) -> tuple[Near, ...]:
    """The nearest terms of at least that score, best first, each once.

    >>> from crosswalk.vocabularies.load import load
    >>> near(load("generations"), "submastr")[0].term
    'Submaster'
    """
    from rapidfuzz import fuzz, process  # late: most runs never ask

    found = process.extract(fold(text)[:80], vocabulary.index.keys(), scorer=fuzz.ratio, limit=12, score_cutoff=least)
    best: dict[str, float] = {}
    for spelling, score, _ in found:
        best.setdefault(vocabulary.index[spelling].name, round(score, 1))
    return tuple(Near(term, score) for term, score in list(best.items())[:limit])

"""What a description says of a carrier that can hurt people or other carriers: the usual cautions, and no more.

The cautions are common practice, no source; what is to be done is for local law and licensed practice to say.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator

from crosswalk.checks.place import Place, below
from crosswalk.findings import Finding, finding
from crosswalk.records import Instantiation

HAZARDS = (
    (re.compile(r"\bnitr(?:at|ocell|ofilm|o film)", re.IGNORECASE), "nitrate film burns fiercely, and under water too"),
    (re.compile(r"\bmou?ld(?:y|s)?\b|\bmildew|\bschimm|\bmoisi|\bmoho\b|\bhongos?\b", re.IGNORECASE),
     "mould makes people ill, and spreads"),
    (re.compile(r"\bvinegar|\bvinaigre|\bvinagre|\bessigs", re.IGNORECASE),
     "film that decays gives off acid, which harms people and the film beside it"),
)  # fmt: skip


def hazards(node: Instantiation, path: str, place: Place) -> Iterable[Finding]:
    """RC60: what is said of the carrier tells of a danger.

    >>> from crosswalk.records import Annotation
    >>> [found.code for found in hazards(Instantiation(annotations=(Annotation("Nitrate"),)), "", Place())]
    ['RC60']
    """
    return _told(node, path, place) if node.annotations else ()


def _told(node: Instantiation, path: str, place: Place) -> Iterator[Finding]:
    for number, said in enumerate(node.annotations, 1):
        for words, caution in HAZARDS:
            if words.search(said.text):
                origin = place.at(below(path, f"instantiationAnnotation[{number}]"), said)
                yield finding("RC60", origin, f'"{said.text[:60]}": {caution}', value=said.text)


INSTANTIATION = (hazards,)

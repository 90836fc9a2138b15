"""Words of a date text that are no part of the date: they are kept, as they are written."""

from __future__ import annotations

from crosswalk.values.dates import words
from crosswalk.values.dates.expressions import Parsed
from crosswalk.values.written import Written


def notes(text: str, parsed: Parsed) -> tuple[str, ...]:
    """What else the text says, piece by piece; nothing of labels such as `Recorded`, which name the kind of date."""
    labels = words.LABELS | frozenset(words.DATE_TYPES) if len(set(parsed.date_types)) < 2 else words.LABELS
    found: list[str] = []
    written = Written(text)
    for stretch in parsed.left:
        told = _without_labels(stretch, labels)
        if any(word not in labels and word not in words.GLUE for word in told):
            found.append(written.piece("".join(told)))
    return tuple(dict.fromkeys(found))


def _without_labels(stretch: list[str], labels: frozenset[str]) -> list[str]:
    first, last = 0, len(stretch)
    while first < last and stretch[first] in labels:
        first += 1
    while first < last and stretch[last - 1] in labels:
        last -= 1
    return stretch[first:last]

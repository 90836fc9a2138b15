"""Constants that quote columns, read backwards: `{Series}[-{Prog No}]` and `TDLN-0423` give the two cells."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import product

from crosswalk.mapping.templates import Segment, Template

Part = str | tuple[str]  # a text as it stands, or the heading of a column in a tuple


def solutions(template: Template, text: str) -> Iterator[dict[str, str]]:
    """All ways in which the columns can have made the text, heading -> value ("" where a bracket fell away); first
    those that fill the most brackets, the earlier ones first.

    >>> next(solutions(Template.parse("{Series}[-{Prog No}][-{Story}]"), "TDLN-0423"))
    {'Series': 'TDLN', 'Prog No': '0423', 'Story': ''}
    """
    optional = [segment for segment in template.segments if segment.optional]
    choices = sorted(product((True, False), repeat=len(optional)), key=lambda choice: -sum(choice))
    for choice in choices:
        left = {id(segment) for segment, kept in zip(optional, choice, strict=True) if not kept}
        kept = [segment for segment in template.segments if id(segment) not in left]
        parts = [part for segment in kept for part in _parts(segment)]
        for found in _splits(parts, text, {}):
            yield {heading: found.get(heading, "") for heading in template.headings}


def _parts(segment: Segment) -> list[Part]:
    literals = segment.pattern.split("{}") if segment.headings else [segment.pattern]
    parts: list[Part] = []
    for number, literal in enumerate(literals):
        plain = literal.replace("{{", "{").replace("}}", "}") if segment.headings else literal
        parts += [plain] if plain else []
        parts += [(segment.headings[number],)] if number < len(segment.headings) else []
    return parts


def _splits(parts: list[Part], text: str, known: dict[str, str]) -> Iterator[dict[str, str]]:
    """Each way to cut the text along the parts, the shortest values first."""
    if not parts:
        if not text:
            yield known
        return
    first, rest = parts[0], parts[1:]
    if isinstance(first, str):
        if text.startswith(first):
            yield from _splits(rest, text[len(first) :], known)
        return
    heading = first[0]
    for end in range(1, len(text) + 1) if rest else ([len(text)] if text else []):
        if known.get(heading, text[:end]) == text[:end]:
            yield from _splits(rest, text[end:], known | {heading: text[:end]})

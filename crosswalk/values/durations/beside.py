"""Words of a length text that are no part of the length: they are kept, as they are written."""

from __future__ import annotations

from crosswalk.values.durations import words
from crosswalk.values.durations.grammar import Found
from crosswalk.values.durations.lengths import Term
from crosswalk.values.durations.lexer import Token
from crosswalk.values.written import Written


def notes(text: str, found: Found, chosen: list[Term], tokens: list[Token]) -> tuple[str, ...]:
    """What else the text says, piece by piece. Labels such as `TRT` and words such as `approx.` tell nothing else."""
    taken = {at for term in chosen for at in range(*found.places[id(term)])}
    stretches: list[list[str]] = [[]]
    for at, token in enumerate(tokens):
        if at in taken:
            stretches.append([])
        elif token.kind not in ("sym", "mark"):
            stretches[-1].append(token.text)
    telling = [stretch for stretch in map(_trimmed, stretches) if stretch]
    if not telling:
        return ()
    written = Written(text)
    return tuple(dict.fromkeys(written.piece("".join(stretch)) for stretch in telling))


def _trimmed(stretch: list[str]) -> list[str]:
    """The words without labels at their ends; nothing where no word tells anything."""
    while stretch and stretch[0] in words.UNDERSTOOD and not _is_coded(stretch):
        stretch = stretch[1:]
    while stretch and stretch[-1] in words.UNDERSTOOD:
        stretch = stretch[:-1]
    return stretch if any(word not in words.GLUE for word in stretch) else []


def _is_coded(stretch: list[str]) -> bool:
    """`C-60`, of which the letter is no "circa"."""
    return stretch[0] == "c" and len(stretch) > 1 and stretch[1].isdigit()

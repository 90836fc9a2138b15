"""Numbers in words along a row of tokens: `forty-five`, `a hundred and five`, `quatre-vingt-dix`, `treinta y dos`."""

from __future__ import annotations

from collections.abc import Callable
from fractions import Fraction

from crosswalk.values.durations import words

TextAt = Callable[[int], str]
_LONGEST = 8  # words that one number takes


def spelled(text: TextAt, at: int) -> tuple[Fraction | None, int]:
    """The whole number whose words begin there, and the index after it; None where there is none.

    >>> row = "treinta y dos minutos".split()
    >>> spelled(lambda at: row[at], 0)
    (Fraction(32, 1), 3)
    """
    total, end = None, at
    for _ in range(_LONGEST):
        start = at + 1 if total is not None and text(at) in words.NUMBER_JOINTS else at
        more = _with(total, text(start))
        if more is None:
            break
        total, at = more, start + 1
        end = at
    return (None if total is None else Fraction(total)), end


def _with(total: int | None, word: str) -> int | None:
    """The number with one more word; None where the two do not go together."""
    if word in words.HUNDREDS:
        return (total or 1) * 100 if total is None or total < 10 else None
    value = words.NUMBERS.get(word)
    if value is None or total is None:
        return value
    if word in ("a", "an"):  # twenty and a half
        return None
    if (total, value) == (4, 20):  # quatre-vingts
        return 80
    free = total % 100
    below = 100 if total >= 100 and not free else 20 if free in (60, 80) else 10 if free >= 20 and not free % 10 else 0
    return total + value if value < below else None


def share(text: TextAt, at: int) -> tuple[Fraction | None, int]:
    """A share of one such as `half`, `a quarter`, `three quarters`, and the index after it; None where there is none.

    >>> row = "three quarters of an hour".split()
    >>> share(lambda at: row[at], 0)
    (Fraction(3, 4), 2)
    """
    count = words.NUMBERS.get(text(at), 0)
    if 0 < count < 4 and (part := words.SHARES.get(text(at + 1))):
        return (count * part, at + 2) if count * part < 1 else (None, at)
    part = words.SHARES.get(text(at))
    return (part, at + 1) if part else (None, at)

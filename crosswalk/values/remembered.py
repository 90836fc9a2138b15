"""What is remembered of wordings, apart for each context, and never without bounds."""

from __future__ import annotations

from typing import Generic, TypeVar

from crosswalk.values.reading import Context

T = TypeVar("T")
CONTEXTS = 50  # that are remembered at a time


class PerContext(Generic[T]):
    """A dictionary for each context. One that holds more than `most` entries starts again.

    >>> plans: PerContext[int] = PerContext(most=2)
    >>> plans.of(Context())["a"] = 1
    >>> plans.of(Context()), plans.of(Context(day_first=True))
    ({'a': 1}, {})
    """

    def __init__(self, most: int) -> None:
        self._most = most
        self._by_context: dict[Context, dict[str, T]] = {}

    def of(self, context: Context) -> dict[str, T]:
        """What is remembered under a context."""
        known = self._by_context.get(context)
        if known is None:
            if len(self._by_context) > CONTEXTS:
                self._by_context.clear()
            known = self._by_context[context] = {}
        if len(known) > self._most:
            known.clear()
        return known

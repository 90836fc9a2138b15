"""Constants that quote columns: `{Series}-{Prog No}[ story {Story}]`. What stands in brackets falls away when empty."""

from __future__ import annotations

import re
from collections.abc import Callable

import msgspec

_TOKENS = re.compile(r"\{([^{}]+)\}")
_OPTIONAL = re.compile(r"\[([^\[\]{}]*\{[^\[\]]*)\]")


class Segment(msgspec.Struct):
    """A stretch of the template that is written whole or not at all."""

    pattern: str
    headings: tuple[str, ...]
    optional: bool
    indices: tuple[int | None, ...] = ()


class Template(msgspec.Struct):
    """A text that quotes columns by their headings."""

    segments: list[Segment]

    @classmethod
    def parse(cls, text: str) -> Template:
        """Takes a template apart.

        >>> Template.parse("{Series}-{No}[/{Story}]").headings
        ('Series', 'No', 'Story')
        """
        parts = _OPTIONAL.split(text)
        return cls([_segment(part, number % 2 == 1) for number, part in enumerate(parts) if part])

    @property
    def headings(self) -> tuple[str, ...]:
        """The headings that it quotes."""
        return tuple(heading for segment in self.segments for heading in segment.headings)

    def bind(self, index_of: Callable[[str], int | None]) -> None:
        """Settles which columns are meant."""
        for segment in self.segments:
            segment.indices = tuple(index_of(heading) for heading in segment.headings)

    def fill(self, value: Callable[[int], str]) -> tuple[str, list[int]] | None:
        """The text and the indices of the columns quoted in it, or None where a column that it needs is empty."""
        written: list[str] = []
        quoted: list[int] = []
        for segment in self.segments:
            values = [value(index) if index is not None else "" for index in segment.indices]
            if not all(values):
                if segment.optional:
                    continue
                return None
            quoted += [index for index in segment.indices if index is not None]
            written.append(segment.pattern.format(*values) if values else segment.pattern)
        return "".join(written), quoted


def _segment(text: str, optional: bool) -> Segment:
    headings = tuple(_TOKENS.findall(text))
    literals = _TOKENS.split(text)[0::2]
    pattern = "{}".join(part.replace("{", "{{").replace("}", "}}") for part in literals) if headings else text
    return Segment(pattern, headings, optional)

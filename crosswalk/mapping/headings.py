"""The headings of a sheet, as a mapping looks them up: by any spelling, or by a pattern with `*`."""

from __future__ import annotations

import re
from collections.abc import Iterable, Sequence
from typing import Protocol

from crosswalk.mapping import model
from crosswalk.values.folding import fold


class HeadingLike(Protocol):
    """A heading as the reader of sheets gives it."""

    @property
    def index(self) -> int: ...  # noqa: D102
    @property
    def text(self) -> str: ...  # noqa: D102


class SheetLike(Protocol):
    """What a plan needs to know of a sheet."""

    @property
    def file(self) -> str: ...  # noqa: D102
    @property
    def name(self) -> str: ...  # noqa: D102
    @property
    def headings(self) -> Sequence[HeadingLike]: ...  # noqa: D102

    def address(self, row: int, index: int) -> str: ...  # noqa: D102


class Headings:
    """The headings of one sheet. A pattern takes what no entry names outright; a bare `*` what nothing else uses."""

    def __init__(self, mapping: model.Mapping, sheet: SheetLike) -> None:
        self.place = f"{mapping.path}, sheet {sheet.name or sheet.file}"
        self.texts = {heading.index: heading.text for heading in sheet.headings}
        self.width = max(self.texts, default=-1) + 1
        self._spellings = [column.headings for column in mapping.column]
        self._indices: dict[str, list[int]] = {}
        for heading in sheet.headings:
            self._indices.setdefault(fold(heading.text), []).append(heading.index)
        spellings = {spelling for column in mapping.column for spelling in column.headings}
        self._outright = {index for text in spellings if "*" not in text for index in self._indices.get(fold(text), ())}
        used = [spelling for names, use in model.named(mapping) if use for spelling in names]
        patterns = [text for text in (*spellings, *used) if text.strip() != "*"]
        self._taken = {index for text in patterns for index, _ in self._hits(text)}

    def first(self, text: str) -> int | None:
        """The first column with that heading."""
        return self._indices.get(fold(text), [None])[0]

    def named(self, name: str) -> int | None:
        """The column with that heading, or with another spelling that the mapping gives for it."""
        index = self.first(name)
        if index is not None or not fold(name):
            return index
        others = next((spellings for spellings in self._spellings if fold(name) in map(fold, spellings)), [])
        return next((index for index, _ in self.all(others)), None)

    def all(self, spellings: Iterable[str]) -> list[tuple[int, str]]:
        """All columns that one of the spellings names, each with what its `*` stood for."""
        hits: dict[int, str] = {}
        for spelling in spellings:
            avoid = self._taken if spelling.strip() == "*" else self._outright if "*" in spelling else set()
            hits |= {index: stood for index, stood in self._hits(spelling) if index not in avoid}
        return sorted(hits.items())

    def _hits(self, spelling: str) -> list[tuple[int, str]]:
        if "*" not in spelling:
            return [(index, "") for index in self._indices.get(fold(spelling), ())]
        found = ((at, star(spelling, text)) for text, at in self._indices.items())
        return [(index, stood) for at, stood in found if stood for index in at]


def star(spelling: str, folded: str) -> str:
    """What the `*` of a spelling stands for in a heading, "" where it does not fit.

    >>> star("Contributor *", "contributor 2"), star("Contributor *", "title")
    ('2', '')
    """
    if "*" not in spelling:
        return ""
    if spelling.strip() == "*":
        return folded
    pattern = re.escape(fold(spelling)).replace(r"\*", "(.+)", 1).replace(r"\*", ".+")
    found = re.fullmatch(pattern, folded)
    return found[1].strip() if found else ""

"""The columns of the sheet that a mapping reads: the first spelling of each heading, in the order of the mapping."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from itertools import count, islice

from crosswalk.mapping import model
from crosswalk.values.folding import fold


class Layout:
    """Headings in blocks. A block with `*` is written as many times as the widest record needs, pairs side by side.

    >>> pairs = [model.Column(heading=["Guest *", "Name *"], to="asset.contributor", role_from="Role *")]
    >>> Layout(model.Mapping(column=pairs)).header({"Guest *": 2})
    ['Guest 1', 'Role 1', 'Guest 2', 'Role 2']
    """

    def __init__(self, mapping: model.Mapping) -> None:
        self._first: dict[str, str] = {}
        for spellings, _ in model.named(mapping):
            for spelling in spellings:
                self._first.setdefault(fold(spelling), spellings[0])
        headings = list(dict.fromkeys(spellings[0] for spellings, _ in model.named(mapping)))
        headings = [heading for heading in headings if heading.strip() != "*"]
        self._outright = {fold(heading) for heading in headings if "*" not in heading}
        self._blocks = self._paired(mapping, headings)

    def _paired(self, mapping: model.Mapping, headings: list[str]) -> list[list[str]]:
        blocks: dict[str, list[str]] = {heading: [heading] for heading in headings}
        for column in mapping.column:
            main = column.headings[0]
            for name in column.taken_from if "*" in main else ():
                companion = self.first(name)
                if "*" in companion and companion != main and main in blocks and len(blocks.get(companion, ())) == 1:
                    blocks[main] += blocks.pop(companion)
        return list(blocks.values())

    def first(self, name: str) -> str:
        """The spelling that is written for a heading."""
        return self._first.get(fold(name), name)

    def numbers(self, heading: str) -> Iterator[int]:
        """What the `*` of a heading stands for, one column after the other; never what another entry names outright."""
        block = next((block for block in self._blocks if heading in block), [heading])
        for number in count(1):
            if not any(fold(numbered(one, number)) in self._outright for one in block if "*" in one):
                yield number

    def header(self, counts: Mapping[str, int]) -> list[str]:
        """All headings; `counts` says how many columns a heading with `*` needs (one at the least)."""
        written: list[str] = []
        for block in self._blocks:
            if "*" not in block[0]:
                written += block
                continue
            many = max(1, *(counts.get(heading, 1) for heading in block))
            for number in islice(self.numbers(block[0]), many):
                written += [numbered(heading, number) for heading in block]
        return written


def numbered(heading: str, number: int) -> str:
    """The heading of one of several columns.

    >>> numbered("Role *", 2)
    'Role 2'
    """
    return heading.replace("*", str(number))

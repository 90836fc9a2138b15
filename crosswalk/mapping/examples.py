"""A mapping's own examples: each is a row and what must come of it. They are the test that travels with the mapping."""

from __future__ import annotations

from collections.abc import Iterable, Mapping

import msgspec

from crosswalk.errors import MappingError
from crosswalk.findings import cell_address
from crosswalk.mapping.assemble import Assembled, assemble
from crosswalk.mapping.model import Example, Lookup
from crosswalk.mapping.model import Mapping as MappingFile
from crosswalk.mapping.plan import Readers, bind
from crosswalk.mapping.rows import unnamed
from crosswalk.mapping.store import StoredRow
from crosswalk.mapping.targets import Target, resolve
from crosswalk.records import Asset, Node
from crosswalk.values.folding import fold


class Heading(msgspec.Struct, frozen=True):
    """A heading of an example."""

    index: int
    text: str


class ExampleSheet(msgspec.Struct, frozen=True):
    """A sheet of one row, as an example writes it."""

    file: str
    name: str
    headings: list[Heading]

    def address(self, row: int, index: int) -> str:
        """The address of a cell."""
        return cell_address(self.file, self.name, row, index)


def differences(mapping: MappingFile, readers: Readers) -> list[str]:
    """What differs from what the examples of a mapping expect, one line each; nothing where all hold."""
    told = []
    for number, example in enumerate(mapping.example, 1):
        told += [f"example {number}: {line}" for line in _of_example(mapping, example, readers)]
    return told


def _of_example(mapping: MappingFile, example: Example, readers: Readers) -> Iterable[str]:
    headings = [Heading(index, text) for index, text in enumerate(example.row)]
    try:
        plan = bind(mapping, ExampleSheet(mapping.path, "", headings), readers, _tables(mapping, example))
    except MappingError as error:
        yield f"its row {error.problem} ({error.next_step})"
        return
    plan.warm()
    row = StoredRow(0, 2, list(example.row.values()))
    made = assemble([(plan, row)])
    for one in unnamed(plan, row):
        yield f'no entry of the mapping carries the column of "{one.value}"'
    for path, expected in example.expect.items():
        target = resolve(path)
        if target is None:
            yield f'"{path}" is no place in a record'
            continue
        found = [text for node in _nodes(made.asset, target) for text in _texts(node, target)]
        wanted = [expected] if isinstance(expected, str) else expected
        if found != [text for text in wanted if text]:
            yield f"{path}: expected {_listed(wanted)}, found {_listed(found)}{_because(made)}"


def _tables(mapping: MappingFile, example: Example) -> dict[Lookup, dict[str, str]]:
    lookups = {column.lookup for column in mapping.column if column.lookup}
    given: Mapping[str, Mapping[str, str]] = {fold(sheet): table for sheet, table in example.lookup.items()}
    return {
        lookup: {fold(code): meaning for code, meaning in given.get(fold(lookup.sheet), {}).items()}
        for lookup in lookups
    }  # fmt: skip


def _nodes(asset: Asset, target: Target) -> list[Node]:
    holders: list[Node] = [asset]
    if target.level != "asset":
        holders = list(asset.instantiations)
    if target.level == "track":
        holders = [track for copy in asset.instantiations for track in copy.essence_tracks]
    return [node for holder in holders for node in _held(holder, target.child.field)]


def _texts(node: Node, target: Target) -> list[str]:
    inner = _held(node, target.main.field) if target.main is not None else [node]
    return [str(getattr(one, "text", "")) for one in inner]


def _held(holder: Node, field: str) -> list[Node]:
    held = getattr(holder, field)
    if isinstance(held, tuple):
        return list(held)
    return [] if held is None else [held]


def _listed(texts: Iterable[str]) -> str:
    return ", ".join(f'"{text}"' for text in texts if text) or "nothing"


def _because(made: Assembled) -> str:
    return f" ({'; '.join(str(one) for one in made.findings)})" if made.findings else ""

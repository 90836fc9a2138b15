"""Each value knows the cell it came from, although records share the values of their wordings."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

from hypothesis import HealthCheck, given
from hypothesis import strategies as st

from crosswalk.records import Evidence, Node, Value, located, shape
from tests.mapping.make import Rows, column, mapped
from tests.search import examples

MAPPING = (
    'asset-key = ["Asset"]\n\n'
    + column("Asset", 'to = "asset.identifier"\nsource = "log"')
    + column("About", 'to = "asset.description"')
    + column("By", 'to = "asset.contributor"\nrole-from = "Role"')
    + column("Tape", 'to = "instantiation.identifier"\nsource = "shelf"')
    + column("Format", 'to = "instantiation.physical"\nread = "carrier"')
    + column("Tracks", 'to = "track.type"')
)
HEADER = ["Asset", "About", "By", "Role", "Tape", "Format", "Tracks"]


def evidence(node: Node) -> Iterator[tuple[Value, Evidence]]:
    """All values below a node that have evidence."""
    if isinstance(node, Value):
        if node.evidence is not None:
            yield node, node.evidence
        return
    for child in shape(type(node)).children:
        held = getattr(node, child.field)
        for one in held if child.many else [held] if held is not None else []:
            yield from evidence(one)


def cells(folder: Path, rows: Rows) -> dict[str, list[str]]:
    """The texts that name a cell as theirs, by cell."""
    found: dict[str, list[str]] = {}
    for asset in mapped(folder, MAPPING, [HEADER, *rows]).assets:
        for _, one in evidence(located(asset)):
            assert one.row, "every value of a sheet came from a row"
            found.setdefault(one.cell, []).append(one.text)
    return found


def test_a_record_of_several_rows(tmp_path: Path) -> None:
    rows = [
        ["A", "Waders.", "Quill", "Host", "1", "vhs", "Video"],
        ["B", "Waders.", "", "", "2", "vhs", ""],
        ["A", "Tides.", "Quill", "Host", "3", "vhs", "Video"],
    ]
    assert cells(tmp_path, rows) == {
        "tapes.csv:2:1": ["A"], "tapes.csv:2:2": ["Waders."], "tapes.csv:2:3": ["Quill"],
        "tapes.csv:2:5": ["1"], "tapes.csv:2:6": ["vhs"], "tapes.csv:2:7": ["Video"],
        "tapes.csv:3:1": ["B"], "tapes.csv:3:2": ["Waders."], "tapes.csv:3:5": ["2"], "tapes.csv:3:6": ["vhs"],
        "tapes.csv:4:2": ["Tides."], "tapes.csv:4:5": ["3"], "tapes.csv:4:6": ["vhs"], "tapes.csv:4:7": ["Video"],
    }  # fmt: skip


TEXTS = ("AB", ("", "x", "y"), ("", "Q"), ("", "Host"), "123", ("vhs", "DVD"), ("", "Video"))
ROWS = st.lists(st.tuples(*map(st.sampled_from, TEXTS)), min_size=1, max_size=6)


@examples(100, HealthCheck.function_scoped_fixture)
@given(ROWS)
def test_every_value_stands_in_its_cell(tmp_path: Path, rows: list[tuple[str, ...]]) -> None:
    for cell, texts in cells(tmp_path, [list(row) for row in rows]).items():
        _, row, number = cell.split(":")
        assert set(texts) == {rows[int(row) - 2][int(number) - 1]}

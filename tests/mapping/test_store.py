"""Rows by key: however many fit in memory, the groups and their order are the same."""

from __future__ import annotations

from hypothesis import given
from hypothesis import strategies as st

from crosswalk.mapping.store import RowStore, StoredRow

ROWS = st.lists(st.tuples(st.sampled_from("ABCD"), st.text(max_size=5)), max_size=30)


def grouped(rows: list[tuple[str, str]], in_memory_bytes: int) -> list[list[StoredRow]]:
    store = RowStore(in_memory_bytes)
    try:
        for number, (key, text) in enumerate(rows):
            store.add(key, StoredRow(0, number, [key, text], {1: "SH13"}, {0: ('"', 3)}, [(1, "FFFF00", True, text)]))
        assert store.count == len(rows)
        return list(store.groups())
    finally:
        store.close()


def expected(rows: list[tuple[str, str]]) -> list[list[int]]:
    found: dict[str, list[int]] = {}
    for number, (key, _) in enumerate(rows):
        found.setdefault(key, []).append(number)
    return list(found.values())


@given(ROWS, st.sampled_from([0, 30, 100, 300, 1_000_000]))
def test_groups_are_whole_and_in_order_wherever_they_waited(rows: list[tuple[str, str]], in_memory_bytes: int) -> None:
    groups = grouped(rows, in_memory_bytes)
    assert [[row.number for row in group] for group in groups] == expected(rows)
    assert groups == grouped(rows, 1_000_000)


def test_the_legible_texts_leave_out_what_cannot_be_read() -> None:
    row = StoredRow(0, 7, ["0117", "#REF!"], {1: "SH13"})
    assert row.legible == ["0117", ""]
    assert row.texts == ["0117", "#REF!"]


@given(ROWS, st.sampled_from([0, 100, 1_000_000]), st.integers(1, 4), st.integers(1, 3), st.integers(0, 2))
def test_what_is_taken_and_what_is_left_for_others_is_all(
    rows: list[tuple[str, str]], in_memory_bytes: int, size: int, step: int, taken: int
) -> None:
    store = RowStore(in_memory_bytes)
    try:
        for number, (key, text) in enumerate(rows):
            store.add(key, StoredRow(0, number, [key, text]))
        assert store.group_count == len(expected(rows))
        first = [block for _ in range(taken) if (block := store.take(size))]
        assert store.group_count == len(expected(rows)) - sum(map(len, first))
        others = [list(store.every(size, number, step)) for number in range(step)]
        dealt = [shares[turn] for turn in range(len(rows) + 1) for shares in others if turn < len(shares)]
        groups = [[row.number for row in group] for block in first + dealt for group in block]
        assert groups == expected(rows)
        assert all(len(block) == size for block in (first + dealt)[:-1])
    finally:
        store.close()

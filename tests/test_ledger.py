"""The account of cells: sums, lines, and what happens where they differ."""

from __future__ import annotations

import csv
import io

import pytest
from hypothesis import given
from hypothesis import strategies as st

from crosswalk.errors import AccountsDiffer
from crosswalk.ledger import HEADER, Account, Entry, Ledger, columns_of

COLUMNS = columns_of(
    [("Tapes, old!A", ""), ("Tapes, old!B", ""), ("Tapes, old!C", "")],
    ["Tape", 'a "b", c', "Note"],
    ["x.y", "", "p,q"],
    "in.xlsx",
)


def lines(write: io.StringIO) -> list[list[str]]:
    return list(csv.reader(io.StringIO(write.getvalue())))


def test_each_filled_cell_is_one_line() -> None:
    out = io.StringIO()
    ledger = Ledger(out)
    ledger.row(COLUMNS, 7, ["0117", "", "ok"], "TDLN, 4", Account.DELIVERED, {})
    ledger.row(COLUMNS, 8, ["0118", "=1+1", "555"], "r", Account.DELIVERED, {
        1: Entry(Account.REFUSED, "could not, be read", "DT01"), 2: Entry(Account.KEPT_BACK, "private"),
    })  # fmt: skip
    assert lines(out) == [
        list(HEADER),
        ["in.xlsx", "Tapes, old!A7", "Tape", "delivered", "TDLN, 4", "x.y", "", ""],
        ["in.xlsx", "Tapes, old!C7", "Note", "delivered", "TDLN, 4", "p,q", "", ""],
        ["in.xlsx", "Tapes, old!A8", "Tape", "delivered", "r", "x.y", "", ""],
        ["in.xlsx", "Tapes, old!B8", 'a "b", c', "refused", "r", "could not, be read", "DT01", "'=1+1"],
        ["in.xlsx", "Tapes, old!C8", "Note", "kept back", "r", "private", "", ""],
    ]


def test_what_is_kept_back_is_not_quoted() -> None:
    out = io.StringIO()
    Ledger(out).row(COLUMNS, 7, ["", "", "555-0142"], "r", Account.KEPT_BACK, {2: Entry(Account.KEPT_BACK, "private")})
    assert "555-0142" not in out.getvalue()


@pytest.mark.parametrize("read", [1, 3, 0])
def test_sums_that_differ_fail_the_run(read: int) -> None:
    ledger = Ledger()
    ledger.read(read)
    ledger.row(COLUMNS, 7, ["0117", "x"], "r", Account.DELIVERED, {})
    with pytest.raises(AccountsDiffer, match=f"{read} non-empty cells were read, 2 are accounted for"):
        ledger.check()


TEXTS = st.lists(st.sampled_from(["", "a", " ", "=x", 'say "so"', "two\nlines", ","]), max_size=3)


@given(
    st.lists(
        st.tuples(TEXTS, st.sampled_from(Account), st.dictionaries(st.integers(0, 2), st.sampled_from(Account))),
        max_size=6,
    )
)
def test_sums_and_lines_agree(rows: list[tuple[list[str], Account, dict[int, Account]]]) -> None:
    out = io.StringIO()
    ledger = Ledger(out)
    for number, (texts, account, apart) in enumerate(rows):
        entries = {i: Entry(to, "why") for i, to in apart.items() if i < len(texts) and texts[i]}
        ledger.read(sum(1 for text in texts if text))
        ledger.row(COLUMNS, number, texts, "r", account, entries)
    ledger.check()
    told = [line[3] for line in lines(out)[1:]]
    assert {account: told.count(account) for account in Account} == ledger.sums()
    assert sum(ledger.sums().values()) == ledger.cells_read == len(told)


def test_without_a_place_to_write_it_counts() -> None:
    ledger = Ledger()
    ledger.read(1)
    ledger.row(COLUMNS, 1, ["x"], "r", Account.SET_ASIDE, {})
    assert ledger.sums()[Account.SET_ASIDE] == 1

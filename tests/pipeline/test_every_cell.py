"""Every non-empty cell ends in exactly one of four places: random sheets and mappings, and counts of our own."""

from __future__ import annotations

import csv
import tempfile
from collections.abc import Iterator
from functools import partial
from pathlib import Path

import openpyxl
import pytest
from hypothesis import given, reject
from lxml import etree
from openpyxl.utils import get_column_letter

from crosswalk.errors import UnreadableInput
from crosswalk.mapping.store import RowStore
from crosswalk.pipeline import converting
from crosswalk.pipeline.run import Options, Outcome
from tests.pipeline.random_sheets import CODES, Case, cases
from tests.search import examples


def convert(case: Case, source: Path, out: Path) -> Outcome:
    mapping = source.parent / "mapping.toml"
    mapping.write_text(case.mapping, encoding="utf-8")
    try:
        return converting.convert([source], Options(out=out, mappings=(str(mapping),)))
    except UnreadableInput as error:
        assert "has no row to read" in str(error)
        assert not out.exists()
        reject()  # a sheet without a row has no accounts


def counted_csv(path: Path) -> set[str]:
    """The addresses of all non-empty cells; white space is not empty."""
    with path.open(encoding="utf-8", newline="") as file:
        reader = csv.reader(file)
        found, start = set(), 1
        for row in reader:
            found |= {f"{path.name}:{start}:{number}" for number, text in enumerate(row, 1) if text}
            start = reader.line_num + 1
    return found


def counted_xlsx(path: Path) -> set[str]:
    found = set()
    for name in ("Tapes", "Codes"):
        for row in openpyxl.load_workbook(path)[name].iter_rows():
            filled = [cell for cell in row if cell.value not in (None, "")]
            found |= {f"{name}!{get_column_letter(cell.column)}{cell.row}" for cell in filled}
    return found


def ledger(out: Path) -> list[dict[str, str]]:
    with (out / "account" / "ledger.csv").open(encoding="utf-8", newline="") as file:
        return list(csv.DictReader(file))


def check_accounts(outcome: Outcome, rows: list[dict[str, str]], counted: set[str]) -> None:
    addresses = [row["cell"] for row in rows]
    assert len(addresses) == len(set(addresses)), "a cell stands twice in the ledger"
    assert set(addresses) == counted
    assert outcome.cells_read == len(counted) == sum(outcome.sums.values())
    by_account = {account: sum(1 for row in rows if row["account"] == account) for account in outcome.sums}
    assert by_account == outcome.sums


def check_reasons(outcome: Outcome, rows: list[dict[str, str]]) -> None:
    """What was refused has a code, and a finding with that code was made; what was set aside has a reason."""
    for row in rows:
        if row["account"] == "refused":
            assert outcome.counts.get(row["code"]), row
        if row["account"] == "set aside":
            assert row["field or reason"].strip(), row


def said(out: Path) -> str:
    """All that the documents say."""
    return "\n".join(text for path in sorted(out.rglob("*.xml")) for text in _strings(path))


def _strings(path: Path) -> Iterator[str]:
    for element in etree.parse(path).iter():
        yield element.text or ""
        yield from map(str, element.attrib.values())


def check_delivered(case: Case, rows: list[dict[str, str]], out: Path) -> None:
    """A cell that counts as delivered is really in a document, where no parser may have changed its words."""
    spoken = " ".join(said(out).split())
    grid = {row["cell"]: row for row in rows}
    for number, texts in enumerate(case.grid(), 1):
        for index, text in enumerate(texts):
            row = grid.get(f"Tapes!{get_column_letter(index + 1)}{number}")
            if row is None or row["account"] != "delivered" or text in ('"', "ditto", "DITTO "):
                continue
            if row["heading"] in ("Tape", "Title", "Series", "Name 1", "Role 1", "Story", "Kind"):
                words = [" ".join(word.split()) for word in text.replace(",", ";").split(";")]
                assert all(word in spoken for word in words) or _is_read(case, row["heading"]), (row, text)


def _is_read(case: Case, heading: str) -> bool:
    return 'read = "' in case.mapping and heading in ("Name 1", "Role 1", "Tape")


def files(out: Path) -> dict[str, bytes]:
    return {path.relative_to(out).as_posix(): path.read_bytes() for path in sorted(out.rglob("*")) if path.is_file()}


@examples(120)
@given(case=cases(workbook=False))
def test_every_cell_of_a_delimited_file_is_accounted_for_once(case: Case) -> None:
    with tempfile.TemporaryDirectory() as name:
        source, out = case.write_csv(Path(name)), Path(name) / "out"
        outcome = convert(case, source, out)
        rows = ledger(out)
        check_accounts(outcome, rows, counted_csv(source))
        check_reasons(outcome, rows)


@examples(60)
@given(case=cases(workbook=True))
def test_every_cell_of_a_workbook_is_accounted_for_once(case: Case) -> None:
    with tempfile.TemporaryDirectory() as name:
        source, out = case.write_xlsx(Path(name)), Path(name) / "out"
        outcome = convert(case, source, out)
        rows, counted = ledger(out), counted_xlsx(source)
        if "lookup = " not in case.mapping:
            counted = {address for address in counted if not address.startswith("Codes!")}
        check_accounts(outcome, rows, counted)
        check_reasons(outcome, rows)
        check_delivered(case, rows, out)


@examples(40)
@given(case=cases(workbook=False))
def test_rows_that_spill_to_disk_give_the_same_bytes(case: Case) -> None:
    with tempfile.TemporaryDirectory() as name, pytest.MonkeyPatch.context() as patch:
        source = case.write_csv(Path(name))
        in_memory = convert(case, source, Path(name) / "a")
        patch.setattr(converting, "RowStore", partial(RowStore, in_memory_bytes=10))
        spilled = convert(case, source, Path(name) / "b")
        assert files(Path(name) / "a") == files(Path(name) / "b")
        assert in_memory.sums == spilled.sums
        assert in_memory.findings == spilled.findings


def test_the_look_up_sheet_of_the_cases_has_a_code_of_two_meanings() -> None:
    codes = [code for code, _ in CODES]
    assert len(codes) > len(set(codes))

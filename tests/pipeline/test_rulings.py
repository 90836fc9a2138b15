"""Which rulings of a review open a record: what is struck out, noted, hidden or nearly named opens nothing."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import openpyxl
import pytest
from openpyxl.cell.rich_text import CellRichText, TextBlock
from openpyxl.cell.text import InlineFont
from openpyxl.comments import Comment
from openpyxl.styles import Font

from crosswalk.pipeline.run import Outcome
from tests.pipeline.test_small_jobs import HEADINGS, JOB, held, public, run

LOG = [HEADINGS, ["TDLN-0101", "Alder", "A tree", "", ""], ["TDLN-0102", "Birch", "A tree", "", ""]]
BOTH = [["ID", "Decision", "Why"], ["TDLN-0101", "open", ""], ["TDLN-0102", "open", ""]]
STRUCK = Font(strike=True)


def in_workbook(folder: Path, mark: Any) -> Outcome:
    """A run whose review is a workbook that somebody went over."""
    book = openpyxl.Workbook()
    sheet = book.active
    assert sheet is not None
    for row in BOTH:
        sheet.append(row)
    mark(sheet)
    book.save(folder / "review.xlsx")
    return run(folder, LOG, BOTH, JOB.replace("review.csv", "review.xlsx"))


def strike_decision(sheet: Any) -> None:
    sheet["B2"].font = STRUCK


def strike_row(sheet: Any) -> None:
    for cell in sheet[2]:
        cell.font = STRUCK


def note(sheet: Any) -> None:
    sheet["B2"].comment = Comment("wait for the letter", "R. Venn")


def note_reason(sheet: Any) -> None:
    sheet["C2"] = "rung"
    sheet["C2"].comment = Comment("wait for the letter", "R. Venn")


def strike_reason(sheet: Any) -> None:
    sheet["C2"] = "family asked"
    sheet["C2"].font = STRUCK


def strike_part(sheet: Any) -> None:
    sheet["B2"] = CellRichText(TextBlock(InlineFont(strike=True), "open"), " ask")


MARKED = {
    "decision struck out": (strike_decision, "the decision is struck out"),
    "row struck out": (strike_row, "the decision is struck out"),
    "note on the decision": (note, 'the note on Sheet!B2 may change the decision: "wait for the letter"'),
    "note on the reason": (note_reason, 'the note on Sheet!C2 may change the decision: "wait for the letter"'),
    "reason struck out": (strike_reason, "the decision is struck out"),
}


@pytest.mark.parametrize("case", MARKED)
def test_a_decision_that_is_marked_opens_nothing(case: str, tmp_path: Path) -> None:
    mark, why = MARKED[case]
    outcome = in_workbook(tmp_path, mark)
    assert held(tmp_path) == {"TDLN-0101": ("not reviewed", why, "review.xlsx Sheet!B2")}
    assert outcome.counts["RT04"] == 1
    assert "Alder" not in public(tmp_path) and "Birch" in public(tmp_path)


def test_a_decision_struck_out_in_part_opens_nothing(tmp_path: Path) -> None:
    outcome = in_workbook(tmp_path, strike_part)
    assert set(held(tmp_path)) == {"TDLN-0101"}
    assert outcome.counts["RT01"] == 1


def test_marks_elsewhere_in_the_review_change_nothing(tmp_path: Path) -> None:
    def mark(sheet: Any) -> None:
        sheet["D2"] = "seen"
        sheet["D2"].font = STRUCK
        sheet["D3"] = "seen"
        sheet["D3"].comment = Comment("rung", "R. Venn")

    assert in_workbook(tmp_path, mark).counts["SH24"] == 1
    assert held(tmp_path) == {}


def test_a_row_of_the_review_without_an_asset_is_told(tmp_path: Path) -> None:
    outcome = run(tmp_path, LOG, [*BOTH, ["", "hold", "family of the above"]])
    assert outcome.counts["RT03"] == 1


NEARLY = {
    "a blank for a hyphen": "TDLN 0101",
    "nothing between": "tdln0101",
    "a nought lost": "TDLN-101",
    "one of several": "TDLN-0101/TDLN-0999",
    "with an and": "TDLN-0900 and TDLN-0101",
    "the second of a short list": "TDLN-0100/0101",
    "from one to another": "TDLN-0095 to TDLN-0101",
    "from one to another, in short": "TDLN-0100-0101",
    "on two lines": "TDLN-0900\nTDLN-0101",
    "with a word behind": "TDLN-0101 (copy)",
    "with its title": "TDLN-0101 Alder",
}


@pytest.mark.parametrize("spelled", NEARLY.values(), ids=NEARLY.keys())
def test_a_hold_on_an_identifier_that_nearly_is_one_holds(spelled: str, tmp_path: Path) -> None:
    outcome = run(tmp_path, LOG, [*BOTH, [spelled, "hold", "family"]])
    assert set(held(tmp_path)) == {"TDLN-0101"}
    assert held(tmp_path)["TDLN-0101"][0] == "hold"
    assert "Alder" not in public(tmp_path)
    assert outcome.counts["RT03"] == 1


@pytest.mark.parametrize(("spelled", "decision"), [("TDLN 0101", "open"), ("TDLN-0110", "hold"), ("0101", "hold")])
def test_other_rulings_on_nobody_hold_nothing(spelled: str, decision: str, tmp_path: Path) -> None:
    run(tmp_path, LOG, [*BOTH, [spelled, decision, ""]])
    assert held(tmp_path) == {}


def test_a_ruling_on_one_asset_does_not_touch_another_of_a_like_name(tmp_path: Path) -> None:
    log = [*LOG, ["TDLN 0101", "Cedar", "A tree", "", ""]]
    run(tmp_path, log, [*BOTH, ["TDLN 0101", "hold", "family"]])
    assert set(held(tmp_path)) == {"TDLN 0101"}

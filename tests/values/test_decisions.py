"""Decisions: applied before everything else, checked, and told when they are of no use."""

from __future__ import annotations

from pathlib import Path

import pytest

from crosswalk.errors import MappingError
from crosswalk.values.carriers import read_carrier
from crosswalk.values.decisions import Decision, Decisions, load_decisions
from crosswalk.values.reading import NO_CONTEXT, How

HEADER = "kind,text,decided,by,on,note\n"


def written(tmp_path: Path, text: str) -> Decisions:
    path = tmp_path / "decisions.csv"
    path.write_text(text, encoding="utf-8")
    return load_decisions(path)


def test_a_decision_comes_before_every_rule(tmp_path: Path) -> None:
    settled = written(tmp_path, HEADER + "carrier,Beta,Betamax,A. Vale,2024-05-02,seen on the shelf\n")
    reading = settled.apply("carrier", " BETA ", NO_CONTEXT)
    assert (reading.value, reading.how, reading.settled) == ("Betamax", How.DECISION, True)
    assert reading.rule == "decisions.csv:2"
    assert settled.apply("carrier", "VHS", NO_CONTEXT).value == "VHS"
    assert settled.apply("generation", "Beta", NO_CONTEXT).value is None  # another kind
    assert settled.applied("carrier", read_carrier)("beta", NO_CONTEXT).value == "Betamax"
    assert settled.applied("date", read_carrier) is read_carrier
    assert settled.check() == settled.unused() == []


def test_a_wording_may_be_decided_to_mean_nothing(tmp_path: Path) -> None:
    settled = written(tmp_path, HEADER + "carrier,see card,,A. Vale,2024-05-02,\n")
    reading = settled.apply("carrier", "see card", NO_CONTEXT)
    assert (reading.value, reading.how, reading.doubts) == (None, How.DECISION, ())


@pytest.mark.parametrize(
    "row, code, line",
    [
        ("carrier,Beta,Betamaxx,A. Vale,2024-05-02,", "DE03", 2),
        ("carrier,Beta,beta sp,A. Vale,2024-05-02,", "DE03", 2),
        ("carier,Beta,Betamax,A. Vale,2024-05-02,", "DE05", 2),
        ("carrier,Beta,Betamax,,,", "DE04", 2),
        ("carrier,x,Betamax,A. Vale,2024-05-02,\ncarrier,X ,Betacam,A. Vale,2024-05-02,", "DE02", 3),
    ],
)
def test_rows_that_cannot_be_right(tmp_path: Path, row: str, code: str, line: int) -> None:
    found = written(tmp_path, f"{HEADER}{row}\n").check()
    assert [(one.code, one.origin.line) for one in found] == [(code, line)]
    assert found[0].origin.file == "decisions.csv"


@pytest.mark.parametrize("decided", ["Videocassette: IMX", "Optical video disc: shop loop", "U-matic: SP", "Film"])
def test_a_carrier_may_have_a_detail_after_the_colon(tmp_path: Path, decided: str) -> None:
    assert written(tmp_path, f"{HEADER}carrier,odd box,{decided},A. Vale,2024-05-02,\n").check() == []


def test_rows_that_were_of_no_use() -> None:
    settled = Decisions([Decision(kind="carrier", text=t, decided="VHS", by="A", on="2024") for t in ("box", "brick")])
    assert settled.reading("carrier", "Brick") is not None
    assert [one.value for one in settled.unused()] == ["VHS"]
    assert "box" in settled.unused()[0].message
    assert [one.code for one in settled.unused()] == ["DE01"]


def test_quoted_cells_and_a_byte_order_mark(tmp_path: Path) -> None:
    settled = written(tmp_path, '\ufeffkind,text,decided\ncarrier,"1"" reel, brown","1 inch videotape"\n\n')
    assert settled.apply("carrier", '1" reel, brown', NO_CONTEXT).value == "1 inch videotape"


@pytest.mark.parametrize("text", ["", "kind;text;decided\n", "what,ever\n"])
def test_files_that_are_no_decisions(tmp_path: Path, text: str) -> None:
    with pytest.raises(MappingError, match=r"decisions\.csv:1: has no column"):
        written(tmp_path, text)


def test_files_that_cannot_be_read(tmp_path: Path) -> None:
    path = tmp_path / "decisions.csv"
    path.write_bytes(b"\xff\xfekind")
    with pytest.raises(MappingError, match="save as UTF-8"):
        load_decisions(path)

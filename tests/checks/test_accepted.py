"""Known findings and waivers: only what is new is told, and what is gone is told too, so that the lists shrink."""

from __future__ import annotations

import json
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from crosswalk.checks.accepted import Waivers, read_known, read_waivers, write_known
from crosswalk.errors import MappingError
from crosswalk.findings import Finding, Origin, finding

AT = "/pbcoreCollection/pbcoreDescriptionDocument[{}]/pbcoreTitle[1]"


def made(code: str = "RC03", record: str = "TDLN-0423", line: int = 4, number: int = 1, value: str = "") -> Finding:
    origin = Origin(file="in.xml", line=line, path=AT.format(number), record=record)
    return finding(code, origin, "pbcoreTitle is empty", value=value)


def written(folder: Path, *findings: Finding) -> Path:
    path = folder / "known.json"
    path.write_bytes(write_known(findings, folder))
    return path


def test_what_is_known_is_not_told(tmp_path: Path) -> None:
    known = read_known(written(tmp_path, made(), made("RC50")))
    assert list(known.unknown([made(), made("RC50")])) == []
    assert (known.count, list(known.gone())) == (2, [])


def test_what_is_new_is_told(tmp_path: Path) -> None:
    known = read_known(written(tmp_path, made()))
    new = [made("RC50"), made(record="TDLN-0424"), made(value="x")]
    assert list(known.unknown([made(), *new])) == new


def test_lines_and_the_number_in_the_collection_may_move(tmp_path: Path) -> None:
    known = read_known(written(tmp_path, made(line=4, number=1)))
    assert list(known.unknown([made(line=400, number=17)])) == []


def test_as_many_as_there_were(tmp_path: Path) -> None:
    known = read_known(written(tmp_path, made(), made()))
    assert list(known.unknown([made(), made(), made()])) == [made()]


def test_what_no_longer_occurs_is_told(tmp_path: Path) -> None:
    path = written(tmp_path, made(), made("RC50"))
    known = read_known(path)
    list(known.unknown([made()]))
    [gone] = known.gone()
    assert gone.code == "KN01"
    assert "RC50" in gone.message
    assert str(path) in gone.next_step


def test_the_file_is_sorted_and_one_finding_a_line(tmp_path: Path) -> None:
    first, second = made(), made("RC50")
    assert write_known([first, second], tmp_path) == write_known([second, first], tmp_path)
    lines = write_known([first, second], tmp_path).decode().splitlines()
    assert len(lines) == 4
    assert json.loads("".join(lines))["format"] == 3


@given(st.lists(st.tuples(st.sampled_from(["RC03", "RC50", "SC05"]), st.text(), st.text())))
def test_what_was_written_is_known(rows: list[tuple[str, str, str]]) -> None:
    import tempfile

    findings = [finding(code, Origin(record=record), "m", value=value) for code, record, value in rows]
    with tempfile.TemporaryDirectory() as folder:
        known = read_known(written(Path(folder), *findings))
        assert list(known.unknown(findings)) == []
        assert list(known.gone()) == []


def test_a_file_of_the_older_format(tmp_path: Path) -> None:
    """Format 1 had no paths."""
    path = tmp_path / "known.json"
    path.write_text('{"format": 1, "findings": [{"code": "RC03", "file": "in.xml", "record": "TDLN-0423"}]}')
    known = read_known(path)
    assert [one.code for one in known.unknown([made(), made("RC50")])] == ["RC50"]
    assert list(known.gone()) == []


@pytest.mark.parametrize(
    "content", ["", "[]", "{}", '{"format": 99, "findings": []}', '{"format": 2, "findings": [{"file": 1}]}', "\xff"]
)
def test_a_file_that_is_no_list(content: str, tmp_path: Path) -> None:
    path = tmp_path / "known.json"
    path.write_bytes(content.encode("latin-1"))
    with pytest.raises(MappingError, match=r"known\.json"):
        read_known(path)


def test_a_list_that_is_not_there(tmp_path: Path) -> None:
    with pytest.raises(MappingError, match="--write-known"):
        read_known(tmp_path / "none.json")


def waivers(folder: Path, *rows: str) -> Waivers:
    path = folder / "decisions.csv"
    path.write_text("kind,text,decided,by,on,note\n" + "".join(f"{row}\n" for row in rows), encoding="utf-8")
    return read_waivers(path)


def test_a_waiver_is_for_one_record_and_one_code(tmp_path: Path) -> None:
    waived = waivers(tmp_path, "waiver,TDLN-0423,RC03,A. Vale,2026-03-02,as on the label")
    others = [made("RC50"), made(record="TDLN-0424")]
    assert list(waived.left([made(), *others])) == others
    assert list(waived.unused()) == []


def test_a_waiver_may_be_for_a_family(tmp_path: Path) -> None:
    waived = waivers(tmp_path, "waiver,TDLN-0423,RC,A. Vale,2026-03-02,")
    assert list(waived.left([made(), made("RC50")])) == []


def test_a_waiver_that_nothing_needs_is_told(tmp_path: Path) -> None:
    waived = waivers(
        tmp_path, "date,3/4/87,1987-04-03,A. Vale,2026-03-02,", "waiver,TDLN-0423,RC30,A. Vale,2026-03-02,"
    )
    list(waived.left([made()]))
    [unused] = waived.unused()
    assert (unused.code, unused.origin.line, unused.origin.record) == ("KN02", 3, "TDLN-0423")


def test_a_waiver_for_no_code(tmp_path: Path) -> None:
    with pytest.raises(MappingError, match=r"decisions\.csv:2"):
        waivers(tmp_path, "waiver,TDLN-0423,none,A. Vale,2026-03-02,")

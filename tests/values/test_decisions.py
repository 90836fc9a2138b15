"""Decisions: applied before everything else, checked, and told when they are of no use."""

from __future__ import annotations

from pathlib import Path

import pytest

from crosswalk.errors import MappingError
from crosswalk.values.carriers import read_carrier
from crosswalk.values.decisions import Decision, Decisions, load_decisions
from crosswalk.values.reading import NO_CONTEXT, Context, How, Reading, refused
from crosswalk.values.registry import PARSERS, parser

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


# of each kind: a wording, a value that the kind does not allow, one that it allows
KINDS = [
    ("carrier", "blu box", "Umatic thing", "U-matic"),
    ("carrier", "blu box", "Umatic: SP", "Videocassette: IMX"),
    ("generation", "g1", "Masterish", "Master"),
    ("asset_type", "t1", "Programm", "Program"),
    ("date_type", "t1", "aired", "broadcast"),
    ("title_type", "t1", "series title", "Series"),
    ("description_type", "t1", "shot log", "Shot List"),
    ("role", "t1", "presenter", "Host"),
    ("publisher_role", "t1", "distributed by", "Distributor"),
    ("relation", "t1", "see also", "Is Related To"),
    ("instantiation_relation", "t1", "dubbed from", "Is Dub Of"),
    ("media_type", "t1", "radio", "Audio"),
    ("file_format", "t1", "MOV file", "video/quicktime"),
    ("encoding", "t1", "ProRes 422 (HQ)", "Apple ProRes 422 HQ"),
    ("rights", "t1", "CC BY-NC 4.0", "http://creativecommons.org/licenses/by-nc/4.0/"),
    ("date", "Xmas", "Christmas 1984", "1984-12-25"),
    ("date", "Xmas", "1984-02-30", "1984/1985"),
    ("date", "Xmas", "25.12.1984", "1850~"),
    ("duration", "short", "7 min or so", "00:07:00"),
    ("duration", "short", "7", "01:07:00"),
    ("timecode", "start", "ten hours", "10:00:00:00"),
    ("language", "Platt", "Plattish", "nds"),
    ("language", "Platt", "deu", "ger;nds"),
    ("language", "Kanton.", "UK", "yue"),
    ("language", "sound film", "MOS", "mos"),
    ("name", "V and D", "Vale, Anna; Dray, Corin", "Vale, Anna"),
    ("name", "V and D", "Anna Vale", "García López, María"),
    ("name", "V and D", "Vale, Anna (home 960222)", "Blink 7"),
    ("name", "V and D", "various", "Home, Anna"),
    ("episode", "ep", "none", "0423"),
    ("identifier", "id", "31665.0", "31665"),
    ("part", "p", "Reel II", "2 of 3"),
    ("text", "t", "two  spaces", "two spaces"),
]


@pytest.mark.parametrize("kind, text, wrong, right", KINDS)
def test_what_the_kind_does_not_allow_is_not_applied(kind: str, text: str, wrong: str, right: str) -> None:
    rows = [Decision(kind=kind, text=text, decided=decided, by="A", on="2024") for decided in (wrong, right)]
    bad, good = Decisions(rows[:1]), Decisions(rows[1:])
    assert [found.code for found in bad.check()] == ["DE03"]
    assert bad.apply(kind, text, NO_CONTEXT) == parser(kind)(text, NO_CONTEXT)
    assert bad.unused() == []
    assert good.check() == []
    assert good.apply(kind, text, NO_CONTEXT).value == right


def test_every_kind_is_tried() -> None:
    assert {kind for kind, *_ in KINDS} == set(PARSERS)


def test_one_decision_decides_one_name() -> None:
    row = Decision(kind="name", text="V and D", decided="Vale, Anna; Dray, Corin", by="A", on="2024")
    found = Decisions([row]).check()[0]
    assert "one decision decides one name" in found.message
    assert found.suggestions == ("Vale, Anna", "Dray, Corin")


def test_what_a_house_adds_may_be_decided(tmp_path: Path) -> None:
    house = tmp_path / "house.toml"
    house.write_text('vocabulary = "carriers"\n[[term]]\nterm = "Merrow spool"\n', encoding="utf-8")
    context = Context(house_files=(str(house),))
    settled = Decisions([Decision(kind="carrier", text="w", decided="Merrow spool", by="A", on="2024")])
    assert [found.code for found in settled.check()] == ["DE03"]
    settled.asked("carrier", context)
    assert settled.check() == []
    assert settled.applied("carrier", read_carrier)("w", context).value == "Merrow spool"


def test_a_converter_of_the_house_decides_what_it_allows() -> None:
    """What a house's own code makes of a wording need not be a wording that it reads."""

    def shelf(text: str, context: Context) -> Reading:
        return refused("MP07", text)

    settled = Decisions([Decision(kind="shelf", text="a", decided="Room 2", by="A", on="2024")])
    assert [found.code for found in settled.check()] == ["DE05"]
    settled.asked("shelf", NO_CONTEXT)
    assert settled.check() == []
    assert settled.applied("shelf", shelf)("A", NO_CONTEXT).value == "Room 2"


def test_waivers_in_the_same_file_are_no_decisions(tmp_path: Path) -> None:
    settled = written(tmp_path, HEADER + "waiver,TDLN0423,CN03,A. Vale,2024-05-02,\n")
    assert settled.check() == settled.unused() == []


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

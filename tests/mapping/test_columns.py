"""What one column can do: headings, blank and ditto texts, splitting, attributes, look-ups, doubts."""

from __future__ import annotations

from pathlib import Path

import pytest

from tests.mapping.make import Mapped, column, mapped, sheet, toml, workbook

TAPE = '[[column]]\nheading = "Tape"\nto = "instantiation.identifier"\nsource = "Shelf"\n'


@pytest.mark.parametrize(
    ("entry", "written"),
    [
        ('"Title"', "Title"),
        ('["Name", "Title"]', "Title"),
        ('["Name", "Title"]', "Name"),
        ('"title on box"', "Title\non  Box "),
        ('"Title *"', "Title on box"),
        ('"*"', "Anything"),
    ],
    ids=["as written", "second spelling", "first spelling", "case and breaks", "pattern", "whatever is left"],
)
def test_a_heading_is_met_in_any_of_its_spellings(tmp_path: Path, entry: str, written: str) -> None:
    found = mapped(
        tmp_path, f'{TAPE}[[column]]\nheading = {entry}\nto = "asset.title"\n', [["Tape", written], ["1", "Dusk"]]
    )
    assert found.texts("asset.title") == ["Dusk"]
    assert found.codes() == []


def test_a_pattern_takes_only_what_no_entry_names(tmp_path: Path) -> None:
    mapping = TAPE + column("Title", 'to = "asset.title"') + column("*", 'aside = "not carried"')
    found = mapped(tmp_path, mapping, [["Tape", "Title", "x"], ["1", "Dusk", "yes"]])
    assert found.texts("asset.title") == ["Dusk"]
    assert [found.account(f"tapes.csv:2:{i}") for i in (1, 2, 3)] == ["delivered", "delivered", "set aside"]


def test_a_column_that_no_entry_names_is_refused_and_told_once(tmp_path: Path) -> None:
    found = mapped(tmp_path, TAPE, [["Tape", "Odd"], ["1", "a"], ["2", "b"]])
    assert found.codes() == ["MP01"]
    assert [found.ledger[f"tapes.csv:{row}:2"]["code"] for row in (2, 3)] == ["MP01", "MP01"]


def test_an_entry_without_its_column_is_a_note(tmp_path: Path) -> None:
    found = mapped(tmp_path, TAPE + column("Title", 'to = "asset.title"'), [["Tape", "Odd"], ["1", ""]])
    assert found.codes() == ["MP02"]
    assert any('"Title"' in one.message for one in found.findings)


@pytest.mark.parametrize(
    ("extra", "what"),
    [
        ('asset-key = ["Tape", "Series"]', "the asset key"),
        ('[[skip]]\nheading = "Series"\ntexts = ["x"]\nreason = "r"', "[[skip]]"),
        ('[[constant]]\nto = "asset.title"\nvalue = "{Series}"', "a constant"),
        ('[[mark]]\nheading = "Series"\nnote = true\nto = "asset.annotation"', "[[mark]]"),
        ('[[column]]\nheading = "Host"\nto = "asset.creator"\nrole-from = "Series"', "`role-from`"),
    ],
    ids=["key", "skip", "constant", "mark", "companion"],
)
def test_a_heading_that_something_else_names_is_missed_too(tmp_path: Path, extra: str, what: str) -> None:
    top, tables = (extra, "") if extra.startswith("asset-key") else ("", extra)
    found = mapped(tmp_path, f"{top}\n{TAPE}{tables}", [["Tape", "Host"], ["1", ""]])
    assert any(one.code == "MP02" and what in one.message and "Series" in one.message for one in found.findings)


@pytest.mark.parametrize("text", ["n/a", " N/A ", "-", "?"])
def test_blank_texts_mean_nothing_and_are_set_aside(tmp_path: Path, text: str) -> None:
    mapping = f'blank = ["n/a", "?", "-"]\n{TAPE}' + column("Title", 'to = "asset.title"')
    found = mapped(tmp_path, mapping, [["Tape", "Title"], ["1", text]])
    assert found.texts("asset.title") == []
    assert found.ledger["tapes.csv:2:2"]["field or reason"] == "means: nothing was written"


DITTO = f'ditto = [\'"\', "ditto"]\n{TAPE}' + column("Title", 'to = "asset.title"')


@pytest.mark.parametrize("mark", ['"', "ditto", "DITTO", " ditto "])
def test_a_ditto_mark_repeats_the_cell_above(tmp_path: Path, mark: str) -> None:
    found = mapped(tmp_path, DITTO, [["Tape", "Title"], ["1", "Dusk"], ["2", mark], ["3", mark]])
    assert found.texts("asset.title") == ["Dusk"] * 3
    title = found.assets[2].titles[0]
    assert title.evidence is not None
    assert (title.evidence.text, title.evidence.cell, title.evidence.rule) == (
        mark,
        "tapes.csv:4:2",
        "ditto, as in row 3",
    )


def test_a_ditto_mark_with_nothing_above_is_refused_however_many_follow(tmp_path: Path) -> None:
    found = mapped(tmp_path, DITTO, [["Tape", "Title"], ["1", '"'], ["2", '"'], ["3", ""], ["4", '"']])
    assert found.texts("asset.title") == []
    assert [found.ledger[f"tapes.csv:{row}:2"]["code"] for row in (2, 3, 5)] == ["MP04", "MP12", "MP04"]
    assert found.codes() == ["MP04", "MP12", "MP04"]


def test_a_ditto_mark_below_an_error_cell_repeats_no_error(tmp_path: Path) -> None:
    def fill(book: object) -> None:
        cell = book["Tapes"]["B2"]  # type: ignore[index]
        cell.value, cell.data_type = "#REF!", "e"

    path = workbook(tmp_path, {"Tapes": [["Tape", "Title"], ["1", ""], ["2", '"']]}, fill)
    found = Mapped([path], [toml(tmp_path, DITTO)])
    assert found.texts("asset.title") == []
    assert [found.ledger[f"Tapes!B{row}"]["code"] for row in (2, 3)] == ["SH13", "MP12"]


def test_a_row_that_is_left_out_still_stands_above(tmp_path: Path) -> None:
    skip = '[[skip]]\nheading = "Tape"\ntexts = ["gone"]\nreason = "thrown away"\n'
    found = mapped(tmp_path, DITTO + skip, [["Tape", "Title"], ["1", "Dusk"], ["gone", "Dawn"], ["3", '"']])
    assert found.texts("asset.title") == ["Dusk", "Dawn"]


def test_a_ditto_mark_can_leave_a_row_out(tmp_path: Path) -> None:
    skip = '[[skip]]\nheading = "Title"\ntexts = ["gone"]\nreason = "thrown away"\n'
    found = mapped(tmp_path, DITTO + skip, [["Tape", "Title"], ["1", "gone"], ["2", '"'], ["3", "Dawn"]])
    assert found.texts("asset.title") == ["Dawn"]
    assert found.ledger["tapes.csv:3:2"]["field or reason"] == "thrown away"


@pytest.mark.parametrize(
    ("split", "text", "values"),
    [
        ('";"', "salt marsh; waders", ["salt marsh", "waders"]),
        ('";"', "waders", ["waders"]),
        ('";"', "waders;; ", ["waders"]),
        ('";"', "waders; waders", ["waders"]),
        ('[";", "/"]', "salt marsh; waders / tides", ["salt marsh", "waders", "tides"]),
        ('";"', ";", [";"]),
    ],
    ids=["two", "one", "empty pieces", "twice the same", "two separators", "a separator alone"],
)
def test_a_cell_is_split(tmp_path: Path, split: str, text: str, values: list[str]) -> None:
    mapping = TAPE + column("Subjects", f'to = "asset.subject"\nsplit = {split}')
    assert mapped(tmp_path, mapping, [["Tape", "Subjects"], ["1", text]]).texts("asset.subject") == values


def test_one_bad_piece_refuses_the_cell_and_the_good_pieces_go_on(tmp_path: Path) -> None:
    mapping = TAPE + column("Dates", 'to = "asset.date"\nread = "date"\nsplit = ";"\nday-first = true')
    found = mapped(tmp_path, mapping, [["Tape", "Dates"], ["1", "3.4.87; 31.4.87"]])
    assert found.texts("asset.date") == ["1987-04-03"]
    assert found.account("tapes.csv:2:2") == "refused"
    assert found.ledger["tapes.csv:2:2"]["field or reason"] == 'could not be read, in part: "1987-04-03" is carried'
    assert found.codes() == ["DT02"]


SEVERAL = {
    "carriers": ('to = "instantiation.physical"\nread = "carrier"', "VHS; Betacam SP", [], "CA03"),
    "the same carrier twice": ('to = "instantiation.physical"\nread = "carrier"', "VHS; vhs", ["VHS"], ""),
    "lengths": ('to = "instantiation.duration"\nread = "duration"', "00:58:00; 00:28:00", [], "MP05"),
    "texts": ('to = "instantiation.location"', "Bay 2; Bay 3", [], "MP05"),
}


@pytest.mark.parametrize("case", SEVERAL)
def test_of_several_values_for_an_element_that_stands_once_none_is_carried(tmp_path: Path, case: str) -> None:
    rest, text, carried, code = SEVERAL[case]
    found = mapped(tmp_path, TAPE + column("X", f'{rest}\nsplit = ";"'), [["Tape", "X"], ["1", text]])
    assert found.texts(rest.split('"')[1]) == carried
    assert found.account("tapes.csv:2:2") == ("refused" if code else "delivered")
    assert found.ledger["tapes.csv:2:2"]["code"] == code
    assert found.codes() == [code] * bool(code)


def test_attributes_type_and_role_stand_beside_the_text(tmp_path: Path) -> None:
    mapping = TAPE + column(
        "T", 'to = "asset.title"\ntype = "Series"\nsource = "Log"\nref = "x"\nversion = "2"\nannotation = "a"'
    )
    mapping += column("H", 'to = "asset.contributor"\nrole = "Host"') + column(
        "W", 'to = "instantiation.file-size"\nunit = "MB"'
    )
    mapping += column("D", 'to = "asset.description"\nattributes = { startTime = "00:01:00" }')
    rows = [["Tape", "T", "H", "W", "D"], ["1", "Dusk", "Quill, Perpetua", "12", "Tide goes out"]]
    asset = mapped(tmp_path, mapping, rows).asset
    assert asset.descriptions[0].start_time == "00:01:00"
    title = asset.titles[0]
    assert (title.title_type, title.source, title.ref, title.version, title.annotation) == (
        "Series",
        "Log",
        "x",
        "2",
        "a",
    )
    contributor = asset.contributors[0]
    assert contributor.contributor is not None
    assert (contributor.contributor.text, [role.text for role in contributor.roles]) == ("Quill, Perpetua", ["Host"])
    size = asset.instantiations[0].file_size
    assert size is not None and (size.text, size.units_of_measure) == ("12", "MB")


PAIRS = (
    TAPE + column("Contributor *", 'to = "asset.contributor"\nrole-from = "Role *"') + column("Role *", 'read = "role"')
)
PEOPLE = ["Tape", "Contributor 1", "Role 1", "Contributor 2", "Role 2"]


def test_numbered_columns_make_pairs(tmp_path: Path) -> None:
    found = mapped(tmp_path, PAIRS, [PEOPLE, ["1", "Quill", "Presenter", "Vale", "producer"]])
    pairs = [
        (one.contributor.text, [role.text for role in one.roles]) for one in found.asset.contributors if one.contributor
    ]
    assert pairs == [("Quill", ["Host"]), ("Vale", ["Producer"])]
    assert {row["account"] for cell, row in found.ledger.items() if ":2:" in cell} == {"delivered"}


def test_a_role_without_a_person_is_refused(tmp_path: Path) -> None:
    found = mapped(tmp_path, PAIRS, [PEOPLE, ["1", "Quill", "", "", "producer"]])
    assert found.ledger["tapes.csv:2:5"]["code"] == "MP10"
    assert found.codes() == ["MP10"]


def test_a_person_whose_role_is_unknown_stands_without_it(tmp_path: Path) -> None:
    found = mapped(tmp_path, PAIRS, [PEOPLE, ["1", "Quill", "wobbler", "", ""]])
    assert found.texts("asset.contributor") == ["Quill"]
    assert found.asset.contributors[0].roles == ()
    assert found.account("tapes.csv:2:3") == "refused"


def test_a_companion_needs_no_entry_of_its_own(tmp_path: Path) -> None:
    mapping = 'blank = ["-"]\n' + TAPE + column("Title", 'to = "asset.title"\ntype-from = "Kind"')
    found = mapped(tmp_path, mapping, [["Tape", "Title", "Kind"], ["1", "Dusk", "Working"], ["2", "Dawn", "-"]])
    assert [asset.titles[0].title_type for asset in found.assets] == ["Working", None]
    assert found.account("tapes.csv:3:3") == "set aside"
    assert found.codes() == []


def test_an_error_cell_is_no_role(tmp_path: Path) -> None:
    def fill(book: object) -> None:
        cell = book["Tapes"]["C2"]  # type: ignore[index]
        cell.value, cell.data_type = "#N/A", "e"

    path = workbook(tmp_path, {"Tapes": [["Tape", "Title", "Kind"], ["1", "Dusk", ""]]}, fill)
    found = Mapped([path], [toml(tmp_path, TAPE + column("Title", 'to = "asset.title"\ntype-from = "Kind"'))])
    assert found.asset.titles[0].title_type is None


CODED = column("Format", 'to = "instantiation.physical"\nlookup = { sheet = "Codes", key = "Code", value = "Meaning" }')
CODES = [["Code", "Meaning"], ["B", "Betacam"], ["u ", "U-matic"], ["D", "D3"], ["D", "D2"]]


def test_a_second_sheet_says_what_a_code_stands_for(tmp_path: Path) -> None:
    rows = [["Tape", "Format"], ["1", "B"], ["2", "U"], ["3", "Q7"], ["4", "D"]]
    path = workbook(tmp_path, {"Tapes": rows, "Codes": CODES})
    found = Mapped([path], [toml(tmp_path, TAPE + CODED)])
    assert found.texts("instantiation.physical") == ["Betacam", "U-matic"]
    assert [found.ledger[f"Tapes!B{row}"]["code"] for row in (4, 5)] == ["MP06", "MP06"]
    assert sorted(found.codes()) == ["MP06", "MP06", "MP13"]
    assert found.account("Codes!A2") == "set aside"


def test_two_columns_may_use_one_look_up_sheet(tmp_path: Path) -> None:
    second = column(
        "Copy", 'to = "instantiation.generations"\nlookup = { sheet = "codes", key = "Code", value = "Meaning" }'
    )
    path = workbook(tmp_path, {"Tapes": [["Tape", "Format", "Copy"], ["1", "B", "u"]], "Codes": CODES})
    found = Mapped([path], [toml(tmp_path, TAPE + CODED + second)])
    assert found.texts("instantiation.generations") == ["U-matic"]
    assert len([cell for cell in found.ledger if cell.startswith("Codes!")]) == 10


def test_a_carrier_settles_a_doubtful_date(tmp_path: Path) -> None:
    mapping = TAPE + column("Format", 'to = "instantiation.physical"\nread = "carrier"')
    mapping += column("Date", 'to = "instantiation.date"\nread = "date"\nday-first = true')
    found = mapped(
        tmp_path, mapping, [["Tape", "Format", "Date"], ["1", "DVD", "3.4.11"], ["2", "2 inch quad", "3.4.61"]]
    )
    assert found.texts("instantiation.date") == ["2011-04-03", "1961-04-03"]


@pytest.mark.parametrize(
    ("dates", "read"),
    [
        (["3/4/87", "13/4/87"], ["1987-04-03", "1987-04-13"]),
        (["3/4/87", "4/13/87"], ["1987-03-04", "1987-04-13"]),
        (["3/4/87", "5/6/87"], []),
    ],
    ids=["a thirteenth first", "a thirteenth second", "nothing decides"],
)
def test_the_columns_own_dates_decide_what_comes_first(tmp_path: Path, dates: list[str], read: list[str]) -> None:
    mapping = TAPE + column("Date", 'to = "instantiation.date"\nread = "date"')
    found = mapped(tmp_path, mapping, [["Tape", "Date"], *([str(i), date] for i, date in enumerate(dates))])
    assert found.texts("instantiation.date") == read
    assert found.codes() == ([] if read else ["DT03", "DT03"])


def test_a_doubtful_value_is_carried_as_written_where_the_mapping_says_so(tmp_path: Path) -> None:
    mapping = TAPE + column("Format", 'to = "instantiation.physical"\nread = "carrier"\nsure = false')
    found = mapped(tmp_path, mapping, [["Tape", "Format"], ["1", "Beta"]])
    physical = found.asset.instantiations[0].physical
    assert physical is not None
    assert (physical.text, physical.annotation) == ("Beta", "as written; not read with certainty")
    assert found.account("tapes.csv:2:2") == "delivered"
    assert found.codes() == ["CA02"]


def test_a_second_value_has_no_place_beside_the_first(tmp_path: Path) -> None:
    mapping = TAPE + column("L1", 'to = "instantiation.duration"') + column("L2", 'to = "instantiation.duration"')
    rows = [["Tape", "L1", "L2"], ["1", "00:10:00", "00:20:00"], ["2", "00:10:00", "00:10:00"], ["3", "", "00:30:00"]]
    found = mapped(tmp_path, mapping, rows)
    assert found.texts("instantiation.duration") == ["00:10:00", "00:10:00", "00:30:00"]
    assert [found.account(f"tapes.csv:{row}:3") for row in (2, 3, 4)] == ["refused", "delivered", "delivered"]
    assert found.codes() == ["MP05"]


def test_what_a_carrier_wording_says_besides_gives_way_to_its_own_column(tmp_path: Path) -> None:
    mapping = TAPE + column("Format", 'to = "instantiation.physical"\nread = "carrier"')
    mapping += column("Length", 'to = "instantiation.duration"\nread = "duration"')
    found = mapped(
        tmp_path, mapping, [["Tape", "Format", "Length"], ["1", "umatic 60 min", ""], ["2", "umatic 60 min", "58:30"]]
    )
    first, second = (asset.instantiations[0] for asset in found.assets)
    assert second.duration is not None and second.duration.text == "00:58:30"
    told = [note.text for one in (first, second) for note in one.annotations]
    told += [first.duration.text] if first.duration else []
    assert sum("60" in text or "01:00:00" in text for text in told) == 2


@pytest.mark.parametrize(
    ("text", "left", "codes"),
    [
        ("slate\x0bunreadable", "slate\nunreadable", ["TX02"]),
        ("bell\x07", "bell", ["TX02"]),
        ("Wet â€“ dry", "Wet – dry", ["TX03"]),
        (" a\u00a0b ", "a b", []),
    ],
    ids=["vertical tab", "bell", "broken encoding", "stray spaces"],
)
def test_text_is_mended_by_rule_and_said(tmp_path: Path, text: str, left: str, codes: list[str]) -> None:
    found = mapped(tmp_path, TAPE + column("Title", 'to = "asset.title"'), [["Tape", "Title"], ["1", text]])
    assert found.texts("asset.title") == [left]
    assert found.codes() == codes
    evidence = found.asset.titles[0].evidence
    assert evidence is not None and evidence.text == text


@pytest.mark.parametrize("entry", ['to = "asset.title"', 'to = "instantiation.physical"\nread = "carrier"'])
def test_a_cell_of_forbidden_characters_alone_is_set_aside_and_said(tmp_path: Path, entry: str) -> None:
    found = mapped(tmp_path, TAPE + column("Title", entry), [["Tape", "Title"], ["1", "\x01"]])
    assert found.account("tapes.csv:2:2") == "set aside"
    assert found.codes() == ["TX02"]


def test_a_row_longer_than_the_header_keeps_its_cells_in_the_account(tmp_path: Path) -> None:
    found = mapped(
        tmp_path, TAPE + column("Title", 'to = "asset.title"'), [["Tape", "Title"], ["1", "Dusk", "", "stray"]]
    )
    assert found.ledger["tapes.csv:2:4"]["code"] == "SH05"


def test_a_title_block_wider_than_the_header_is_accounted_for(tmp_path: Path) -> None:
    mapping = f"header-row = 2\n{TAPE}" + column("Title", 'to = "asset.title"')
    found = mapped(tmp_path, mapping, [["Library", "", "", "1987"], ["Tape", "Title"], ["1", "Dusk"]])
    assert found.ledger["tapes.csv:1:4"]["field or reason"] == "title block"


def test_house_words_are_read(tmp_path: Path) -> None:
    (tmp_path / "words.toml").write_text(
        'vocabulary = "carriers"\n[aliases]\n"U-matic" = ["the grey bricks"]\n', encoding="utf-8"
    )
    mapping = (
        'vocabularies = ["words.toml"]\n' + TAPE + column("Format", 'to = "instantiation.physical"\nread = "carrier"')
    )
    found = mapped(tmp_path, mapping, [["Tape", "Format"], ["1", "the grey bricks"]])
    assert found.texts("instantiation.physical") == ["U-matic"]


CONVERTER = """
from crosswalk.values.reading import Doubt, How, Reading

def read_shelf(text, context):
    if text == "boom":
        raise RuntimeError("no such shelf")
    if text == "none":
        return None
    return Reading(f"shelf {text}", How.PATTERN, rule="house shelf")

PARSERS = {"shelf": read_shelf}
"""


def test_a_house_may_bring_its_own_converter(tmp_path: Path) -> None:
    (tmp_path / "own.py").write_text(CONVERTER, encoding="utf-8")
    mapping = 'converters = "own.py"\n' + TAPE + column("Place", 'to = "instantiation.location"\nread = "shelf"')
    found = mapped(tmp_path, mapping, [["Tape", "Place"], ["1", "9"], ["2", "boom"], ["3", "none"], ["4", "8"]])
    assert found.texts("instantiation.location") == ["shelf 9", "shelf 8"]
    assert found.codes() == ["MP07", "MP07"]
    assert "no such shelf" in found.findings[-2].message


def test_two_mappings_read_one_file_each_sheet_once(tmp_path: Path) -> None:
    path = workbook(
        tmp_path, {"Video 1": [["Tape", "A"], ["1", "a"]], "Radio": [["Tape", "B"], ["2", "b"]], "Key": [["x", "y"]]}
    )
    first = toml(tmp_path, 'sheets = ["video *"]\n' + TAPE + column("A", 'to = "asset.title"'), "first.toml")
    second = toml(tmp_path, 'sheets = ["*o*"]\n' + TAPE + column("B", 'to = "asset.title"'), "second.toml")
    found = Mapped([path], [first, second])
    assert found.texts("asset.title") == ["a", "b"]
    assert found.codes() == ["MP09"]


def test_of_several_mappings_a_delimited_file_takes_the_fittest(tmp_path: Path) -> None:
    first = toml(tmp_path, TAPE + column("A", 'to = "asset.title"'), "first.toml")
    second = toml(
        tmp_path, TAPE + column("B", 'to = "asset.title"') + column("C", 'to = "asset.subject"'), "second.toml"
    )
    one, other = (
        sheet(tmp_path, [["Tape", "A"], ["1", "a"]], "a.csv"),
        sheet(tmp_path, [["Tape", "B", "C"], ["2", "b", "c"]], "b.csv"),
    )
    found = Mapped([one, other], [first, second])
    assert found.texts("asset.title") == ["a", "b"]
    assert found.codes() == []

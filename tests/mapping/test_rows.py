"""What rows can do: constants, keys over several sheets, rows left out, marks, and what stays in the house."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest
from openpyxl.comments import Comment
from openpyxl.styles import Font, PatternFill

from crosswalk.rights.gate import public_copy
from tests.mapping.make import Mapped, Rows, column, mapped, sheet, toml, workbook

TAPE = '[[column]]\nheading = "Tape"\nto = "instantiation.identifier"\nsource = "Shelf"\n'
TITLE = column("Title", 'to = "asset.title"')


def constant(rest: str) -> str:
    return f"\n[[constant]]\n{rest}\n"


def test_a_constant_stands_in_every_record_and_one_for_the_missing_only_there(tmp_path: Path) -> None:
    mapping = TAPE + TITLE + constant('to = "asset.subject"\nvalue = "tides"')
    mapping += constant('to = "asset.title"\nvalue = "Untitled"\nwhen-missing = true')
    found = mapped(tmp_path, mapping, [["Tape", "Title"], ["1", "Dusk"], ["2", ""]])
    assert found.texts("asset.subject") == ["tides", "tides"]
    assert found.texts("asset.title") == ["Dusk", "Untitled"]


def test_a_constant_of_the_carrier_makes_no_carrier(tmp_path: Path) -> None:
    mapping = TAPE + TITLE + constant('to = "instantiation.location"\nvalue = "The store"')
    found = mapped(tmp_path, mapping, [["Tape", "Title"], ["1", "Dusk"], ["", "Dawn"]])
    assert [len(asset.instantiations) for asset in found.assets] == [1, 0]


@pytest.mark.parametrize(
    ("template", "row", "text", "refused"),
    [
        ("{Series}-{No}", ["TDLN", "423", "2"], "TDLN-423", 1),
        ("{Series}[-{No}][/{Story}]", ["TDLN", "423", "2"], "TDLN-423/2", 0),
        ("{Series}[-{No}][/{Story}]", ["TDLN", "", "2"], "TDLN/2", 0),
        ("{Series}[-{No}][/{Story}]", ["TDLN", "", ""], "TDLN", 0),
        ("{Series}[-{No}/{Story}]", ["TDLN", "423", ""], "TDLN", 1),
        ("{Series}[-{No}]", ["", "423", ""], None, 1),
        ("[sic] {Series} }{ {{x}}", ["TDLN", "", ""], None, 1),
    ],
    ids=["plain", "all", "one bracket empty", "both empty", "half a bracket", "nothing needed", "stray braces"],
)
def test_a_constant_quotes_columns(
    tmp_path: Path, template: str, row: list[str], text: str | None, refused: int
) -> None:
    mapping = TAPE + constant(f'to = "asset.identifier"\nsource = "Log"\nvalue = "{template}"')
    served = "".join(column(name, "") for name in ("Series", "No", "Story") if f"{{{name}}}" in template)
    found = mapped(tmp_path, mapping + served, [["Tape", "Series", "No", "Story"], ["1", *row]])
    if text is not None:
        assert found.texts("asset.identifier") == [text]
    assert sum(1 for one in found.ledger.values() if one["account"] == "refused") == refused


def test_quoting_a_read_column_quotes_what_was_read(tmp_path: Path) -> None:
    mapping = 'episode-pattern = "SSEE"\n' + TAPE + column("No", 'read = "episode"')
    mapping += constant('to = "asset.identifier"\nsource = "Log"\nvalue = "TDLN-{No}"')
    found = mapped(tmp_path, mapping, [["Tape", "No"], ["1", "423"]])
    assert found.texts("asset.identifier") == ["TDLN-0423"]


QUOTING_REFUSED = {
    "needed": ("{Tape} of {Date}", [], "is not made"),
    "in brackets": ("{Tape}[ of {Date}]", ["1"], "is made without it"),
}


@pytest.mark.parametrize("case", QUOTING_REFUSED)
def test_a_refused_text_is_not_delivered_in_a_constant(tmp_path: Path, case: str) -> None:
    value, made, told = QUOTING_REFUSED[case]
    mapping = TAPE + column("Date", 'to = "asset.date"\nread = "date"')
    mapping += f'[[constant]]\nto = "asset.title"\nvalue = "{value}"'
    found = mapped(tmp_path, mapping, [["Tape", "Date"], ["1", "31 April 1987"]])
    assert found.texts("asset.title") == made
    assert found.account("tapes.csv:2:2") == "refused"
    assert found.codes() == ["DT02", "MP16"]
    assert told in found.findings[-1].message


def test_an_error_cell_is_not_quoted(tmp_path: Path) -> None:
    def fill(book: Any) -> None:
        cell = book["Tapes"]["B2"]
        cell.value, cell.data_type = "#REF!", "e"

    mapping = TAPE + column("No", "") + constant('to = "asset.identifier"\nsource = "Log"\nvalue = "TDLN[-{No}]"')
    path = workbook(tmp_path, {"Tapes": [["Tape", "No"], ["1", ""]]}, fill)
    assert Mapped([path], [toml(tmp_path, mapping)]).texts("asset.identifier") == ["TDLN"]


LOG = 'sheets = ["Log"]\nepisode-pattern = "SSEE"\nasset-key = ["Series", "No"]\n'
SHELF = 'sheets = ["Shelf*"]\nepisode-pattern = "SSEE"\nasset-key = ["Programme", "No"]\n'


def test_rows_of_one_asset_come_together_from_anywhere(tmp_path: Path) -> None:
    log = LOG + column("No", 'read = "episode"') + TITLE
    shelf = SHELF + TAPE + column("No", 'read = "episode"')
    path = workbook(
        tmp_path,
        {
            "Shelf A": [["Tape", "Programme", "No"], ["1", "TDLN", "423"], ["2", "HNDW", "101"], ["3", "TDLN", "0423"]],
            "Log": [["Series", "No", "Title"], ["TDLN", "0423", "Dusk"], ["HNDW", "0101", "Clay"]],
            "Shelf B": [["Tape", "Programme", "No"], ["4", "TDLN", "S04E23"]],
        },
    )
    found = Mapped([path], [toml(tmp_path, log, "log.toml"), toml(tmp_path, shelf, "shelf.toml")])
    tapes = [[tape.identifiers[0].text for tape in asset.instantiations] for asset in found.assets]
    assert found.texts("asset.title") == ["Dusk", "Clay"]
    assert tapes == [["1", "3", "4"], ["2"]]
    assert {found.account(cell) for cell in ("Log!A2", "Log!B2", "Shelf A!B2")} == {"set aside"}


def test_a_key_needs_no_entry_of_its_own(tmp_path: Path) -> None:
    found = mapped(
        tmp_path, f'asset-key = ["Series"]\n{TAPE}', [["Tape", "Series"], ["1", "A"], ["2", " A "], ["3", "B"]]
    )
    assert [len(asset.instantiations) for asset in found.assets] == [2, 1]
    assert found.codes() == []


def test_a_key_put_together_meets_one_that_stands_in_a_column(tmp_path: Path) -> None:
    log = (
        'sheets = ["Log"]\nasset-key = ["Code"]\n[[column]]\nheading = "Code"\nto = "asset.identifier"\nsource = "L"\n'
    )
    shelf = 'sheets = ["Shelf"]\nasset-key = ["{Series}-{No}"]\n' + TAPE
    tapes = [["Tape", "Series", "No"], ["7", "TDLN", "0423"], ["8", "TDLN", "0424"], ["9", "", "0424"]]
    path = workbook(tmp_path, {"Log": [["Code"], ["TDLN-0423"], ["TDLN-0424"]], "Shelf": tapes})
    found = Mapped([path], [toml(tmp_path, log, "log.toml"), toml(tmp_path, shelf, "shelf.toml")])
    told = [
        (asset.identifiers[0].text, [tape.identifiers[0].text for tape in asset.instantiations])
        for asset in found.assets
    ]
    assert told == [("TDLN-0423", ["7"]), ("TDLN-0424", ["8"])]
    assert [(one.code, one.origin.cell) for one in found.findings if one.code == "MP03"] == [("MP03", "Shelf!B4")]


def test_a_row_without_a_key_is_refused_whole(tmp_path: Path) -> None:
    found = mapped(tmp_path, f'asset-key = ["Series"]\n{TAPE}', [["Tape", "Series"], ["1", ""], ["2", "B"]])
    assert found.ledger["tapes.csv:2:1"]["code"] == "MP03"
    assert len(found.assets) == 1


@pytest.mark.parametrize("limit", [1, 200, 10_000])
def test_rows_that_wait_on_disk_come_back_in_the_same_order(tmp_path: Path, limit: int) -> None:
    rows = [["Tape", "Series"], *([str(i), f"S{i * 7 % 5}"] for i in range(40))]
    path, mapping = sheet(tmp_path, rows), toml(tmp_path, f'asset-key = ["Series"]\n{TAPE}')
    tapes = [[t.identifiers[0].text for t in a.instantiations] for a in Mapped([path], [mapping], limit).assets]
    assert tapes[0] == [str(i) for i in range(0, 40, 5)]
    assert [group[0] for group in tapes] == ["0", "1", "2", "3", "4"]


@pytest.mark.parametrize(
    ("rule", "gone"),
    [
        ('texts = ["thrown away"]', ["2"]),
        ('texts = ["THROWN  AWAY"]', ["2"]),
        ('pattern = "^(thrown|sold)"', ["2", "3"]),
        ('texts = ["x"]\npattern = "to the museum$"', ["3"]),
    ],
    ids=["text", "case and spaces", "pattern", "text or pattern"],
)
def test_rows_are_left_out_with_the_reason(tmp_path: Path, rule: str, gone: list[str]) -> None:
    mapping = TAPE + f'[[skip]]\nheading = "State"\n{rule}\nreason = "not ours"\n'
    rows = [["Tape", "State"], ["1", ""], ["2", "thrown away"], ["3", "sold to the museum"]]
    found = mapped(tmp_path, mapping, rows)
    kept = {"1", "2", "3"} - set(gone)
    assert set(found.texts("instantiation.identifier")) == kept
    assert found.ledger[f"tapes.csv:{int(gone[0]) + 1}:1"]["field or reason"] == "not ours"


def test_a_skip_knows_the_other_spellings_of_its_column(tmp_path: Path) -> None:
    mapping = TAPE + '[[column]]\nheading = ["State", "Status"]\naside = "old"\n'
    mapping += '[[skip]]\nheading = "State"\ntexts = ["sold"]\nreason = "not ours"\n'
    assert mapped(tmp_path, mapping, [["Tape", "Status"], ["1", "sold"]]).assets == []


def painted(book: Any) -> None:
    tapes = book["Tapes"]
    tapes["A2"].fill = PatternFill("solid", fgColor="FFFFFF00")
    tapes["B3"].fill = PatternFill("solid", fgColor="FFFFFF00")
    tapes["A3"].font = Font(strike=True)
    tapes["B4"].comment = Comment("see box 14", "A")


MARKED: Rows = [["Tape", "Title"], ["1", "Dusk"], ["2", "Dawn"], ["3", "Noon"]]
YELLOW = '\n[[mark]]\nfill = "ffff00"\nto = "instantiation.annotation"\nvalue = "digitised"\n'
STRUCK = '\n[[mark]]\nstruck = true\nto = "instantiation.annotation"\ntype = "Place"\nvalue = "gone"\n'
NOTE = '\n[[mark]]\nnote = true\nto = "instantiation.annotation"\ntype = "Note"\n'


@pytest.mark.parametrize(
    ("marks", "notes", "codes"),
    [
        (YELLOW, [["digitised"], ["digitised"], []], ["MP08", "SH26"]),
        (YELLOW.replace("fill", 'heading = "Tape"\nfill'), [["digitised"], [], []], ["MP08", "SH26"]),
        (YELLOW.replace("fill", 'heading = "Odd"\nfill'), [[], [], []], ["MP02", "MP08", "SH26"]),
        (STRUCK, [[], ["gone"], []], ["MP08"]),
        (YELLOW + STRUCK + NOTE, [["digitised"], ["digitised", "gone"], ["see box 14"]], []),
        (NOTE.replace("note = true", 'note = true\nheading = "Tape"'), [[], [], []], ["MP08", "SH26"]),
    ],
    ids=["fill", "fill of one column", "fill of no column", "strike-out", "all", "note of another column"],
)
def test_marks_say_what_they_mean(tmp_path: Path, marks: str, notes: list[list[str]], codes: list[str]) -> None:
    path = workbook(tmp_path, {"Tapes": MARKED}, painted)
    found = Mapped([path], [toml(tmp_path, TAPE + TITLE + marks)])
    told = [[note.text for tape in asset.instantiations for note in tape.annotations] for asset in found.assets]
    assert told == notes
    assert sorted(found.codes()) == codes


def public_texts(found: Mapped) -> str:
    return repr(public_copy(found.asset, lambda identifier: True).asset)


SECRET = "555-0142"


@pytest.mark.parametrize(
    "entry",
    [
        column("X", 'to = "asset.annotation"\npublic = false'),
        column("X", 'to = "asset.contributor"\npublic = false'),
        column("X", 'to = "instantiation.annotation"\npublic = false\nsplit = ";"'),
        column("X", 'to = "track.annotation"\npublic = false'),
        column("X", 'to = "asset.annotation"\npublic = false')
        + constant('to = "asset.description"\nvalue = "call {X}"'),
        column("X", 'to = "asset.annotation"\npublic = false') + column("Title", 'to = "asset.title"\ntype-from = "X"'),
        column("X", "public = false") + column("Title", 'to = "asset.title"\nannotation-from = "X"'),
        column("X", "public = false") + constant('to = "asset.description"\nvalue = "call {X}"'),
        column("X", 'aside = "private"\npublic = false') + column("Title", 'to = "asset.title"\ntype-from = "X"'),
        column("X", 'aside = "private"\npublic = false') + constant('to = "asset.description"\nvalue = "call {X}"'),
        column("X", 'aside = "private"') + constant(f'to = "asset.description"\nvalue = "{SECRET}"\npublic = false'),
        column("X", 'aside = "private"')
        + constant(f'to = "asset.description"\nvalue = "{SECRET}"\npublic = false\nwhen-missing = true'),
    ],
    ids=[
        "value", "container", "split", "track", "quoted", "type of another", "annotation of another", "quoted alone",
        "set aside, type of another", "set aside, quoted", "constant", "constant for the missing",
    ],
)  # fmt: skip
def test_what_is_not_public_is_in_no_public_copy(tmp_path: Path, entry: str) -> None:
    mapping = TAPE + entry + ("" if '"Title"' in entry else TITLE)
    found = mapped(tmp_path, mapping, [["Tape", "Title", "X"], ["1", "Dusk", SECRET]])
    assert SECRET in repr(found.asset)
    text = public_texts(found)
    assert SECRET not in text
    assert "'1'" in text


def test_a_note_that_is_not_public_stays(tmp_path: Path) -> None:
    path = workbook(tmp_path, {"Tapes": MARKED}, painted)
    found = Mapped([path], [toml(tmp_path, TAPE + TITLE + NOTE + "public = false\n")])
    assert "see box 14" in repr(found.assets[2])
    assert "see box 14" not in repr(public_copy(found.assets[2], lambda identifier: True).asset)


def test_rows_of_white_space_alone_are_accounted_for(tmp_path: Path) -> None:
    found = mapped(tmp_path, TAPE, [["Tape", "Note"], ["1", " "], ["  ", "\t"], ["", ""], ["2", ""]])
    told = {cell: (row["account"], row["field or reason"]) for cell, row in found.ledger.items() if ":3:" in cell}
    assert told == dict.fromkeys(("tapes.csv:3:1", "tapes.csv:3:2"), ("set aside", "only white space"))
    assert found.texts("instantiation.identifier") == ["1", "2"]


@pytest.mark.parametrize("wording", ["Beta", "8mm", "frobnicated"])
def test_a_carrier_that_is_not_understood_is_a_carrier_all_the_same(tmp_path: Path, wording: str) -> None:
    mapping = column("ID", 'to = "asset.identifier"\nsource = "log"')
    mapping += column("Format", 'to = "instantiation.physical"\nread = "carrier"')
    mapping += constant('to = "instantiation.identifier"\nvalue = "{ID}"\nsource = "log"')
    mapping += constant('to = "instantiation.location"\nvalue = "Vault 2"')
    found = mapped(tmp_path, mapping, [["ID", "Format"], ["A", wording], ["B", "VHS"], ["C", ""]])
    assert [len(asset.instantiations) for asset in found.assets] == [1, 1, 0]
    (copy,) = found.assets[0].instantiations
    assert copy.physical is None
    assert copy.location is not None and [one.text for one in copy.identifiers] == ["A"]

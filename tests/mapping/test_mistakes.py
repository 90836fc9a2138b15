"""Mistakes in mapping files: the message names the file, the line and the key, and what would be accepted."""

from __future__ import annotations

from pathlib import Path

import pytest

from crosswalk.errors import MappingError
from tests.mapping.make import Mapped, column, mapped, sheet, toml, workbook

TAPE = '[[column]]\nheading = "Tape"\nto = "instantiation.identifier"\nsource = "Shelf"\n'
ROWS = [["Tape", "Title"], ["1", "Dusk"]]

MISTAKES: dict[str, tuple[str, int, str, str]] = {
    "not TOML": ('[[column]\nheading = "Tape"', 1, "is not TOML", "mend"),
    "unknown key": (f'{TAPE}[[column]]\nheading = "Title"\nto = "asset.title"\nsplitt = ";"', 8, "`splitt`", "split"),
    "unknown key at the top": (f'ditos = ["x"]\n{TAPE}', 1, "`ditos`", "ditto"),
    "wrong type": (f'blank = "n/a"\n{TAPE}', 1, '`blank` may not be "n/a"', "a list of texts"),
    "no column": ('title = "x"', 0, "names no column", "[[column]]"),
    "no kind of row": (f'row = "shelf"\n{TAPE}', 1, '"shelf" is no kind of row', "asset, carrier, file"),
    "no place": (TAPE + column("Title", 'to = "asset.titel"'), 8, '"asset.titel" is no place', "asset.title"),
    "no level": (TAPE + column("Title", 'to = "tape.title"'), 8, '"tape.title" is no place', "title"),
    "no parser": (TAPE + column("Title", 'to = "asset.date"\nread = "dates"'), 9, 'no parser "dates"', "date"),
    "column to nowhere": (TAPE + column("Title", ""), 7, '"Title" goes nowhere', "`aside`"),
    "to and aside": (
        TAPE + column("Title", 'to = "asset.title"\naside = "x"'),
        7, "a `to` and an `aside`", "one of the two",
    ),
    "empty heading": (TAPE + column(" ", 'to = "asset.title"'), 7, "an empty heading", "as the sheet does"),
    "no role there": (TAPE + column("Title", 'to = "asset.title"\nrole = "Host"'), 9, "takes no `role`", "type"),
    "no type there": (
        TAPE + column("Title", 'to = "instantiation.location"\ntype-from = "Tape"'),
        9, "takes no `type`", "annotation",
    ),
    "no unit there": (TAPE + column("Title", 'to = "asset.title"\nunit = "MB"'), 9, "takes no `unit`", "source"),
    "no attribute": (
        TAPE + column("Title", 'to = "asset.title"\nattributes = { colour = "red" }'),
        9, "takes no `colour`", "ref",
    ),
    "no such track": (TAPE + column("Title", 'to = "track.encoding"\ntrack = 0'), 8, "0 is no track", "from 1"),
    "constant nowhere": (
        TAPE + '[[constant]]\nto = "asset.ttle"\nvalue = "x"',
        6, '"asset.ttle" is no place', "asset.title",
    ),
    "control character": (
        TAPE + '[[constant]]\nto = "asset.title"\nvalue = "a\\u0001b"',
        6,
        "'a\\x01b' has control characters",
        "write 'ab'",
    ),
    "skip without reason": (
        TAPE + '[[skip]]\nheading = "Title"\ntexts = ["x"]\nreason = " "',
        5, "gives no reason", "why",
    ),
    "skip of nothing": (TAPE + '[[skip]]\nheading = "Title"\nreason = "old"', 5, "fits no row", "`texts`"),
    "no pattern": (
        TAPE + '[[skip]]\nheading = "Title"\npattern = "("\nreason = "old"',
        7, "no regular expression", "mend",
    ),
    "mark of nothing": (
        TAPE + '[[mark]]\nto = "asset.annotation"\nvalue = "x"',
        5, "names no fill", "one of the three",
    ),
    "no colour": (
        TAPE + '[[mark]]\nfill = "yellow"\nto = "asset.annotation"\nvalue = "x"',
        6, '"yellow" is no colour', "FFFF00",
    ),
    "mark says nothing": (TAPE + '[[mark]]\nstruck = true\nto = "asset.annotation"', 5, "says nothing", "`value`"),
    "no converters": (f'converters = "none.py"\n{TAPE}', 1, 'no module "none.py"', "check the name"),
    "no house words": (
        f'vocabularies = ["none.toml"]\n{TAPE}' + column("Title", 'to = "instantiation.physical"\nread = "carrier"'),
        1, 'no file "none.toml"', "relative to the mapping",
    ),
    "no key column": (
        f'asset-key = ["Series", "No"]\n{TAPE}',
        0, "no column of the asset key (Series, No)", "Tape, Title",
    ),
}  # fmt: skip


@pytest.mark.parametrize("name", MISTAKES)
def test_a_mistake_is_said_with_its_line_and_what_would_do(tmp_path: Path, name: str) -> None:
    text, line, problem, step = MISTAKES[name]
    with pytest.raises(MappingError) as raised:
        mapped(tmp_path, text, ROWS)
    message = str(raised.value)
    assert problem in message
    assert step in message
    if line:
        assert f"mapping.toml:{line}:" in message
    assert "\n" not in message


MANY = f"""\
row = "shelf"
ditos = ["x"]
{TAPE}\
splitt = ";"
[[column]]
heading = "Title"
to = "asset.titel"
read = "dates"
[[column]]
heading = "Also"
to = "asset.title"
role = "Host"
unit = "MB"
[[column]]
to = "asset.title"
[[constant]]
to = "asset.titel"
value = "x"
[[skip]]
heading = "Title"
reason = ""
pattern = "("
[[mark]]
fill = "yellow"
to = "asset.anotation"
value = "x"
"""


def test_all_mistakes_are_said_in_one_go_each_at_its_line(tmp_path: Path) -> None:
    with pytest.raises(MappingError) as raised:
        mapped(tmp_path, MANY, ROWS)
    told = [line.rpartition("mapping.toml:")[2].split(";")[0] for line in str(raised.value).splitlines()]
    assert told == [
        '1: "shelf" is no kind of row',
        "2: unknown key `ditos`",
        "7: unknown key `splitt` in `column[0]`",
        '10: "asset.titel" is no place in a record',
        '11: there is no parser "dates"',
        '15: `asset.title` takes no `role` ("Host")',
        '16: `asset.title` takes no `unit` ("MB")',
        "17: `heading` is missing in `column[3]`",
        '20: "asset.titel" is no place in a record',
        '22: the [[skip]] of "Title" gives no reason',
        "25: is no regular expression: missing ), unterminated subpattern at position 0",
        '27: "yellow" is no colour',
        '28: "asset.anotation" is no place in a record',
    ]


def test_a_module_that_cannot_be_loaded_is_said(tmp_path: Path) -> None:
    for text, problem in (("x = (", "SyntaxError"), ("x = 1", "registers no converters"), ("1/0", "ZeroDivisionError")):
        (tmp_path / "own.py").write_text(text, encoding="utf-8")
        with pytest.raises(MappingError, match=problem):
            mapped(tmp_path, f'converters = "own.py"\n{TAPE}', ROWS)


LOOKUP = column("Title", 'to = "asset.title"\nlookup = { sheet = "Codes", key = "Code", value = "Meaning" }')


def test_a_look_up_sheet_that_is_not_there_is_said(tmp_path: Path) -> None:
    with pytest.raises(MappingError, match='no look-up sheet "Codes"'):
        Mapped([workbook(tmp_path, {"Tapes": ROWS})], [toml(tmp_path, TAPE + LOOKUP)])


def test_a_look_up_sheet_without_its_columns_is_said(tmp_path: Path) -> None:
    path = workbook(tmp_path, {"Tapes": ROWS, "Codes": [["Code", "Means"], ["B", "Betacam"]]})
    with pytest.raises(MappingError, match='"Codes" has no column "Meaning"; headings found: Code, Means'):
        Mapped([path], [toml(tmp_path, TAPE + LOOKUP)])


def test_a_sheet_that_is_not_there_is_said_with_those_that_are(tmp_path: Path) -> None:
    path = workbook(tmp_path, {"Tapes": ROWS, "Reels": ROWS})
    with pytest.raises(MappingError, match=r"names Video \*; its sheets are: Tapes, Reels"):
        Mapped([path], [toml(tmp_path, 'sheets = ["Video *"]\n' + TAPE)])


def test_an_empty_sheet_among_others_is_a_finding(tmp_path: Path) -> None:
    path = workbook(tmp_path, {"Tapes": ROWS, "Tapes 2": []})
    mapping = 'asset-key = ["Tape"]\nsheets = ["Tapes*"]\n' + TAPE + column("Title", 'to = "asset.title"')
    found = Mapped([path], [toml(tmp_path, mapping)])
    assert found.texts("asset.title") == ["Dusk"]
    assert found.codes() == ["SH08"]


def test_the_same_file_twice_is_said(tmp_path: Path) -> None:
    path = sheet(tmp_path, ROWS)
    with pytest.raises(Exception, match="is given twice"):
        Mapped([path, tmp_path / "." / path.name], [toml(tmp_path, TAPE)])

"""Files that are no sheets, or that mean harm: refused with a clear message that says what to do, or a finding."""

from __future__ import annotations

import hashlib
import io
import random
import struct
import zipfile
from collections.abc import Callable
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from crosswalk.errors import UnreadableInput
from crosswalk.sheets import ReadOptions, open_sheets
from crosswalk.sheets.container import OLE, PROTECTED
from tests.sheets.make import grid, raw_workbook, sheet_xml, text_file, with_part, workbook

ROWS = [["Tape", "Title"], ["0117", "Dusk"]]
BOMB_BYTES = 40_000_000
ENTITIES = '<!DOCTYPE x [<!ENTITY a SYSTEM "file:///etc/hostname">]>'


def plain(folder: Path) -> Path:
    return workbook(folder, grid(ROWS), "plain.xlsx")


def truncated(folder: Path) -> Path:
    return text_file(folder, plain(folder).read_bytes()[:-400], "cut.xlsx")


def broken_in_the_middle(folder: Path) -> Path:
    content = bytearray(plain(folder).read_bytes())
    with zipfile.ZipFile(folder / "plain.xlsx") as package:
        start = package.getinfo("xl/worksheets/sheet1.xml").header_offset + 70
    content[start : start + 20] = b"\xff" * 20
    return text_file(folder, bytes(content), "broken.xlsx")


def protected(folder: Path) -> Path:
    return text_file(folder, OLE + b"\0" * 1000 + PROTECTED + b"\0" * 1000, "protected.xlsx")


def protected_across_blocks(folder: Path) -> Path:
    return text_file(folder, OLE + b"\0" * ((1 << 20) - 20) + PROTECTED + b"\0" * 99, "protected.xlsx")


def before_2007(folder: Path) -> Path:
    return text_file(folder, OLE + b"\0" * 1000 + "Workbook".encode("utf-16-le"), "old.xls")


def bomb(folder: Path) -> Path:
    xml = sheet_xml('<row r="1"><c r="A1"><v>' + "0" * BOMB_BYTES + "</v></c></row>")
    return raw_workbook(folder, xml, "bomb.xlsx")


def lying_bomb(folder: Path) -> Path:
    """A part that declares 1,000 bytes in the directory of the ZIP and unpacks to 40 million."""
    content = bytearray(bomb(folder).read_bytes())
    with zipfile.ZipFile(io.BytesIO(bytes(content))) as package:
        info = package.getinfo("xl/worksheets/sheet1.xml")
    size = struct.pack("<I", info.file_size)
    for place in _places(bytes(content), size):
        content[place : place + 4] = struct.pack("<I", 1000)
    return text_file(folder, bytes(content), "lying.xlsx")


def _places(content: bytes, wanted: bytes) -> list[int]:
    places, start = [], content.find(wanted)
    while start >= 0:
        places.append(start)
        start = content.find(wanted, start + 1)
    return places


def sprawling(folder: Path) -> Path:
    rows = '<row r="1"><c r="A1"><v>1</v></c></row><row r="1048576"><c r="XFD1048576"><v>1</v></c></row>'
    return raw_workbook(folder, sheet_xml(rows), "sprawling.xlsx")


def entity_in_the_sheet(folder: Path) -> Path:
    xml = sheet_xml('<row r="1"><c r="A1" t="str"><v>&a;</v></c></row>')
    return raw_workbook(folder, ENTITIES + xml, "entity.xlsx")


def entity_in_the_strings(folder: Path) -> Path:
    strings = f"{ENTITIES}<sst xmlns='http://schemas.openxmlformats.org/spreadsheetml/2006/main'/>".encode()
    return with_part(plain(folder), folder / "entity.xlsx", {"xl/sharedStrings.xml": strings})


def entity_in_the_styles(folder: Path) -> Path:
    return with_part(plain(folder), folder / "entity.xlsx", {"xl/styles.xml": f"{ENTITIES}<styleSheet/>".encode()})


def entity_in_an_ods(folder: Path) -> Path:
    return ods(folder, f'{ENTITIES}<t:table xmlns:t="urn:oasis:names:tc:opendocument:xmlns:table:1.0"/>')


def ods(folder: Path, content: str, manifest: str = "<manifest/>") -> Path:
    path = folder / "made.ods"
    with zipfile.ZipFile(path, "w") as package:
        package.writestr("mimetype", "application/vnd.oasis.opendocument.spreadsheet")
        package.writestr("META-INF/manifest.xml", manifest)
        package.writestr("content.xml", content)
    return path


def protected_ods(folder: Path) -> Path:
    return ods(folder, "", '<manifest:encryption-data xmlns:manifest="x"/>')


def broken_ods(folder: Path) -> Path:
    return ods(folder, "<office><table></office>")


def zip_of_texts(folder: Path) -> Path:
    path = folder / "texts.zip"
    with zipfile.ZipFile(path, "w") as package:
        package.writestr("tapes.csv", "Tape,Title\n")
    return path


def binary_workbook(folder: Path) -> Path:
    path = folder / "tapes.xlsb"
    with zipfile.ZipFile(path, "w") as package:
        package.writestr("xl/workbook.bin", b"\0")
    return path


def without_the_sheet(folder: Path) -> Path:
    return with_part(plain(folder), folder / "without.xlsx", {"xl/worksheets/sheet1.xml": None})


def not_xml_inside(folder: Path) -> Path:
    return with_part(plain(folder), folder / "inside.xlsx", {"xl/workbook.xml": b"<workbook><sheets>"})


def file_of(name: str, content: bytes) -> Callable[[Path], Path]:
    return lambda folder: text_file(folder, content, name)


NOISE = b"".join(hashlib.sha256(b"%d" % number).digest() for number in range(200))

REFUSED: dict[str, tuple[Callable[[Path], Path], str, str]] = {
    "not a workbook, though called so": (file_of("tapes.xlsx", b"Tape,Title\n"), "is not a workbook", "save it as"),
    "cut off": (truncated, "damaged or cut off", "export the workbook again"),
    "broken in the middle": (broken_in_the_middle, "damaged or cut off", "export the workbook again"),
    "protected": (protected, "protected by a password", "save a copy without one"),
    "protected, mark across two blocks": (protected_across_blocks, "protected by a password", "copy without one"),
    "before 2007": (before_2007, "binary form of before 2007", "save it as XLSX"),
    "unpacks to too much": (bomb, "unpacks to more than 20,000,000 bytes", "split the workbook"),
    "unpacks to more than it declares": (lying_bomb, "damaged or cut off", "export the workbook again"),
    "few cells far apart": (sprawling, "few cells that stand far apart", "delete the stray cells"),
    "entity in the sheet": (entity_in_the_sheet, "document type definition", "save it as"),
    "entity in the strings": (entity_in_the_strings, "document type definition", "save it as"),
    "entity in the styles": (entity_in_the_styles, "document type definition", "DOCTYPE"),
    "entity in an ODS": (entity_in_an_ods, "document type definition", "save it as"),
    "protected ODS": (protected_ods, "protected by a password", "save a copy without one"),
    "broken ODS": (broken_ods, "damaged or cut off", "export the workbook again"),
    "ZIP of other files": (zip_of_texts, "is a ZIP file, but no workbook", "save it as"),
    "binary workbook": (binary_workbook, "binary workbook", "save it as"),
    "no part for a sheet": (without_the_sheet, "the part of sheet", "export the workbook again"),
    "broken XML": (not_xml_inside, "not well-formed", ""),
    "PDF": (file_of("tapes.csv", b"%PDF-1.7\n"), "is a PDF, not a sheet", "give a workbook"),
    "web page": (file_of("tapes.xls", b"<HTML><table>"), "is a web page", "give a workbook"),
    "noise": (file_of("tapes.csv", NOISE), "is not text", "save it as"),
    "no file": (lambda folder: folder / "missing.csv", "cannot be opened", "check the path"),
    "a folder": (lambda folder: folder, "cannot be opened", "check the path"),
}


@pytest.mark.parametrize("case", REFUSED)
@pytest.mark.parametrize("marks", [False, True])
def test_refused_with_the_next_step(case: str, marks: bool, tmp_path: Path) -> None:
    make, problem, step = REFUSED[case]
    path = make(tmp_path)
    with pytest.raises(UnreadableInput) as caught:
        open_sheets(path, ReadOptions(max_unpacked_bytes=20_000_000, marks=marks))
    assert problem in caught.value.problem
    assert step in caught.value.next_step
    assert caught.value.place.startswith(str(path))


def test_no_refusal_within_the_limit(tmp_path: Path) -> None:
    assert len(open_sheets(plain(tmp_path), ReadOptions(max_unpacked_bytes=20_000_000))) == 1


def _mutated(content: bytes, rng: random.Random) -> bytes:
    """The XML with a few letters changed, taken out or doubled."""
    made = bytearray(content)
    for _ in range(rng.randint(1, 4)):
        place = rng.randrange(len(made))
        change = rng.choice(["letter", "cut", "double"])
        if change == "letter":
            made[place] = rng.choice(b'0123456789-.eE"<>&/ abcXYZ=:')
        elif change == "cut":
            del made[place : place + rng.randrange(1, 30)]
        else:
            made[place:place] = made[place : place + rng.randrange(1, 60)]
    return bytes(made)


PARTS = ["xl/worksheets/sheet1.xml", "xl/styles.xml", "xl/workbook.xml", "xl/_rels/workbook.xml.rels"]


@pytest.mark.parametrize("part", PARTS)
def test_a_damaged_part_is_read_or_refused(part: str, tmp_path: Path) -> None:
    source, rng = plain(tmp_path), random.Random(part)
    with zipfile.ZipFile(source) as package:
        content = package.read(part)
    outcomes = set()
    for _ in range(40):
        path = with_part(source, tmp_path / "damaged.xlsx", {part: _mutated(content, rng)})
        try:
            for sheet in open_sheets(path):
                assert all(any(row.texts) for row in sheet.rows())
            outcomes.add("read")
        except UnreadableInput:
            outcomes.add("refused")
    assert outcomes == {"read", "refused"}


@given(st.binary(max_size=400))
def test_any_bytes_are_read_or_refused(tmp_path_factory: pytest.TempPathFactory, content: bytes) -> None:
    path = text_file(tmp_path_factory.mktemp("bytes"), content)
    try:
        for sheet in open_sheets(path):
            for row in sheet.rows():
                assert any(row.texts)
    except UnreadableInput as refusal:
        assert refusal.next_step

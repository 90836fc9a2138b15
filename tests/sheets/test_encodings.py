"""Encodings: the bytes are what Python's own codecs write; names and shapes after the Unicode Standard, chapter 3."""

from __future__ import annotations

import codecs
from pathlib import Path

import pytest

from crosswalk.errors import UnreadableInput
from crosswalk.sheets import ReadOptions, open_sheets
from crosswalk.sheets.encodings import BLOCK_BYTES, detect
from tests.sheets.make import codes, only_sheet, text_file, texts

LINES = "Tape;Title\r\n0117;Küste am Abend\r\n0118;“Ferry” – Hour\r\n"

ENCODED = {
    "utf-8": (LINES.encode(), "utf-8"),
    "utf-8 with mark": (LINES.encode("utf-8-sig"), "utf-8-sig"),
    "utf-16 with mark": (LINES.encode("utf-16"), "utf-16"),
    "utf-16 big end first": (codecs.BOM_UTF16_BE + LINES.encode("utf-16-be"), "utf-16"),
    "utf-16 without mark": (LINES.encode("utf-16-le"), "utf-16-le"),
    "utf-16 without mark, big": (LINES.encode("utf-16-be"), "utf-16-be"),
    "utf-32 with mark": (LINES.encode("utf-32"), "utf-32"),
    "windows-1252": (LINES.encode("windows-1252"), "windows-1252"),
}


@pytest.mark.parametrize("case", ENCODED)
def test_encoding_is_found_and_reported(case: str, tmp_path: Path) -> None:
    content, codec = ENCODED[case]
    sheet = only_sheet(text_file(tmp_path, content))
    assert [heading.text for heading in sheet.headings] == ["Tape", "Title"]
    assert texts(sheet) == [["0117", "Küste am Abend"], ["0118", "“Ferry” – Hour"]]
    assert codec in sheet.findings[0].message
    assert "semicolon" in sheet.findings[0].message


def test_sample_that_ends_inside_a_letter_is_still_utf_8() -> None:
    assert detect("abcü".encode()[:-1]).codec == "utf-8"


def test_stray_bytes_far_behind_the_sample_are_read_as_windows_1252_and_reported(tmp_path: Path) -> None:
    filler = b"0001,harbour at dusk\n" * 40_000
    sheet = only_sheet(text_file(tmp_path, b"Tape,Title\n" + filler + b"0117,K\xfcste\n0118,\x81\n0119,K\xc3\xbcste\n"))
    rows = texts(sheet)
    assert rows[-3:] == [["0117", "Küste"], ["0118", "�"], ["0119", "Küste"]]
    misfit = next(finding for finding in sheet.findings if finding.code == "SH02")
    assert misfit.origin.cell == "tapes.csv:40002"
    assert "fc" in misfit.message


@pytest.mark.parametrize("shift", range(-3, 4))
@pytest.mark.parametrize("codec", ["utf-8", "utf-16", "windows-1252"])
def test_letters_and_line_ends_across_blocks(codec: str, shift: int, tmp_path: Path) -> None:
    filler = "a" * (BLOCK_BYTES + shift - len("Tape,Title\r\n"))
    content = f"Tape,Title\r\n{filler},ü\r\n0118,öäü\r\n"
    assert texts(only_sheet(text_file(tmp_path, content.encode(codec)))) == [[filler, "ü"], ["0118", "öäü"]]


def test_rows_are_cut_at_line_ends_only(tmp_path: Path) -> None:
    odd = "a\u2028b\x0bc\x0cd\x1ee\x85f"
    assert texts(only_sheet(text_file(tmp_path, f"Tape,Title\n0117,{odd}\n"))) == [["0117", odd]]


def test_old_line_ends(tmp_path: Path) -> None:
    assert texts(only_sheet(text_file(tmp_path, "Tape,Title\r0117,Dusk\r0118,Dawn"))) == [
        ["0117", "Dusk"],
        ["0118", "Dawn"],
    ]


def test_stated_encoding(tmp_path: Path) -> None:
    path = text_file(tmp_path, "Tape,Title\n0117,Küste\n".encode("cp850"))
    assert texts(only_sheet(path, ReadOptions(encoding="cp850"))) == [["0117", "Küste"]]
    with pytest.raises(UnreadableInput, match="not the name of an encoding"):
        open_sheets(path, ReadOptions(encoding="latin-nine"))


def test_a_mark_before_stated_utf_8_is_taken_off(tmp_path: Path) -> None:
    sheet = only_sheet(text_file(tmp_path, LINES.encode("utf-8-sig")), ReadOptions(encoding="UTF8"))
    assert sheet.headings[0].text == "Tape"


def test_nul_bytes_are_reported_and_kept(tmp_path: Path) -> None:
    sheet = only_sheet(text_file(tmp_path, b"Tape,Title\n0117,a\x00b\n"))
    assert codes(sheet) == ["SH03"]
    assert texts(sheet) == [["0117", "a\0b"]]

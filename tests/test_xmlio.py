"""Guarded input and whole output."""

from __future__ import annotations

import gzip
import os
import zipfile
from pathlib import Path

import pytest
from hypothesis import given
from lxml import etree

from crosswalk.errors import UnreadableInput, UnwritableOutput
from crosswalk.writing import write_whole
from crosswalk.xmlio import (
    Limits,
    chunks,
    escape_attribute,
    escape_text,
    parse_tree,
    sources,
    start_of,
)
from tests.contracts.strategies import TEXTS

CONTENT = b"<a>waders</a>"


def packed(folder: Path, kind: str, content: bytes = CONTENT) -> Path:
    path = folder / f"a.xml{kind}"
    if kind == ".gz":
        path.write_bytes(gzip.compress(content, mtime=0))
    elif kind == ".zip":
        with zipfile.ZipFile(path, "w", zipfile.ZIP_DEFLATED) as archive:
            archive.writestr("b.xml", content)
            archive.writestr("a/a.xml", b"<first/>")
    else:
        path.write_bytes(content)
    return path


@given(TEXTS)
def test_escapes_survive_a_parser(text: str) -> None:
    """Outside check: libxml2 reads what the escapes wrote."""
    element = etree.fromstring(f'<a b="{escape_attribute(text)}">{escape_text(text)}</a>')
    assert (element.get("b"), element.text or "") == (text, text)


@pytest.mark.parametrize("kind", ["", ".gz", ".zip"])
def test_packed_files_are_unpacked_on_the_way(tmp_path: Path, kind: str) -> None:
    path = packed(tmp_path, kind)
    read = {source.name.rpartition("!")[2]: b"".join(chunks(source)) for source in sources(path)}
    assert list(read.values()) == ([b"<first/>", CONTENT] if kind == ".zip" else [CONTENT])
    assert start_of(path) == next(iter(read.values()))


def test_a_workbook_is_no_archive_of_documents(tmp_path: Path) -> None:
    path = tmp_path / "a.xlsx"
    with zipfile.ZipFile(path, "w") as archive:
        archive.writestr("[Content_Types].xml", "<Types/>")
    assert start_of(path).startswith(b"PK")


@pytest.mark.parametrize("kind", [".gz", ".zip"])
def test_a_bomb_is_refused_before_it_is_whole(tmp_path: Path, kind: str) -> None:
    path = packed(tmp_path, kind, b" " * 150_000_000)
    with pytest.raises(UnreadableInput, match="unpacks to more than"):
        for source in sources(path):
            for _ in chunks(source):
                pass


def test_the_size_of_a_file_has_a_limit(tmp_path: Path) -> None:
    (source,) = sources(packed(tmp_path, ""))
    with pytest.raises(UnreadableInput, match="unpacks to more than 5 bytes"):
        list(chunks(source, Limits(max_bytes=5)))


BAD = {
    "gzip cut off": gzip.compress(os.urandom(500_000))[:-1000],
    "gzip damaged": gzip.compress(b"x" * 1000, mtime=0)[:-6] + b"\0" * 6,
    "zip cut off": b"PK\x03\x04" + b"\0" * 100,
}


@pytest.mark.parametrize("content", BAD.values(), ids=BAD.keys())
def test_a_damaged_file_is_refused(tmp_path: Path, content: bytes) -> None:
    (tmp_path / "a").write_bytes(content)
    with pytest.raises(UnreadableInput, match=r"cannot be read|damaged"):
        for source in sources(tmp_path / "a"):
            list(chunks(source))


def test_no_file_and_an_empty_zip_are_refused(tmp_path: Path) -> None:
    with zipfile.ZipFile(tmp_path / "a.zip", "w"):
        pass
    with pytest.raises(UnreadableInput, match="nothing in it"):
        sources(tmp_path / "a.zip")
    with pytest.raises(UnreadableInput, match="no such file"):
        sources(tmp_path / "b.xml")


ENTITIES = "".join(f'<!ENTITY e{n} "{f"&e{n - 1};" * 10}">' for n in range(1, 10))
TREES = {
    "entity bomb": f'<!DOCTYPE a [<!ENTITY e0 "ha">{ENTITIES}]><a>&e9;</a>'.encode(),
    "external entity": b'<!DOCTYPE a [<!ENTITY e SYSTEM "file:///etc/hostname">]><a>&e;</a>',
    "type definition elsewhere": b'<!DOCTYPE a SYSTEM "http://example.org/a.dtd"><a/>',
    "cut off": b"<a>\n<b>",
    "deep": b"<a>" * 10_000,
    "empty": b"",
}


@pytest.mark.parametrize("content", TREES.values(), ids=TREES.keys())
def test_a_tree_is_guarded(content: bytes) -> None:
    with pytest.raises(UnreadableInput, match=r"well-formed|type definition|exceeds") as caught:
        parse_tree(content, "a.xml")
    assert str(caught.value).startswith("a.xml")


def test_a_file_is_put_in_place_whole(tmp_path: Path) -> None:
    path = tmp_path / "new" / "a.xml"
    write_whole(path, b"one")
    write_whole(path, b"two")
    assert path.read_bytes() == b"two"
    assert [each.name for each in path.parent.iterdir()] == ["a.xml"]


def test_what_cannot_be_written_is_said_and_leaves_nothing(tmp_path: Path) -> None:
    (tmp_path / "file").write_text("x")
    with pytest.raises(UnwritableOutput, match="cannot be written"):
        write_whole(tmp_path / "file" / "a.xml", b"one")
    (tmp_path / "b.xml").mkdir()
    with pytest.raises(UnwritableOutput, match="cannot be written"):
        write_whole(tmp_path / "b.xml", b"one")
    assert sorted(each.name for each in tmp_path.iterdir()) == ["b.xml", "file"]

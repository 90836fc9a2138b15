"""The outside writer: pymediainfo's bundled library prints PBCore 2 by itself. What it prints of media made here is
read without a complaint, and written back unchanged."""

from __future__ import annotations

import math
import struct
import wave
from pathlib import Path

import pytest
from lxml import etree
from pymediainfo import MediaInfo

from crosswalk.findings import Finding, Severity
from crosswalk.records import Instantiation
from crosswalk.resources import resource
from crosswalk.standards.base import ReadOptions
from crosswalk.standards.pbcore import write_record
from crosswalk.standards.pbcore_read import read

pytestmark = pytest.mark.skipif(not MediaInfo.can_parse(), reason="pymediainfo has no library on this system")
HINT = "{http://www.w3.org/2001/XMLSchema-instance}schemaLocation"


def tone(path: Path) -> None:
    with wave.open(str(path), "wb") as file:
        file.setnchannels(2)
        file.setsampwidth(2)
        file.setframerate(48_000)
        file.writeframes(b"".join(struct.pack("<hh", int(8000 * math.sin(n / 20)), 0) for n in range(24_000)))


def chunk(name: bytes, content: bytes) -> bytes:
    return name + struct.pack("<I", len(content)) + content + b"\0" * (len(content) % 2)


def film(path: Path, width: int = 64, height: int = 48, frames: int = 25) -> None:
    """An AVI of grey frames, 25 a second: RIFF with one uncompressed stream."""
    frame = b"\x80" * (width * height * 3)
    main = struct.pack("<14I", 40_000, len(frame) * 25, 0, 0, frames, 0, 1, len(frame), width, height, 0, 0, 0, 0)
    stream = b"vidsDIB " + struct.pack("<10I", 0, 0, 0, 1, 25, 0, frames, len(frame), 0, 0)
    stream += struct.pack("<4h", 0, 0, width, height)
    kind = struct.pack("<IiiHHIIiiII", 40, width, height, 1, 24, 0, len(frame), 0, 0, 0, 0)
    streams = chunk(b"LIST", b"strl" + chunk(b"strh", stream) + chunk(b"strf", kind))
    header = chunk(b"LIST", b"hdrl" + chunk(b"avih", main) + streams)
    movie = chunk(b"LIST", b"movi" + chunk(b"00db", frame) * frames)
    path.write_bytes(chunk(b"RIFF", b"AVI " + header + movie))


def canonical(content: bytes) -> bytes:
    """Canonical XML without what a record does not hold: the comment above it, and where its schema is."""
    root = etree.fromstring(content, etree.XMLParser(remove_blank_text=True, remove_comments=True))
    root.attrib.pop(HINT, "")
    etree.cleanup_namespaces(root)
    return etree.tostring(root, method="c14n")


@pytest.mark.parametrize("make", [tone, film], ids=["sound", "moving image"])
def test_what_it_prints_is_read_and_written_back_unchanged(tmp_path: Path, make: object) -> None:
    media, printed = tmp_path / f"{getattr(make, '__name__', '')}.media", tmp_path / "printed.xml"
    assert callable(make)
    make(media)
    printed.write_bytes(str(MediaInfo.parse(str(media), output="PBCore2")).encode())
    *said, record = read(printed, ReadOptions())
    assert isinstance(record, Instantiation) and record.essence_tracks and record.duration is not None
    assert [(item.code, item.severity) for item in said if isinstance(item, Finding)] == [
        ("PB01", Severity.NOTE), ("PB12", Severity.NOTE),
    ]  # fmt: skip
    written = write_record(record)
    assert canonical(written) == canonical(printed.read_bytes())
    schema = etree.XMLSchema(etree.parse(resource("schemas", "pbcore-2.1.xsd")))
    assert schema.validate(etree.fromstring(written)), schema.error_log

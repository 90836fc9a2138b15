"""Guarded reading of XML files: the one place that meets hostile input.

Nothing here resolves an entity, reads a document type definition or reaches for the network. Files that end in
`.gz` or `.zip` are unpacked on the way, within limits.
"""

from __future__ import annotations

import gzip
import re
import zipfile
import zlib
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path
from typing import IO, Any, cast

from lxml import etree

from crosswalk.errors import UnreadableInput

CHUNK_BYTES = 1 << 16
FORBIDDEN = re.compile("[\x00-\x08\x0b\x0c\x0e-\x1f\ud800-\udfff\ufffe\uffff]")  # XML 1.0 (5th edition), 2.2 Char

GUARDED: dict[str, Any] = {"resolve_entities": False, "no_network": True, "load_dtd": False, "huge_tree": False}
NO_DOCTYPE = ("has a document type definition, which could hide anything", "remove <!DOCTYPE ...>")


@dataclass(frozen=True)
class Limits:
    """What a file may hold at the most. libxml2 sets its own limits beside these: 256 levels of elements, 10 million
    bytes in one text, comment or name."""

    max_bytes: int = 20_000_000_000  # unpacked
    expansion: int = 200  # unpacked bytes for one packed byte, once more than 100 MB are unpacked


LIMITS = Limits()


def escape_text(text: str) -> str:
    r"""Text as it may stand between tags. A carriage return is written as a reference, or a reader would drop it.

    >>> escape_text("fish & chips <\r>")
    'fish &amp; chips &lt;&#13;&gt;'
    """
    return text.replace("&", "&amp;").replace("<", "&lt;").replace(">", "&gt;").replace("\r", "&#13;")


def escape_attribute(text: str) -> str:
    r"""Text as it may stand between double quotes. Tabs and line ends are references, or a reader would blur them.

    >>> escape_attribute('3/4"\ttape')
    '3/4&quot;&#9;tape'
    """
    plain = escape_text(text).replace('"', "&quot;")
    return plain.replace("\t", "&#9;").replace("\n", "&#10;")


@dataclass(frozen=True)
class Source:
    """One stream of bytes: a plain file, an unpacked `.gz`, or a member of a `.zip`, which `name` tells apart."""

    path: Path
    name: str
    member: str = ""

    def open(self) -> IO[bytes]:
        """The stream, unpacked, without limits: `chunks` sets them."""
        if self.member:
            return cast("IO[bytes]", _ZipMember(self.path, self.member))
        if _magic(self.path, b"\x1f\x8b"):
            return cast("IO[bytes]", gzip.open(self.path))
        return self.path.open("rb")


class _ZipMember:
    """A member of a zip file that closes the zip file with itself."""

    def __init__(self, path: Path, member: str) -> None:
        self._archive = zipfile.ZipFile(path)
        self._stream = self._archive.open(member)
        self.read = self._stream.read

    def __enter__(self) -> _ZipMember:
        return self

    def __exit__(self, *_: object) -> None:
        self._stream.close()
        self._archive.close()


def sources(path: Path) -> list[Source]:
    """The streams in a file: one, or one for each file in a zip, in the order of their names.

    Raises UnreadableInput where there is no such file, or it is a damaged or empty zip."""
    if not path.is_file():
        raise UnreadableInput(path, "no such file", "check the name")
    try:
        if not _magic(path, b"PK\x03\x04", b"PK\x05\x06"):
            return [Source(path, str(path))]
        with zipfile.ZipFile(path) as archive:
            members = sorted(info.filename for info in archive.infolist() if not info.is_dir())
    except zipfile.BadZipFile as error:
        raise UnreadableInput(path, f"is a damaged zip file ({error})", "send it again") from error
    except OSError as error:
        raise UnreadableInput(path, f"cannot be opened ({error.strerror})", "check its rights") from error
    if not members:
        raise UnreadableInput(path, "is a zip file with nothing in it", "put the XML file into it")
    return [Source(path, f"{path}!{member}", member) for member in members]


def chunks(source: Source, limits: Limits = LIMITS) -> Iterator[bytes]:
    """The unpacked bytes of a source, piece by piece.

    Raises UnreadableInput where it is damaged, or unpacks to more than the limits allow."""
    packed, total = source.path.stat().st_size, 0
    try:
        with source.open() as stream:
            while piece := stream.read(CHUNK_BYTES):
                total += len(piece)
                _within(source, total, packed, limits)
                yield piece
    except (zlib.error, EOFError, zipfile.BadZipFile, OSError, RuntimeError, NotImplementedError) as error:
        raise UnreadableInput(source.name, f"cannot be read ({error})", "send it again") from error


def _within(source: Source, total: int, packed: int, limits: Limits) -> None:
    swollen = total > 100_000_000 and total > limits.expansion * packed
    if total > limits.max_bytes or swollen:
        limit = limits.max_bytes if not swollen else limits.expansion * packed
        raise UnreadableInput(source.name, f"unpacks to more than {limit:,} bytes", "unpack and look at it by hand")


def _magic(path: Path, *starts: bytes) -> bool:
    with path.open("rb") as stream:
        return stream.read(4).startswith(starts)


def start_of(path: Path, size: int = 4096) -> bytes:
    """The first bytes of a file, unpacked where it is a `.gz` or a `.zip` that is not itself a workbook.

    Raises UnreadableInput as `sources` and `chunks` do."""
    if zipfile.is_zipfile(path):
        with zipfile.ZipFile(path) as archive:
            if {"[Content_Types].xml", "mimetype"} & set(archive.namelist()):
                return path.read_bytes()[:size]
    return next(chunks(sources(path)[0]), b"")[:size]


def parse_tree(content: bytes, name: str = "document") -> etree._Element:
    """The root of one document in memory, for documents of moderate size.

    Raises UnreadableInput with the line where it is not well-formed, or has a document type definition.

    >>> parse_tree(b"<a><b/></a>").tag
    'a'
    """
    try:
        root = etree.fromstring(content, etree.XMLParser(**GUARDED))
    except etree.XMLSyntaxError as error:
        raise not_well_formed(name, error) from error
    if root.getroottree().docinfo.doctype:  # type: ignore[union-attr]
        raise UnreadableInput(name, *NO_DOCTYPE)
    return root


def not_well_formed(name: str, error: etree.XMLSyntaxError) -> UnreadableInput:
    """The refusal that a syntax error means: with its line, and what to do."""
    line, column = error.position
    problem = (error.msg or "").split(", try XML_PARSE_HUGE")[0].split(", use XML_PARSE_HUGE")[0]
    problem = problem.split(f", line {line}, column")[0].strip()
    limit = any(word in problem for word in ("Excessive depth", "limit exceeded", "too big", "too long"))
    step = "this is far beyond what a record holds: look at it by hand" if limit else "mend this line"
    if "encoding" in problem or "Invalid bytes" in problem:
        step = "name the encoding that the file is saved in, in its first line"
    what = "exceeds what is read" if limit else "is not well-formed XML"
    return UnreadableInput(f"{name}:{max(line, 1)}:{max(column, 1)}", f"{what}: {problem}", step)

"""What kind of file it is, by its first bytes, and the guarded unpacking of the ZIP that a workbook is."""

from __future__ import annotations

import zipfile
import zlib
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from enum import Enum, auto
from pathlib import Path

from crosswalk.errors import UnreadableInput
from crosswalk.sheets.encodings import detect

BLOCK_BYTES = 1 << 20
ZIP, OLE = b"PK\x03\x04", b"\xd0\xcf\x11\xe0\xa1\xb1\x1a\xe1"
PROTECTED = "EncryptedPackage".encode("utf-16-le")  # the stream that holds a protected workbook ([MS-OFFCRYPTO] 2.3.4)
ODS_TYPE = b"application/vnd.oasis.opendocument.spreadsheet"
SAVE_AS = "open it in a spreadsheet program and save it as XLSX, ODS or CSV"
BYTE_CODECS = frozenset({"utf-8", "windows-1252"})
FIELD_MARKS = b"\x1c\x1d\x1e\x1f"  # which databases put between repeated values
WORKBOOK_SUFFIXES = frozenset({".xlsx", ".xlsm", ".xltx", ".ods", ".xls"})
OTHER_KINDS = {
    b"%PDF": "a PDF", b"\x89PNG": "an image", b"\xff\xd8\xff": "an image", b"GIF8": "an image", b"{\\rtf": "a text",
    b"\x1f\x8b": "a compressed file", b"7z\xbc\xaf": "a compressed file", b"SQLite format 3": "a database",
    b"<?xml": "an XML document", b"<!DOC": "a web page", b"<html": "a web page", b"PK\x05\x06": "an empty ZIP file",
}  # fmt: skip


class FileKind(Enum):
    """The kinds of files that hold sheets."""

    XLSX = auto()
    ODS = auto()
    DELIMITED = auto()


class Package:
    """The parts of a workbook, unpacked piece by piece within one allowance of bytes."""

    def __init__(self, path: Path, max_bytes: int) -> None:
        self.path = path
        self._left = self._limit = max_bytes
        try:
            self._archive = zipfile.ZipFile(path)
        except (zipfile.BadZipFile, OSError, ValueError, NotImplementedError) as error:
            raise self.damaged(error) from error
        infos = self._archive.infolist()
        self.names = frozenset(info.filename for info in infos)
        if len(self.names) != len(infos):
            raise self.damaged("it has two parts of one name")
        if sum(info.file_size for info in infos) > max_bytes:
            raise self._too_large()

    def __enter__(self) -> Package:
        return self

    def __exit__(self, *_: object) -> None:
        self._archive.close()

    def read(self, name: str) -> bytes:
        """One part, whole; empty where there is none."""
        return b"".join(self.blocks(name)) if name in self.names else b""

    def blocks(self, name: str) -> Iterator[bytes]:
        """One part, block by block. Reading to the end also checks its size and checksum, so that a part that unpacks
        to more than it declares is found out."""
        try:
            with self._archive.open(name) as part:
                while block := part.read(BLOCK_BYTES):
                    self._left -= len(block)
                    if self._left < 0:
                        raise self._too_large()
                    yield block
        except (zipfile.BadZipFile, zlib.error, EOFError, OSError, NotImplementedError) as error:
            raise self.damaged(error) from error
        except RuntimeError as error:  # zipfile's answer to a ZIP with a password
            raise protected(self.path) from error

    def prove(self, chosen: Callable[[str], bool]) -> None:
        """Unpacks XML parts that a library will read unguarded, to see that they are what they declare to be and have
        no document type definition."""
        for name in sorted(self.names):
            if chosen(name) and name.endswith((".xml", ".rels", ".vml")):
                for block in self.blocks(name):
                    if b"<!DOCTYPE" in block or b"<!ENTITY" in block:
                        raise UnreadableInput(self.path, f"has a document type definition in {name}", SAVE_AS)

    @contextmanager
    def refusing(self) -> Iterator[None]:
        """Turns what broken numbers and references in the XML raise into the refusal of the workbook."""
        try:
            yield
        except (ValueError, KeyError, OverflowError, TypeError) as error:
            raise self.damaged(error) from error

    def damaged(self, why: object) -> UnreadableInput:
        """The refusal of a workbook that is cut off or broken."""
        return UnreadableInput(self.path, f"is damaged or cut off ({why})", "copy or export the workbook again")

    def _too_large(self) -> UnreadableInput:
        problem = f"unpacks to more than {self._limit:,} bytes"
        return UnreadableInput(self.path, problem, "split the workbook, or raise the limit if you trust the file")


def protected(path: Path) -> UnreadableInput:
    """The refusal of a workbook with a password."""
    return UnreadableInput(path, "is protected by a password", "open it with the password and save a copy without one")


def file_kind(path: Path) -> FileKind:
    """The kind of a file, by what its bytes say; its name decides nothing but the words of a refusal.

    Raises UnreadableInput where it is no sheet."""
    try:
        with path.open("rb") as file:
            head = file.read(4096)
    except OSError as error:
        raise UnreadableInput(path, f"cannot be opened ({error.strerror})", "check the path") from error
    if head.startswith(ZIP):
        return _zip_kind(path)
    if head.startswith(OLE):
        raise _ole(path)
    _refuse_others(path, head)
    return FileKind.DELIMITED


def _zip_kind(path: Path) -> FileKind:
    with Package(path, max_bytes=1 << 62) as package:
        if "xl/workbook.xml" in package.names or _names_workbook(package):
            return FileKind.XLSX
        if "mimetype" in package.names and package.read("mimetype").strip().startswith(ODS_TYPE):
            if b"encryption-data" in package.read("META-INF/manifest.xml"):
                raise protected(path)
            return FileKind.ODS
    binary = "xl/workbook.bin" in package.names
    problem = "is a binary workbook (XLSB)" if binary else "is a ZIP file, but no workbook"
    raise UnreadableInput(path, problem, SAVE_AS)


def _names_workbook(package: Package) -> bool:
    return b"spreadsheetml.sheet.main+xml" in package.read("[Content_Types].xml")


def _ole(path: Path) -> UnreadableInput:
    """A protected workbook and one of the years before 2007 look alike from outside."""
    tail = b""
    with path.open("rb") as file:
        while block := file.read(BLOCK_BYTES):
            if PROTECTED in tail + block:
                return protected(path)
            tail = block[-len(PROTECTED) :]
    return UnreadableInput(path, "is a workbook in the binary form of before 2007, or another old document", SAVE_AS)


def _refuse_others(path: Path, head: bytes) -> None:
    what = next((what for magic, what in OTHER_KINDS.items() if head.lower().startswith(magic.lower())), "")
    if what:
        raise UnreadableInput(path, f"is {what}, not a sheet", "give a workbook or a delimited text file")
    if path.suffix.lower() in WORKBOOK_SUFFIXES:
        raise UnreadableInput(path, f"is not a workbook, though its name ends in {path.suffix}", SAVE_AS)
    if detect(head).codec not in BYTE_CODECS:
        return
    control = sum(0 < byte < 9 or (13 < byte < 32 and byte not in FIELD_MARKS) for byte in head)
    if control > 16 and control * 20 > len(head):
        raise UnreadableInput(path, "is not text", SAVE_AS)

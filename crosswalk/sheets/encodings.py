"""Bytes of a delimited file to text: the encoding found in a sample, and a rule for what does not fit it further on."""

from __future__ import annotations

import codecs
from collections.abc import Callable, Iterator
from io import StringIO
from itertools import chain
from pathlib import Path
from typing import IO

import msgspec

SAMPLE_BYTES = 1 << 18
BLOCK_BYTES = 1 << 18
BOMS = (
    (codecs.BOM_UTF8, "utf-8-sig"),
    (codecs.BOM_UTF32_LE, "utf-32"),  # before UTF-16, whose mark it begins with
    (codecs.BOM_UTF32_BE, "utf-32"),
    (codecs.BOM_UTF16_LE, "utf-16"),
    (codecs.BOM_UTF16_BE, "utf-16"),
)
FALLBACK = "crosswalk.windows-1252"


class Encoding(msgspec.Struct, frozen=True):
    """A codec's name and how it was found: mark, sample, or stated."""

    codec: str
    found: str


class Misfit(msgspec.Struct, frozen=True):
    """Bytes that the encoding does not know: how they were read instead, and on which line."""

    line: int
    text: str
    problem: str


def detect(sample: bytes) -> Encoding:
    """The encoding of a delimited file, from its first bytes: byte order mark, else UTF-16 by the place of its zero
    bytes, else UTF-8 where the bytes are well-formed, else Windows-1252.

    >>> detect("Küste".encode("utf-16")).codec, detect(b"K\\xfcste").codec, detect("Küste".encode()[:2]).codec
    ('utf-16', 'windows-1252', 'utf-8')
    """
    for mark, codec in BOMS:
        if sample.startswith(mark):
            return Encoding(codec, "byte order mark")
    wide = _utf16_without_mark(sample)
    if wide:
        return Encoding(wide, "zero bytes in every other place")
    try:
        codecs.getincrementaldecoder("utf-8")().decode(sample)  # incremental: the sample may end inside a letter
    except UnicodeDecodeError:
        return Encoding("windows-1252", "not well-formed UTF-8")
    return Encoding("utf-8", "well-formed UTF-8")


def _utf16_without_mark(sample: bytes) -> str:
    """Text in Latin letters has a zero in nearly every second byte of UTF-16; a stray NUL is not that."""
    pairs = len(sample) // 2
    even, odd = sample[0::2].count(0), sample[1::2].count(0)
    if pairs and odd > 0.7 * pairs and even < 0.1 * pairs:
        return "utf-16-le"
    if pairs and even > 0.7 * pairs and odd < 0.1 * pairs:
        return "utf-16-be"
    return ""


def _as_windows_1252(error: UnicodeError) -> tuple[str, int]:
    """The codec error handler behind the rule: bytes the encoding does not know are read as Windows-1252, and the five
    that Windows-1252 leaves open become U+FFFD."""
    if not isinstance(error, UnicodeDecodeError):
        raise error
    wrong = error.object[error.start : error.end]
    return wrong.decode("windows-1252", errors="replace"), error.end


codecs.register_error(FALLBACK, _as_windows_1252)


def lines(path: Path, codec: str, misfit: Callable[[Misfit], None], nul: Callable[[int], None]) -> Iterator[str]:
    """The lines of a file, each with its own line end. Never fails on a byte: what the encoding does not know goes to
    `misfit` and is read by the rule of `FALLBACK`; the line number of a NUL goes to `nul`."""
    return chain.from_iterable(_blocks(path, codec, misfit, nul))


def _blocks(
    path: Path, codec: str, misfit: Callable[[Misfit], None], nul: Callable[[int], None]
) -> Iterator[list[str]]:
    """Lists of whole lines. A list a block costs less than a generator step a line, and csv eats it at full speed."""
    decode = _Decoder(codec, misfit)
    rest, line = "", 1
    with path.open("rb") as file:
        for block, last in _read(file):
            text = rest + decode(block, last, line)
            if "\0" in text:
                nul(line + text[: text.index("\0")].count("\n"))
            whole = len(text) if last else _whole_lines(text)
            rest = text[whole:]
            found = _split(text[:whole])
            yield found
            line += len(found)


def _read(file: IO[bytes]) -> Iterator[tuple[bytes, bool]]:
    block = file.read(BLOCK_BYTES)
    while block:
        following = file.read(BLOCK_BYTES)
        yield block, not following
        block = following


def _whole_lines(text: str) -> int:
    """Where the last whole line ends. A carriage return at the very end may be half of a pair."""
    newline = text.rfind("\n")
    return newline + 1 if newline >= 0 else text.rfind("\r", 0, -1) + 1


def _split(text: str) -> list[str]:
    """Lines at LF, CRLF and CR only: str.splitlines would also cut at U+2028, form feed and others."""
    lone = "\r" in text and text.count("\r") != text.count("\r\n")
    return list(StringIO(text, newline="" if lone else "\n"))


class _Decoder:
    """Decodes block after block: strictly, and a block that fails once more by the rule."""

    def __init__(self, codec: str, misfit: Callable[[Misfit], None]) -> None:
        make = codecs.getincrementaldecoder(codec)
        self._strict, self._lenient = make("strict"), make(FALLBACK)
        self._misfit = misfit

    def __call__(self, block: bytes, last: bool, line: int) -> str:
        state = self._strict.getstate()
        try:
            return self._strict.decode(block, last)
        except UnicodeDecodeError as error:
            self._report(error, line)
        self._lenient.setstate(state)
        text = self._lenient.decode(block, last)
        self._strict.setstate(self._lenient.getstate())
        return text

    def _report(self, error: UnicodeDecodeError, line: int) -> None:
        wrong = error.object[error.start : error.end]
        before = error.object[: error.start].count(b"\n")
        self._misfit(Misfit(line + before, wrong.decode("windows-1252", errors="replace"), wrong.hex(" ")))

"""Files that are put in place whole: written beside their place, then renamed; a run that is cut off leaves the old
one. What is no file that could be replaced (a pipe, a device) is written into."""

from __future__ import annotations

import codecs
import io
from collections.abc import Iterator
from contextlib import contextmanager, suppress
from pathlib import Path
from typing import IO, TextIO

from crosswalk.errors import UnwritableOutput

SHOWN = "crosswalk.shown"  # how a text is encoded that holds what is no Unicode, such as a file name of other days


def _shown(error: UnicodeError) -> tuple[str | bytes, int]:
    assert isinstance(error, UnicodeEncodeError)
    is_utf8 = error.encoding.lower().replace("_", "-") == "utf-8"
    one = "\N{REPLACEMENT CHARACTER}".encode() if is_utf8 else b"?"
    return one * (error.end - error.start), error.end


codecs.register_error(SHOWN, _shown)


def shown(text: str) -> str:
    r"""A text with a replacement character for each that is no Unicode.

    >>> shown("lat\udce9in.xml")
    'lat�in.xml'
    """
    return text.encode("utf-8", SHOWN).decode()


def write_whole(path: Path, content: bytes) -> None:
    """Puts a file in place whole. Raises UnwritableOutput where the folder or file cannot be written."""
    with _put(path) as stream:
        stream.write(content)


@contextmanager
def written_whole(path: Path) -> Iterator[TextIO]:
    """A text stream that becomes the file when all is written; the last good file stays where something fails.

    Raises `UnwritableOutput` where the file cannot be written."""
    with _put(path) as stream:
        text = io.TextIOWrapper(stream, encoding="utf-8", errors=SHOWN, newline="")
        yield text
        text.flush()
        text.detach()


@contextmanager
def _put(path: Path) -> Iterator[IO[bytes]]:
    try:
        if path.exists() and not path.is_file():
            with path.open("wb") as stream:
                yield stream
        else:
            yield from _replaced(path.resolve())
    except OSError as error:
        raise UnwritableOutput(path, f"cannot be written ({error.strerror})", "choose another place") from error


def _replaced(path: Path) -> Iterator[IO[bytes]]:
    part = path.with_name(f".{path.name}.part")
    path.parent.mkdir(parents=True, exist_ok=True)
    try:
        with part.open("wb") as stream:
            yield stream
        part.replace(path)
    finally:
        with suppress(OSError):
            part.unlink(missing_ok=True)

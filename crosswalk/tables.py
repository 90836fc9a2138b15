"""Tables that people open in a spreadsheet program: text that starts like a formula is written as text, and a
file is put in place whole."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager, suppress
from datetime import datetime
from pathlib import Path
from typing import TextIO

from crosswalk.errors import UnwritableOutput

CREATED = datetime(2000, 1, 1)  # of any workbook: the bytes must not depend on the clock
FORMULA_STARTS = ("=", "+", "-", "@", "\t", "\r")


def as_text(text: str) -> str:
    """A text as a spreadsheet program will show it and not compute it: with an apostrophe before it where needed.

    >>> as_text("=1+1"), as_text("Tideline")
    ("'=1+1", 'Tideline')
    """
    return f"'{text}" if text.startswith(FORMULA_STARTS) else text


@contextmanager
def written_whole(path: Path) -> Iterator[TextIO]:
    """A text stream that becomes the file when all is written; the last good file stays where something fails.

    Raises `UnwritableOutput` where the file cannot be written."""
    part = path.with_name(f".{path.name}.part")
    try:
        path.parent.mkdir(parents=True, exist_ok=True)
        with part.open("w", encoding="utf-8", newline="") as stream:
            yield stream
        part.replace(path)
    except OSError as error:
        raise UnwritableOutput(path, f"cannot be written ({error.strerror})", "choose another place") from error
    finally:
        with suppress(OSError):
            part.unlink(missing_ok=True)

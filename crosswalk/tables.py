"""Tables that people open in a spreadsheet program: text that starts like a formula is written as text."""

from __future__ import annotations

from datetime import datetime

CREATED = datetime(2000, 1, 1)  # of any workbook: the bytes must not depend on the clock
FORMULA_STARTS = ("=", "+", "-", "@", "\t", "\r")


def as_text(text: str) -> str:
    """A text as a spreadsheet program will show it and not compute it: with an apostrophe before it where needed.

    >>> as_text("=1+1"), as_text("Tideline")
    ("'=1+1", 'Tideline')
    """
    return f"'{text}" if text.startswith(FORMULA_STARTS) else text

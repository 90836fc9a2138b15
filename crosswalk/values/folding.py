"""One way to compare wordings where case and white space do not matter."""

from __future__ import annotations


def fold(text: str) -> str:
    """A text as it is compared: case, white space and line breaks do not matter.

    >>> fold(" Tape\\n No. ")
    'tape no.'
    """
    return " ".join(text.split()).casefold()

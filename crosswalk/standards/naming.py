"""Names of files from identifiers: safe on every system, never the same twice, always the same for the same input."""

from __future__ import annotations

import re
import unicodedata

_RESERVED = re.compile(r"(con|prn|aux|nul|com\d|lpt\d)(\.|$)", re.I)  # names of devices on Windows
_LONGEST = 100


def safe_name(identifier: str) -> str:
    """A file name of letters, digits, dots, dashes and underscores.

    >>> safe_name("TDLN 0423/A")
    'TDLN_0423_A'
    >>> safe_name("Ærø: Café"), safe_name("con"), safe_name("../")
    ('r_Cafe', '_con', 'record')
    """
    plain = unicodedata.normalize("NFKD", identifier).encode("ascii", "ignore").decode()
    name = re.sub(r"[^A-Za-z0-9.-]+", "_", plain)[:_LONGEST].strip("._-") or "record"
    return f"_{name}" if _RESERVED.match(name) else name


def numbered(stem: str, number: int) -> str:
    """The name of a document among several, without its suffix.

    >>> numbered("records", 7)
    'records-0007'
    """
    return f"{stem}-{number:04d}"


class Names:
    """Gives each identifier a name of its own, in the order in which they come; case does not tell names apart.

    >>> names = Names()
    >>> names.unique("0117"), names.unique("0117"), names.unique("a/b"), names.unique("A:B")
    ('0117', '0117-2', 'a_b', 'A_B-2')
    """

    def __init__(self) -> None:
        self._taken: set[str] = set()
        self._next: dict[str, int] = {}

    def unique(self, identifier: str) -> str:
        """A name that was not given before."""
        name = safe_name(identifier)
        while name.lower() in self._taken:
            stem = safe_name(identifier)
            number = self._next[stem.lower()] = self._next.get(stem.lower(), 1) + 1
            name = f"{stem}-{number}"
        self._taken.add(name.lower())
        return name

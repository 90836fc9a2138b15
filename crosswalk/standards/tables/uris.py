"""URIs from a base and identifiers: the rule, in one place.

The identifier is brought to Unicode NFC, spaces at its ends go and runs of spaces inside become one; every byte of its
UTF-8 form that is not unreserved in RFC 3986 is percent-encoded, a slash and a percent sign too. So a URI says its
identifier, is the same from run to run, and two identifiers share one only where they differ in spaces or in the
composition of accents. That is refused: two records would become one.
"""

from __future__ import annotations

import re
import unicodedata
from functools import cache
from urllib.parse import quote, unquote, urlsplit

from crosswalk.errors import CannotContinue

_FORBIDDEN = re.compile(r"[\x00-\x20<>\"{}|\\^`]")  # RFC 3987, and the IRIREF of Turtle and N-Triples


class SameAddress(CannotContinue):
    """Two records whose identifiers mint one URI; nothing was overwritten."""

    def __init__(self, first: str, second: str, key: str) -> None:
        self.identifiers = (first, second)
        problem = f'the identifiers "{first}" and "{second}" mint the same URI, which ends in {segment(key)}'
        super().__init__(f"RD01 {second}", problem, "make the identifiers differ in more than spaces or accents' form")


@cache
def base_of(base: str) -> str:
    """The base that URIs are minted below, with a slash at its end. Raises CannotContinue where it is no absolute URI.

    >>> base_of("https://archive.example.org/av")
    'https://archive.example.org/av/'
    """
    try:
        parts = urlsplit(base)
        sound = parts.scheme in ("http", "https") and parts.hostname and not parts.query and not _FORBIDDEN.search(base)
    except ValueError:
        sound = None
    if not sound or "#" in base:
        raise CannotContinue(f'RD02 "{base}"', "is no base for URIs", "give an absolute one, such as https://example.org/")
    return base if base.endswith("/") else base + "/"


def normal(identifier: str) -> str:
    """The form of an identifier that a URI is made of.

    >>> normal("  TDLN  0423 ")
    'TDLN 0423'
    """
    text = identifier if identifier.isascii() else unicodedata.normalize("NFC", identifier)
    return " ".join(text.split())


def segment(identifier: str) -> str:
    """One segment of a path.

    >>> segment("TDLN 0423/A%"), segment("Ærø")
    ('TDLN%200423%2FA%25', '%C3%86r%C3%B8')
    """
    if identifier.isascii() and identifier.isalnum():
        return identifier
    text = quote(normal(identifier), safe="", errors="strict")
    return text.replace(".", "%2E") if text in (".", "..") else text


def said(part: str) -> str:
    """The identifier that a segment says.

    >>> said("TDLN%200423%2FA%25")
    'TDLN 0423/A%'
    """
    return unquote(part)


class Minted:
    """Remembers which identifiers have their URI, so that no second one gets it. The only thing of a run that grows
    with the number of records: about a hundred bytes each."""

    def __init__(self) -> None:
        self._seen: dict[str, str] = {}

    def key(self, identifier: str) -> str:
        """The normal form of an identifier; raises SameAddress where another record has it."""
        key = identifier if identifier.isascii() and identifier.isalnum() else normal(identifier)
        if key in self._seen:
            raise SameAddress(self._seen[key], identifier, key)
        self._seen[key] = identifier
        return key

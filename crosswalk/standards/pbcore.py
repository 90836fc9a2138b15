"""PBCore 2.1, the standard that the record model follows: nothing is lost on the way."""

from __future__ import annotations

import re

from crosswalk.records import ROOTS
from crosswalk.standards.base import Standard
from crosswalk.standards.pbcore_read import collection_of, read, repair
from crosswalk.standards.pbcore_write import identifier_of, write, write_record

__all__ = ["STANDARD", "collection_of", "identifier_of", "repair", "write_record"]


# Possessive, or a file of nothing but instructions would be tried in every possible division.
_FIRST_TAG = re.compile(
    rb"(?:\xef\xbb\xbf|\xff\xfe|\xfe\xff)?(?:\s|(?><\?.*?\?>)|(?><!--.*?-->))*+<(?:[^\s<>/:]+:)?([^\s<>/:]+)", re.S
)
_NAMES = {name.lower().encode() for name in ROOTS}


def recognise(start: bytes, name: str) -> bool:
    """Whether the first tag of a file is one of PBCore's, of any edition: the reader says what it makes of it.

    >>> recognise(b'<pbcoreCollection xmlns="http://www.pbcore.org/PBCore/PBCoreNamespace.html">', "a.xml")
    True
    >>> recognise(b"<list><pbcoreCollection/></list>", "a.xml")
    False
    """
    first = _FIRST_TAG.match(start.replace(b"\0", b""))  # UTF-16
    return first is not None and first.group(1).lower() in _NAMES


STANDARD = Standard(
    name="pbcore",
    title="PBCore 2.1",
    suffix=".xml",
    media_type="application/xml",
    recognise=recognise,
    read=read,
    write=write,
    schema="pbcore-2.1.xsd",
    batches_apart=True,
)

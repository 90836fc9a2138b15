"""PBCore 2.1, the standard that the record model follows: nothing is lost on the way."""

from __future__ import annotations

from crosswalk.records import NAMESPACE, ROOTS
from crosswalk.standards.base import Standard
from crosswalk.standards.pbcore_read import collection_of, read, repair
from crosswalk.standards.pbcore_write import identifier_of, write, write_record

__all__ = ["STANDARD", "collection_of", "identifier_of", "repair", "write_record"]


def recognise(start: bytes, name: str) -> bool:
    """Whether a file begins as a PBCore document does.

    >>> recognise(b'<pbcoreCollection xmlns="http://www.pbcore.org/PBCore/PBCoreNamespace.html">', "a.xml")
    True
    """
    text = start.replace(b"\0", b"")  # UTF-16
    return NAMESPACE.encode() in text or any(root.encode() in text for root in ROOTS)


STANDARD = Standard(
    name="pbcore",
    title="PBCore 2.1",
    suffix=".xml",
    media_type="application/xml",
    recognise=recognise,
    read=read,
    write=write,
    schema="pbcore-2.1.xsd",
)

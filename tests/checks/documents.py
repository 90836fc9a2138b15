"""Documents for the tests of the checks: collections of a given size, whole and spoiled, and how to read records."""

from __future__ import annotations

from typing import cast

from lxml import etree

from crosswalk.checks.schema import NAMESPACE
from crosswalk.records import ROOTS, Record
from crosswalk.standards.pbcore_tree import Walk

RECORD = """<pbcoreDescriptionDocument>
  <pbcoreAssetType>Episode</pbcoreAssetType>
  <pbcoreIdentifier source="Merrow programme log">TDLN-{number:04}</pbcoreIdentifier>
  <pbcoreTitle titleType="Episode">The spring tide</pbcoreTitle>
  <pbcoreDescription>A walk over the flats.</pbcoreDescription>
  <pbcoreRightsSummary>
    <rightsSummary>ask the archive</rightsSummary>
  </pbcoreRightsSummary>
  <pbcoreInstantiation>
    <instantiationIdentifier source="Merrow shelf number">{number:04}</instantiationIdentifier>
    <instantiationDate dateType="created">1987-04-03</instantiationDate>
    <instantiationPhysical>U-matic</instantiationPhysical>
    <instantiationLocation>Vault A</instantiationLocation>
    <instantiationDuration>00:28:30</instantiationDuration>
  </pbcoreInstantiation>
</pbcoreDescriptionDocument>
"""
LINES = RECORD.count("\n")


def record(number: int = 1) -> str:
    """One valid record that no rule finds fault with."""
    return RECORD.format(number=number)


def collection(*records: str, attributes: str = "") -> bytes:
    """A collection; its first record starts on line 2."""
    opening = f'<pbcoreCollection xmlns="{NAMESPACE}"{attributes}>\n'
    return (opening + "".join(records) + "</pbcoreCollection>\n").encode()


def single(content: str) -> bytes:
    """A record as a document of its own."""
    opening = f'<pbcoreDescriptionDocument xmlns="{NAMESPACE}">'
    return content.replace("<pbcoreDescriptionDocument>", opening, 1).encode()


def to_record(element: etree._Element) -> Record | None:
    """The record that an element holds, by the package's own reader."""
    cls = ROOTS.get(str(element.tag).rpartition("}")[2])
    if cls is None:
        return None
    walk = Walk(element, "", "", lambda: [(1, 1)] * 10_000, namespace=NAMESPACE)
    return cast("Record", walk.read(element, cls))

"""The comparison can fail: each of these faults in one of our schemas is noticed."""

from __future__ import annotations

import shutil
from pathlib import Path

import pytest

from crosswalk.resources import schemas_dir
from tests.schemas.documents import groups
from tests.schemas.families import family
from tests.schemas.verdicts import ENGINES, RECORDED, differences, load

# name: family, document, what stands there, what is put instead
FAULTS = {
    "required-made-optional": (
        "pbcore", "pbcore-2.1.xsd",
        'name="instantiationLocation" type="pb:Text"/>',
        'name="instantiationLocation" type="pb:Text" minOccurs="0"/>',
    ),
    "repeatable-made-single": (
        "pbcore", "pbcore-2.1.xsd",
        'name="pbcoreGenre" type="pb:SpannedText" minOccurs="0" maxOccurs="unbounded"/>',
        'name="pbcoreGenre" type="pb:SpannedText" minOccurs="0"/>',
    ),
    "single-made-repeatable": (
        "pbcore", "pbcore-2.1.xsd",
        'name="instantiationColors" type="pb:Text" minOccurs="0"/>',
        'name="instantiationColors" type="pb:Text" minOccurs="0" maxOccurs="2"/>',
    ),
    "collection-may-be-empty": (
        "pbcore", "pbcore-2.1.xsd",
        'ref="pb:pbcoreDescriptionDocument" maxOccurs="unbounded"/>',
        'ref="pb:pbcoreDescriptionDocument" minOccurs="0" maxOccurs="unbounded"/>',
    ),
    "attribute-dropped": (
        "pbcore", "pbcore-2.1.xsd", '<xs:attribute name="affiliationRef" type="xs:string"/>', "",
    ),
    "attribute-added": (
        "pbcore", "pbcore-2.1.xsd",
        '<xs:attribute name="portrayal" type="xs:string"/>',
        '<xs:attribute name="portrayal" type="xs:string"/><xs:attribute name="unitsOfMeasure" type="xs:string"/>',
    ),
    "attribute-made-optional": (
        "pbcore", "pbcore-2.1.xsd", 'type="xs:string" use="required"', 'type="xs:string"',
    ),
    "attribute-corrected-against-the-standard": (
        "pbcore", "pbcore-2.1.xsd",
        '<xs:attributeGroup ref="pb:TitleKindNotes"/>\n        <xs:attributeGroup ref="pb:Span"/>',
        '<xs:attributeGroup ref="pb:Span"/>',
    ),
    "pattern-loosened": (
        "pbcore", "pbcore-2.1.xsd", '"[a-z]{3}(;[a-z]{3})*"', '"[a-z]{2,3}(;[a-z]{3})*"',
    ),
    "pattern-without-the-empty-text": (
        "pbcore", "pbcore-2.1.xsd", '<xs:pattern value=""/>', "",
    ),
    "pattern-with-a-blank": (
        "pbcore", "pbcore-2.1.xsd", '"[a-z]{3}(;[a-z]{3})*"', '"[a-z]{3}(; ?[a-z]{3})*"',
    ),
    "list-shortened": (
        "pbcore", "pbcore-2.1.xsd", '<xs:enumeration value="Spatial"/>', "",
    ),
    "list-extended": (
        "pbcore", "pbcore-2.1.xsd",
        '<xs:enumeration value="Spatial"/>',
        '<xs:enumeration value="Spatial"/><xs:enumeration value="spatial"/>',
    ),
    "order-changed": (
        "pbcore", "pbcore-2.1.xsd",
        '<xs:element name="pbcoreRelationType" type="pb:Text"/>\n      '
        '<xs:element name="pbcoreRelationIdentifier" type="pb:Text"/>',
        '<xs:element name="pbcoreRelationIdentifier" type="pb:Text"/>\n      '
        '<xs:element name="pbcoreRelationType" type="pb:Text"/>',
    ),
    "order-made-free": (
        "pbcore", "pbcore-2.1.xsd",
        '<xs:sequence>\n      <xs:element name="pbcoreRelationType" type="pb:Text"/>\n      '
        '<xs:element name="pbcoreRelationIdentifier" type="pb:Text"/>\n    </xs:sequence>',
        '<xs:all>\n      <xs:element name="pbcoreRelationType" type="pb:Text"/>\n      '
        '<xs:element name="pbcoreRelationIdentifier" type="pb:Text"/>\n    </xs:all>',
    ),
    "choice-made-repeatable": (
        "pbcore", "pbcore-2.1.xsd",
        '<xs:choice minOccurs="0">\n      <xs:element name="rightsSummary"',
        '<xs:choice minOccurs="0" maxOccurs="2">\n      <xs:element name="rightsSummary"',
    ),
    "choice-made-required": (
        "pbcore", "pbcore-2.1.xsd",
        '<xs:choice minOccurs="0">\n      <xs:element name="rightsSummary"',
        '<xs:choice>\n      <xs:element name="rightsSummary"',
    ),
    "element-forgotten": (
        "pbcore", "pbcore-2.1.xsd", '<xs:element name="essenceTrackFrameSize" type="pb:Measure" minOccurs="0"/>', "",
    ),
    "wildcard-not-validated": (
        "pbcore", "pbcore-2.1.xsd", 'processContents="lax"', 'processContents="skip"',
    ),
    "wildcard-narrowed": (
        "pbcore", "pbcore-2.1.xsd", 'namespace="##any"', 'namespace="##other"',
    ),
    "address-made-plain-text": (
        "pbcore", "pbcore-2.1.xsd", 'name="extensionAuthorityUsed" type="xs:anyURI"',
        'name="extensionAuthorityUsed" type="xs:token"',
    ),
    "recursion-cut": (
        "pbcore", "pbcore-2.1.xsd",
        '<xs:element name="instantiationPart" type="pb:Instantiation" minOccurs="0" maxOccurs="unbounded"/>', "",
    ),
    "simple-element-without-language": (
        "oai_dc", "dc-elements-1.1.xsd", '<xs:attribute ref="xml:lang"/>', "",
    ),
    "simple-record-must-hold-something": (
        "oai_dc", "oai_dc.xsd", '<xs:choice minOccurs="0"', "<xs:choice",
    ),
    "language-made-any-text": (
        "oai_dc", "xml.xsd", 'type="xs:language"', 'type="xs:string"',
    ),
    "scheme-keeps-its-language": (
        "dcterms", "dcterms.xsd", ' use="prohibited"', "",
    ),
    "scheme-without-years": (
        "dcterms", "dcterms.xsd", 'memberTypes="xs:gYear xs:gYearMonth', 'memberTypes="xs:gYearMonth',
    ),
    "scheme-forgotten": (
        "dcterms", "dcterms.xsd", '<xs:complexType name="ISO639-3">', '<xs:complexType name="ISO639-9">',
    ),
    "type-vocabulary-shortened": (
        "dcterms", "dcmitype.xsd", '<xs:enumeration value="Sound"/>', "",
    ),
    "term-stands-nowhere": (
        "dcterms", "dcterms.xsd", 'name="provenance" type="dc:SimpleLiteral" substitutionGroup="dc:any"',
        'name="provenance" type="dc:SimpleLiteral"',
    ),
    "datestamp-in-any-zone": (
        "oai-pmh", "oai-pmh-parts.xsd", '<xs:pattern value=".*Z"/>', "",
    ),
    "token-before-the-records": (
        "oai-pmh", "oai-pmh.xsd",
        '<xs:element name="record" type="oai:Record" maxOccurs="unbounded"/>\n      '
        '<xs:element name="resumptionToken" type="oai:Token" minOccurs="0"/>',
        '<xs:element name="resumptionToken" type="oai:Token" minOccurs="0"/>\n      '
        '<xs:element name="record" type="oai:Record" maxOccurs="unbounded"/>',
    ),
    "payload-of-any-kind": (
        "oai-pmh", "oai-pmh-parts.xsd", 'processContents="strict"', 'processContents="lax"',
    ),
    "error-code-forgotten": (
        "oai-pmh", "oai-pmh.xsd", '<xs:enumeration value="noSetHierarchy"/>', "",
    ),
    "static-repository-by-the-second": (
        "oai-static", "oai-pmh-static.xsd", '<xs:enumeration value="YYYY-MM-DD"/>',
        '<xs:enumeration value="YYYY-MM-DD"/><xs:enumeration value="YYYY-MM-DDThh:mm:ssZ"/>',
    ),
    "static-record-without-metadata": (
        "oai-static", "oai-pmh-static.xsd", 'name="metadata" type="oai:Payload"/>',
        'name="metadata" type="oai:Payload" minOccurs="0"/>',
    ),
    "static-list-without-prefix": (
        "oai-static", "oai-static-repository.xsd", ' use="required"', "",
    ),
}  # fmt: skip


@pytest.mark.parametrize(("key", "file", "old", "new"), [pytest.param(*row, id=name) for name, row in FAULTS.items()])
def test_a_fault_in_our_schema_is_seen(key: str, file: str, old: str, new: str, tmp_path: Path) -> None:
    sound = family(key)
    folder = shutil.copytree(schemas_dir(), tmp_path / "schemas")
    text = (folder / file).read_text(encoding="utf-8")
    assert old in text
    (folder / file).write_text(text.replace(old, new), encoding="utf-8")
    judge = ENGINES["libxml2"](folder / sound.ours.name)
    recorded = load(RECORDED / f"{key}.verdicts.gz")
    assert next(differences(groups(sound), recorded, "libxml2", judge), None)

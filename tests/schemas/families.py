"""The schemas that are compared, each with the published documents that it is held against."""

from __future__ import annotations

import json
import re
from dataclasses import dataclass
from pathlib import Path

from crosswalk.resources import schema_path
from tests.schemas.documents import Family, Names
from tests.schemas.tree import Node
from tests.schemas.verdicts import RECORDED

STANDARDS = Path(__file__).parents[3] / "shared" / "standards"
PB = "{http://www.pbcore.org/PBCore/PBCoreNamespace.html}"


@dataclass(frozen=True)
class Published:
    """The published files that a family needs, the one to enter by, and a driver where none of them has a root."""

    files: tuple[str, ...]
    entry: str
    driver: str = ""

    def laid_out(self, folder: Path) -> Path:
        """Copies of the published files that import each other from this folder; returns the entry.

        Their own locations are addresses on the web, which no test may reach for.
        """
        for name in self.files:
            text = (STANDARDS / name).read_text(encoding="utf-8")
            (folder / Path(name).name).write_text(_local(text), encoding="utf-8")
        if self.driver:
            (folder / self.entry).write_text(self.driver, encoding="utf-8")
        return folder / self.entry


def _local(text: str) -> str:
    return re.sub(r'schemaLocation="(?:[^"]*/)?([^"/]+)"', r'schemaLocation="\1"', text)


def names(key: str) -> Names:
    """The names of elements and attributes that the published schema declares, as recorded."""
    path = RECORDED / f"{key}.names.json"
    found = json.loads(path.read_text(encoding="utf-8")) if path.exists() else {}
    return Names(**{kind: tuple(each) for kind, each in found.items()})


def driver(*imports: tuple[str, str], body: str = "", target: str = "") -> str:
    """A schema document that only brings others together."""
    lines = [f'<xs:import namespace="{namespace}" schemaLocation="{file}"/>' for namespace, file in imports]
    space = f' targetNamespace="{target}" xmlns:rec="{target}" elementFormDefault="qualified"' if target else ""
    return "\n".join(
        (
            f'<xs:schema xmlns:xs="http://www.w3.org/2001/XMLSchema" xmlns:t="{TERMS}"{space}>',
            *lines,
            body,
            "</xs:schema>",
        )
    )


OAI = "http://www.openarchives.org/OAI/2.0/"
TERMS = "http://purl.org/dc/terms/"
RECORD = "urn:x-crosswalk:dcterms-record"
_PAYLOADS = ((OAI + "oai_dc/", "oai_dc.xsd"), (PB[1:-1], "pbcore-2.1.xsd"))
_OAI_DC = ("oai/oai_dc.xsd", "dc/simpledc20021212.xsd", "dc/xml.xsd")
_TERMS = ("dc/dcterms.xsd", "dc/dc.xsd", "dc/dcmitype.xsd", "dc/xml.xsd")
# The published terms have no root; this is the one of schemas/dcterms-record.xsd, around the published terms.
_RECORD = """<xs:element name="record" type="t:elementOrRefinementContainer"/>
<xs:element name="records"><xs:complexType><xs:sequence><xs:element ref="rec:record" maxOccurs="unbounded"/>
</xs:sequence></xs:complexType></xs:element>"""

PUBLISHED = {
    "pbcore": Published(("pbcore-2.1.xsd",), "pbcore-2.1.xsd"),
    "oai_dc": Published(_OAI_DC, "oai_dc.xsd"),
    "dcterms": Published(_TERMS, "driver.xsd", driver((TERMS, "dcterms.xsd"), body=_RECORD, target=RECORD)),
    "oai-pmh": Published(
        ("oai/OAI-PMH.xsd", *_OAI_DC, "pbcore-2.1.xsd"), "driver.xsd", driver((OAI, "OAI-PMH.xsd"), *_PAYLOADS)
    ),
    "oai-static": Published(
        (
            "oai/static-repository.xsd",
            "oai/OAI-PMH-static-repository.xsd",
            "oai/OAI-PMH.xsd",
            *_OAI_DC,
            "pbcore-2.1.xsd",
        ),
        "driver.xsd",
        driver((OAI + "static-repository", "static-repository.xsd"), *_PAYLOADS),
    ),
}


def family(key: str) -> Family:
    """The family of that key, with the recorded names."""
    return _MAKERS[key]()


def _pbcore() -> Family:
    roots = (("pbcoreDescriptionDocument", 3), ("pbcoreInstantiationDocument", 3), ("pbcoreCollection", 0))
    tags = tuple((PB + name, depth) for name, depth in roots)
    return Family("pbcore", schema_path("pbcore-2.1.xsd"), tags, _EMBEDDED, names=names("pbcore"))


# Inside a wildcard a PBCore root is validated, its declaration being at hand: this one passes, the empty one does not.
_CARRIER = (
    Node(PB + "instantiationIdentifier", (("source", "Merrow shelf number"),), ("0117",)),
    Node(PB + "instantiationLocation", (), ("Vault 2",)),
)
_EMBEDDED = (
    Node(PB + "pbcoreInstantiationDocument", (), _CARRIER),
    Node(PB + "pbcoreInstantiationDocument"),
)


def _oai_dc() -> Family:
    return Family("oai_dc", schema_path("oai_dc.xsd"), ((f"{{{OAI}oai_dc/}}dc", 0),), names=names("oai_dc"))


def _dcterms() -> Family:
    tags = ((f"{{{RECORD}}}record", 0), (f"{{{RECORD}}}records", 0))
    return Family("dcterms", schema_path("dcterms-record.xsd"), tags, types=SCHEMES, names=names("dcterms"))


# What stands where the protocol asks for an element that some schema declares.
_DC_TITLE = Node("{http://purl.org/dc/elements/1.1/}title", (), ("Salt marsh in winter",))
_PAYLOAD = (Node(f"{{{OAI}oai_dc/}}dc", (), (_DC_TITLE,)), _DC_TITLE)


def _oai_pmh() -> Family:
    return Family("oai-pmh", schema_path("oai-pmh.xsd"), ((f"{{{OAI}}}OAI-PMH", 0),), _PAYLOAD, names=names("oai-pmh"))


def _oai_static() -> Family:
    tag = f"{{{OAI}static-repository}}Repository"
    return Family(
        "oai-static", schema_path("oai-static-repository.xsd"), ((tag, 0),), _PAYLOAD, names=names("oai-static")
    )


SCHEMES = tuple(
    f"dcterms:{name}"
    for name in (
        "W3CDTF", "DCMIType", "URI", "RFC1766", "RFC3066", "RFC4646", "LCSH", "MESH", "DDC", "LCC", "UDC", "Period",
        "IMT", "ISO639-2", "ISO639-3", "Point", "ISO3166", "Box", "TGN", "Unheard", "elementOrRefinementContainer",
    )
)  # fmt: skip

_MAKERS = {"pbcore": _pbcore, "oai_dc": _oai_dc, "dcterms": _dcterms, "oai-pmh": _oai_pmh, "oai-static": _oai_static}
KEYS = tuple(_MAKERS)

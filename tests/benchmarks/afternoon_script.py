"""What a capable person would write in an afternoon: pandas to dictionaries, lxml trees, one validation a record.

Run as `afternoon_script.py ROWS.csv OUT SCHEMA libxml2|xmlschema`. It keeps no evidence, no ledger, and reads values by
the simplest means; it is there to be measured against.
"""

from __future__ import annotations

import datetime
import sys
from pathlib import Path
from typing import Any

import pandas
from lxml import etree

NAMES: Any = {None: "http://www.pbcore.org/PBCore/PBCoreNamespace.html"}
PB = "{http://www.pbcore.org/PBCore/PBCoreNamespace.html}"
ASSET = [
    ("Level", "pbcoreAssetType", {}), ("First TX", "pbcoreAssetDate", {"dateType": "broadcast"}),
    ("Recorded", "pbcoreAssetDate", {"dateType": "created"}),
    ("Asset ID", "pbcoreIdentifier", {"source": "Merrow programme log"}),
    ("Series", "pbcoreTitle", {"titleType": "Series"}), ("Title", "pbcoreTitle", {"titleType": "Episode"}),
    ("Subjects", "pbcoreSubject", {}), ("Description", "pbcoreDescription", {}), ("Genre", "pbcoreGenre", {}),
]  # fmt: skip
CARRIER = [
    ("Tape No.", "instantiationIdentifier", {"source": "Merrow shelf number"}),
    ("Barcode", "instantiationIdentifier", {"source": "Merrow barcode"}),
    ("Tape date", "instantiationDate", {"dateType": "created"}), ("Reel size", "instantiationDimensions", {}),
    ("Format", "instantiationPhysical", {}), ("Standard", "instantiationStandard", {}),
    ("Store", "instantiationLocation", {}), ("Generation", "instantiationGenerations", {}),
    ("Length", "instantiationDuration", {}), ("Colour", "instantiationColors", {}),
    ("Tracks", "instantiationTracks", {}), ("Channels", "instantiationChannelConfiguration", {}),
    ("Language", "instantiationLanguage", {}), ("Captions", "instantiationAlternativeModes", {}),
]  # fmt: skip


def main() -> None:
    """Reads the rows, writes collections of 500, validates each record."""
    rows, out, schema, engine = sys.argv[1:5]
    records = pandas.read_csv(rows, dtype=str, keep_default_na=False).to_dict("records")
    groups: dict[str, list[dict[Any, str]]] = {}
    for row in records:
        groups.setdefault(row["Asset ID"], []).append(row)
    validate = _validator(schema, engine)
    batch: list[etree._Element] = []
    for number, group in enumerate(groups.values()):
        record = _record(group)
        validate(record)
        batch.append(record)
        if len(batch) == 500 or number == len(groups) - 1:
            root = etree.Element(f"{PB}pbcoreCollection", nsmap=NAMES)
            root.extend(batch)
            content = etree.tostring(root, pretty_print=True, xml_declaration=True, encoding="UTF-8")
            Path(out, f"records-{number:06d}.xml").write_bytes(content)
            batch = []


def _validator(schema: str, engine: str) -> Any:
    if engine == "libxml2":
        return etree.XMLSchema(etree.parse(schema)).assertValid
    import xmlschema

    return xmlschema.XMLSchema(schema).validate


def _date(text: str) -> str:
    try:
        return datetime.datetime.strptime(text, "%d.%m.%Y").date().isoformat()
    except ValueError:
        return text


def _add(parent: etree._Element, name: str, text: str, attributes: dict[str, str]) -> None:
    for piece in text.split("; ") if name == "pbcoreSubject" else [text]:
        if piece:
            etree.SubElement(parent, PB + name, attributes).text = _date(piece) if name.endswith("Date") else piece


def _record(group: list[dict[Any, str]]) -> etree._Element:
    row = group[0]
    record = etree.Element(f"{PB}pbcoreDescriptionDocument", nsmap=NAMES)
    for heading, name, attributes in ASSET:
        _add(record, name, row[heading], attributes)
    relation = etree.SubElement(record, f"{PB}pbcoreRelation")
    _add(relation, "pbcoreRelationType", "Is Part Of", {})
    _add(relation, "pbcoreRelationIdentifier", row["Part of"], {})
    for heading, kind in (("Place", "Spatial"), ("Period", "Temporal")):
        coverage = etree.SubElement(record, f"{PB}pbcoreCoverage")
        _add(coverage, "coverage", row[heading], {})
        _add(coverage, "coverageType", kind, {})
    _add(record, "pbcoreAudienceLevel", row["Audience"], {})
    for heading, name, role in (
        ("Creator", "creator", "Producer"), ("Contributor 1", "contributor", row["Role 1"]),
        ("Contributor 2", "contributor", row["Role 2"]), ("Publisher", "publisher", "Publisher"),
    ):  # fmt: skip
        agent = etree.SubElement(record, f"{PB}pbcore{name.capitalize()}")
        _add(agent, name, row[heading], {})
        _add(agent, name + "Role", role, {})
    _add(etree.SubElement(record, f"{PB}pbcoreRightsSummary"), "rightsSummary", row["Rights"], {})
    for copy in group:
        _carrier(record, copy)
    _add(record, "pbcoreAnnotation", row["Asset note"], {})
    return record


def _carrier(record: etree._Element, row: dict[Any, str]) -> None:
    copy = etree.SubElement(record, f"{PB}pbcoreInstantiation")
    for heading, name, attributes in CARRIER:
        _add(copy, name, row[heading], attributes)
    track = etree.SubElement(copy, f"{PB}instantiationEssenceTrack")
    _add(track, "essenceTrackType", row["Track type"], {})
    _add(track, "essenceTrackAspectRatio", row["Aspect"], {})
    _add(copy, "instantiationAnnotation", row["Shelf note"], {"annotationType": "Shelf note"})


if __name__ == "__main__":
    main()

"""The main job on the sample, against the right answer that the generator wrote without the package."""

from __future__ import annotations

import csv
import re
from collections import Counter
from pathlib import Path
from typing import Any

import openpyxl
import pytest
from lxml import etree

from crosswalk.records import Asset, Instantiation
from crosswalk.values.durations import duration_ms
from tests.pipeline.merrow import HOME, Delivered

# Cells that the run may refuse although a person can tell what was meant. The list only shrinks.
DOUBTFUL = {
    "Video 2000s!H16": "3/02: March 2002, or 3 February?",
    "Video 2000s!H28": "1/01: January 2001, or 1 January?",
    "Video 2000s!H32": "6/04: June 2004, or 6 April?",
    "Video 2000s!H36": "2/04: February 2004, or 2 April?",
    "Video 2000s!H44": "9/04: September 2004, or 9 April?",
    "Video 2000s!H75": "5/12: May 2012, or 5 December?",
    "radio-ferry-hour.csv:83:8": "11/04: November 2004, or 11 April?",
    "radio-ferry-hour.csv:91:8": "7/12: July 2012, or 7 December?",
}
FOUND_BY = {  # kind of trouble -> codes, one of which must stand at the cell
    "ambiguous format": {"CA02"},
    "analogue and digital": {"RC20"},
    "broken text": {"TX03"},
    "control character": {"TX02"},
    "date before the format": {"RC30"},
    "error cell": {"SH13"},
    "formula without a stored value": {"SH14"},
    "impossible date": {"DT02"},
    "impossible length": {"DU02"},
    "longer than the carrier holds": {"DU13"},
    "merged cells": {"SH16"},
    "relation to nowhere": {"RL01"},
}
OF_THE_MANIFEST = {  # for the matching of files, which is another job
    "checksum of the wrong length", "file for an unknown tape", "file listed twice", "file shorter than the tape",
    "missing access file",
}  # fmt: skip
PRIVATE = {"Location", "Notes", "Remarks", "Store", "Rights note"}
FRAMES_MS = 67
PROSE = PRIVATE | {"Title", "Programme Title", "Title on box", "Description", "Asset ID", "Old cat. no."}
SHORT = 5  # shorter texts occur by chance


def troubles(merrow: Delivered, *kinds: str) -> list[str]:
    return [one["where"] for one in merrow.expected["troubles"] if one["kind"] in kinds]


def test_every_open_asset_and_no_other_is_in_the_public_output(merrow: Delivered) -> None:
    refused = not_taken(merrow)
    assert set(merrow.public) == set(merrow.expected_assets("open")) - refused
    assert set(merrow.house) == set(merrow.expected["assets"])
    assert {one.record for one in merrow.outcome.held} == set(merrow.expected_assets("held")) | refused


def not_taken(merrow: Delivered) -> set[str]:
    """Open assets that the receiving party's profile refuses: programmes of which no carrier is left."""
    open_ones = merrow.expected_assets("open").items()
    return {key for key, asset in open_ones if asset["level"] != "series" and not asset["carriers"]}


def test_no_relation_of_the_public_output_points_out_of_it(merrow: Delivered) -> None:
    pointing = {relation for asset in merrow.public.values() for relation in relations(asset)}
    assert pointing
    assert pointing <= set(merrow.public)


def test_the_profile_refuses_some_record_of_the_sample(merrow: Delivered) -> None:
    assert not_taken(merrow)


def test_open_assets_say_what_the_log_says(merrow: Delivered) -> None:
    wrong: dict[tuple[str, str], tuple[object, object]] = {}
    for key, expected in merrow.expected_assets("open").items():
        if key in not_taken(merrow):
            continue
        found = {name: (expected_value, value) for name, expected_value, value in facts(merrow, key, expected)}
        wrong |= {(key, name): pair for name, pair in found.items() if pair[0] != pair[1]}
    assert not wrong


def facts(merrow: Delivered, key: str, expected: dict[str, Any]) -> list[tuple[str, object, object]]:
    asset = merrow.public[key]
    part_of = expected["part_of"]
    is_open = merrow.expected["assets"].get(part_of, {}).get("gate") == "open" and part_of not in not_taken(merrow)
    dates = [(date.text, date.date_type) for date in asset.dates]
    return [
        ("titles", [expected["title"]], [title.text for title in asset.titles]),
        ("type", [expected["asset_type"]], [kind.text for kind in asset.asset_types]),
        ("dates", [(expected["date"], expected["date_type"])] if expected["date"] else [], dates),
        ("part of", [part_of] if is_open else [], relations(asset)),
        ("subjects", expected["subjects"], [subject.text for subject in asset.subjects]),
        ("people", people(expected), credited(asset)),
    ]


def relations(asset: Asset) -> list[str]:
    return [relation.identifier.text for relation in asset.relations if relation.identifier]


def people(expected: dict[str, Any]) -> list[tuple[str, str]]:
    return [(f"{one['surname']}, {one['given']}", one["role"]) for one in expected["contributors"]]


def credited(asset: Asset) -> list[tuple[str, str]]:
    return [(one.contributor.text, one.roles[0].text) for one in asset.contributors if one.contributor]


def test_relations_of_the_house_are_whole(merrow: Delivered) -> None:
    for key, expected in merrow.expected["assets"].items():
        assert relations(merrow.house[key]) == ([expected["part_of"]] if expected["part_of"] else []), key


@pytest.mark.parametrize("audience", ["public", "house"])
def test_carriers_say_what_the_shelf_says(merrow: Delivered, audience: str) -> None:
    assets: dict[str, Asset] = getattr(merrow, audience)
    wrong, refused = {}, set()
    for expected in merrow.expected["carriers"]:
        if expected["asset"] in assets:
            carrier = carrier_of(assets[expected["asset"]], expected["number"])
            for name, wanted, found in of_carrier(expected, carrier):
                if wanted != found and found is None:
                    refused.add((expected["sheet"], expected["row"], name))
                elif wanted != found:
                    wrong[expected["sheet"], expected["row"], name] = (wanted, found)
    assert not wrong
    rows = {address_row(cell) for cell in DOUBTFUL}
    assert {(sheet, row) for sheet, row, _ in refused} <= rows
    assert all(name == "date" for _, _, name in refused)


def carrier_of(asset: Asset, number: str) -> Instantiation:
    found = [one for one in asset.instantiations if any(named.text == number for named in one.identifiers)]
    assert len(found) == 1, (number, len(found))
    return found[0]


def of_carrier(expected: dict[str, Any], carrier: Instantiation) -> list[tuple[str, object, object]]:
    length = duration_ms(carrier.duration.text, "29.97df") if carrier.duration else None
    physical = carrier.physical.text if carrier.physical else None
    general = physical if physical == expected["physical"] else (physical or "").partition(":")[0] or None
    notes = [note.text for note in carrier.annotations]
    facts: list[tuple[str, object, object]] = [
        ("physical", expected["physical"], general),
        ("detail", True, expected["detail"].casefold() in everything(carrier).casefold()),
        ("generation", expected["generation"], carrier.generations[0].text if carrier.generations else None),
        ("length", expected["duration_ms"], nearly(length, expected["duration_ms"])),
        ("date", expected["date"], carrier.dates[0].text if carrier.dates else None),
    ]
    if "." not in expected["sheet"]:  # a delimited file has no colours; the laboratory's manifest says it there
        facts.append(("digitised", expected["digitised"], "digitised" in notes))
        facts.append(("gone", expected["gone"], "discarded" in notes))
    return facts


def nearly(length: int | None, expected: int | None) -> int | None:
    """A length in drop-frame counts is two frames off at most where its whole seconds are taken as they stand."""
    return expected if length is not None and expected is not None and abs(length - expected) < FRAMES_MS else length


def everything(carrier: Instantiation) -> str:
    return " ".join(one.text for one in (*carrier.annotations, *([carrier.physical] if carrier.physical else [])))


def address_row(cell: str) -> tuple[str, int]:
    match = re.fullmatch(r"(.+?)[!:][A-Z]*(\d+)(?::\d+)?", cell)
    assert match
    return match[1], int(match[2])


def test_what_was_refused_is_a_trouble_or_a_doubt_that_is_listed(merrow: Delivered) -> None:
    known = {*DOUBTFUL, *troubles(merrow, *FOUND_BY)}
    refused = {cell for cell, row in merrow.ledger.items() if row["account"] == "refused" and row["code"] != "MP01"}
    assert refused - known == set()
    assert all(merrow.ledger[cell]["code"] in merrow.found_at[cell] for cell in refused)


@pytest.mark.parametrize("kind", sorted(FOUND_BY))
def test_troubles_are_found_at_their_cells(merrow: Delivered, kind: str) -> None:
    cells = troubles(merrow, kind)
    assert cells
    for cell in cells:
        assert merrow.found_at.get(cell, set()) & FOUND_BY[kind], (cell, merrow.found_at.get(cell))


def test_the_number_that_two_tapes_bear_is_found(merrow: Delivered) -> None:
    first, second = troubles(merrow, "same number twice")
    told = [one for one in merrow.outcome.findings if one.code == "RC11" and one.origin.cell in (first, second)]
    assert any(first in str(one) and second in str(one) for one in told)


def test_hidden_rows_and_columns_are_found(merrow: Delivered) -> None:
    told = [one.message for one in merrow.outcome.findings if one.code == "SH12"]
    for cell in troubles(merrow, "hidden row"):
        sheet, row = address_row(cell)
        assert any(f'"{sheet}"' in message and re.search(rf"rows were read:.*\b{row}\b", message) for message in told)
    assert any("columns were read: B" in message for message in told)


def test_the_column_that_nobody_can_explain_is_found_and_refused(merrow: Delivered) -> None:
    (heading,) = troubles(merrow, "unexplained column")
    column = heading.rstrip("0123456789")
    assert any("MP01" in codes for cell, codes in merrow.found_at.items() if cell.startswith(column))
    accounts = Counter(row["code"] for cell, row in merrow.ledger.items() if re.fullmatch(rf"{column}\d+", cell))
    assert set(accounts) == {"MP01", ""} and accounts[""] == 1  # the heading itself is set aside as such


def test_notes_stay_with_their_carriers_in_the_house(merrow: Delivered) -> None:
    notes = {note.text for asset in merrow.house.values() for one in asset.instantiations for note in one.annotations}
    expected = [one["find"] for one in merrow.expected["troubles"] if one["kind"] == "cell note"]
    assert expected and not [note for note in expected if note not in notes]


def test_stray_spaces_are_gone_from_the_value(merrow: Delivered) -> None:
    (cell,) = troubles(merrow, "stray spaces")
    sheet, address = cell.split("!")
    written = openpyxl.load_workbook(HOME / "tape-library.xlsx")[sheet][address].value
    clean = " ".join(str(written).split())
    notes = {note.text for asset in merrow.house.values() for one in asset.instantiations for note in one.annotations}
    assert written != clean and clean in notes and written not in notes


def test_no_kind_of_trouble_is_forgotten(merrow: Delivered) -> None:
    elsewhere = {"same number twice", "hidden row", "hidden column", "unexplained column", "cell note", "stray spaces"}
    privacy = {"telephone number", "home address"}
    kinds = {one["kind"] for one in merrow.expected["troubles"]}
    assert kinds == set(FOUND_BY) | OF_THE_MANIFEST | elsewhere | privacy


def test_the_cells_of_each_sheet_are_all_in_the_ledger(merrow: Delivered) -> None:
    counted = Counter(re.split(r"[!:]", cell)[0] for cell in merrow.ledger)
    unread = {"Key", "kestrel-manifest.csv"}  # a page for people; and the files, which are another job
    expected = {
        name: sum(sheet["cells"].values()) + len(sheet["formulas_without_value"])
        for name, sheet in merrow.expected["sheets"].items()
        if name not in unread
    }
    assert dict(counted) == expected
    assert merrow.outcome.cells_read == sum(expected.values()) == sum(merrow.outcome.sums.values())


def rows_of_the_sheets() -> dict[tuple[str, int], dict[str, str]]:
    """Every filled text cell by heading, for each row of the workbook and of the radio file."""
    found: dict[tuple[str, int], dict[str, str]] = {}
    for sheet in openpyxl.load_workbook(HOME / "tape-library.xlsx"):
        for row in sheet.iter_rows():
            texts = {cell.coordinate: cell.value for cell in row if isinstance(cell.value, str)}
            found[sheet.title, row[0].row or 0] = texts
    with (HOME / "radio-ferry-hour.csv").open(encoding="cp1252", newline="") as file:
        for number, line in enumerate(csv.reader(file, delimiter=";"), 1):
            found["radio-ferry-hour.csv", number] = {str(i): text for i, text in enumerate(line, 1) if text}
    return found


def texts_by_gate(merrow: Delivered) -> tuple[set[str], set[str]]:
    """All texts of the sheets that may go out, and the words of the house that may not."""
    gates = {(one["sheet"], one["row"]): one["asset"] for one in merrow.expected["carriers"]}
    free, barred = set(), set()
    for (sheet, row), cells in rows_of_the_sheets().items():
        asset = gates.get((sheet, row)) or (cells.get(f"A{row}", "") if sheet == "Programmes" else "")
        gate = merrow.expected["assets"].get(asset, {}).get("gate")
        for name, text in cells.items():
            cell = name if "." in sheet else f"{sheet}!{name}"
            heading = merrow.ledger[f"{sheet}:{row}:{name}" if "." in sheet else cell]["heading"]
            if gate == "open" and heading not in PRIVATE:
                free.add(text.strip())
            elif gate is not None and heading in PROSE:
                barred.add(text.strip())
    return free, barred


def public_bytes(merrow: Delivered) -> bytes:
    files = [path for path in (merrow.out / "public").rglob("*") if path.is_file()]
    assert files
    return b"\n".join(str(path.relative_to(merrow.out)).encode() + path.read_bytes() for path in files)


def said_in(folder: Path) -> str:
    parts = []
    for path in sorted(folder.rglob("*.xml")):
        for element in etree.parse(path).iter():
            parts += [element.text or "", *map(str, element.attrib.values())]
    return "\n".join(parts)


def test_held_stays_held(merrow: Delivered) -> None:
    free, barred = texts_by_gate(merrow)
    may_go = "\n".join(free)
    secret = {text for text in barred if len(text) >= SHORT and text not in may_go}
    assert len(secret) > 200
    raw, told = public_bytes(merrow), said_in(merrow.out / "public")
    assert not [text for text in secret if text.encode() in raw or " ".join(text.split()) in told]


def test_no_identifier_or_title_of_a_held_asset_goes_out(merrow: Delivered) -> None:
    told = said_in(merrow.out / "public").split("\n")
    tapes = [tape for asset in merrow.public.values() for tape in asset.instantiations]
    numbers = {identifier.text for tape in tapes for identifier in tape.identifiers}
    twice = {number for asset in merrow.expected_assets("open").values() for number in asset["carriers"]}
    for key, asset in merrow.expected_assets("held").items():
        assert not any(re.search(rf"\b{key}\b(?!-)", text) for text in told), key
        assert asset["title"] not in told or asset["title"] in open_titles(merrow), key
        assert not numbers.intersection(asset["carriers"]) - twice


def open_titles(merrow: Delivered) -> set[str]:
    return {asset["title"] for asset in merrow.expected_assets("open").values()}


def test_private_matters_stay_in_the_house(merrow: Delivered) -> None:
    private = re.compile(rb"555-01\d\d")
    assert not private.search(public_bytes(merrow))
    house = b"".join(path.read_bytes() for path in (merrow.out / "house").rglob("*.xml"))
    assert private.search(house)
    for cell in troubles(merrow, "telephone number", "home address"):
        assert merrow.ledger[cell]["account"] == "kept back"


def test_the_house_has_what_is_held(merrow: Delivered) -> None:
    told = said_in(merrow.out / "house")
    for key, asset in merrow.expected_assets("held").items():
        assert key in told and asset["title"] in told


def test_two_runs_give_the_same_bytes(merrow: Delivered, tmp_path: Path) -> None:
    again = Delivered(tmp_path / "again")
    first = {path.relative_to(merrow.out): path.read_bytes() for path in merrow.out.rglob("*") if path.is_file()}
    second = {path.relative_to(again.out): path.read_bytes() for path in again.out.rglob("*") if path.is_file()}
    assert first == second

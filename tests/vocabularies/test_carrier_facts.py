"""Facts of carriers, put together: facts of the trade, with the number of the standard where one was published."""

from __future__ import annotations

import pytest

from crosswalk.vocabularies import carrier_facts, load


@pytest.mark.parametrize(
    "name, expected",
    [
        ("Betacam: SP", {"signal": "analogue", "body": "cassette", "standards": "IEC 60961"}),
        ("Digital Betacam", {"signal": "digital", "standards": "IEC 61904", "capacity_ms": 124 * 60_000}),
        ("HDCAM", {"signal": "digital", "standards": "SMPTE ST 367, IEC 62356-1"}),
        ("Optical video disc: XDCAM", {"signal": "digital", "body": "disc", "rda_carrier": "videodisc"}),
        ("1 inch videotape: Type C", {"width_mm": 25.4, "body": "reel", "rda_carrier": "videotape reel"}),
        ("Wire recording", {"kind": "audio", "rda_carrier": "audio wire reel"}),
        ("DAT", {"first_year": 1987, "width_mm": 3.81, "standards": "IEC 61119-1", "rda_media": "audio"}),
        ("16mm film", {"width_mm": 16.0, "rda_media": "projected", "rda_carrier": "film reel"}),
        ("VHS: EP mode", {"kind": "video", "first_year": 1976}),
    ],
)
def test_facts(name: str, expected: dict[str, object]) -> None:
    facts = carrier_facts(name)
    assert facts is not None
    assert {key: getattr(facts, key) for key in expected} == expected


def test_every_carrier_has_rda_types_with_addresses() -> None:
    for entry in load("carriers").term:
        facts = carrier_facts(entry.name)
        assert facts is not None
        assert facts.rda_carrier_uri.startswith("http://id.loc.gov/vocabulary/carriers/")
        assert facts.rda_media_uri.startswith("http://id.loc.gov/vocabulary/mediaTypes/")


def test_no_carrier_no_facts() -> None:
    assert carrier_facts("blue box") is None

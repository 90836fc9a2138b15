"""An outside check: the PBCore that pymediainfo's bundled library prints for a real media file, made by no one here."""

from __future__ import annotations

import wave

import pytest
from lxml import etree

from crosswalk.checks.run import Plan, Validator
from crosswalk.checks.schema import NAMESPACE, SchemaCheck
from crosswalk.findings import Severity
from tests.checks.documents import to_record

pymediainfo = pytest.importorskip("pymediainfo")


@pytest.fixture(scope="module")
def printed(tmp_path_factory: pytest.TempPathFactory) -> bytes:
    """What the library prints of two seconds of silence in a WAV file."""
    path = tmp_path_factory.mktemp("media") / "silence.wav"
    with wave.open(str(path), "wb") as out:
        out.setnchannels(2)
        out.setsampwidth(2)
        out.setframerate(48_000)
        out.writeframes(bytes(2 * 2 * 96_000))
    if not pymediainfo.MediaInfo.can_parse():
        pytest.skip("the library of pymediainfo cannot be loaded here")
    text = pymediainfo.MediaInfo.parse(path, output="PBCore_2.0")
    return str(text).encode()


def test_it_is_of_the_standard(printed: bytes) -> None:
    assert etree.fromstring(printed).tag == f"{{{NAMESPACE}}}pbcoreInstantiationDocument"


def test_the_schema_accepts_it(printed: bytes) -> None:
    found = SchemaCheck().content(printed, "silence.xml")
    assert [str(one) for one in found if one.severity is Severity.ERROR] == []


def test_the_rules_accept_it(printed: bytes) -> None:
    validator = Validator(Plan(layers=("schema", "rules")))
    found = list(validator.stream([printed], "silence.xml", to_record))
    assert [str(one) for one in found if one.severity is Severity.ERROR] == []
    assert (validator.records, validator.carriers) == (1, 1)

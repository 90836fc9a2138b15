"""File formats and encodings."""

from __future__ import annotations

import pytest

from crosswalk.values.files import read_encoding, read_file_format
from crosswalk.values.reading import NO_CONTEXT


@pytest.mark.parametrize(
    "text, value, encoding",
    [
        ("video/quicktime", "video/quicktime", ""),
        ("mov", "video/quicktime", ""),
        (".MOV", "video/quicktime", ""),
        ("QuickTime movie", "video/quicktime", ""),
        ("MOV file, ProRes 422 HQ", "video/quicktime", "Apple ProRes 422 HQ"),
        ("MXF OP1a, JPEG 2000", "application/mxf", "JPEG 2000"),
        ("Matroska / FFV1", "video/matroska", "FFV1"),
        ("MP4 (H.264)", "video/mp4", "H.264"),
        ("MPEG-2 file", "video/mpeg", ""),
        ("BWF", "audio/vnd.wave", ""),
        ("wav, 96 kHz 24 bit", "audio/vnd.wave", ""),
        ("mp3", "audio/mpeg", ""),
        ("tdln_0423_pres.mkv", "video/matroska", ""),
        ("Ferry Hour 12.wav", "audio/vnd.wave", ""),
    ],
)
def test_media_types(text: str, value: str, encoding: str) -> None:
    """IANA media types."""
    reading = read_file_format(text, NO_CONTEXT)
    assert (reading.value, reading.settled) == (value, True)
    assert dict(reading.also).get("encoding", "") == encoding
    assert dict(reading.also)["container"]


@pytest.mark.parametrize("text, code", [("VHS", "VO01"), ("", "VO03"), ("mov or mp4", "VO02"), ("x" * 500, "VO03")])
def test_doubtful_formats(text: str, code: str) -> None:
    assert [doubt.code for doubt in read_file_format(text, NO_CONTEXT).doubts] == [code]


@pytest.mark.parametrize(
    "text, value",
    [
        ("H.264", "H.264"),
        ("avc1", "H.264"),
        ("ProRes 422 (HQ)", "Apple ProRes 422 HQ"),
        ("10-bit uncompressed", "v210"),
        ("LPCM 48 kHz 24 bit", "PCM"),
        ("Dolby Digital", "AC-3"),
        ("MPEG-2", "MPEG-2 Video"),
    ],
)
def test_encodings(text: str, value: str) -> None:
    reading = read_encoding(text, NO_CONTEXT)
    assert (reading.value, reading.settled) == (value, True)


@pytest.mark.parametrize("text, code", [("blue", "VO01"), ("", "VO03"), ("H.264 / AAC", "VO02")])
def test_doubtful_encodings(text: str, code: str) -> None:
    assert [doubt.code for doubt in read_encoding(text, NO_CONTEXT).doubts] == [code]

"""Forms: how a value is written in another standard, and what a reader makes of it. A table names them."""

from __future__ import annotations

import re
from collections.abc import Callable, Mapping
from functools import lru_cache
from typing import Any, TypeAlias

import msgspec

from crosswalk.records import Asset
from crosswalk.values.dates import is_edtf, to_w3cdtf
from crosswalk.values.language_words import iso_639_2
from crosswalk.vocabularies import load

Written: TypeAlias = tuple[tuple[str, str], ...]  # texts, each with its kind: "", "w3cdtf", "uri", "language", ...
Fields: TypeAlias = dict[str, str]

REMEMBERED = 8192  # forms of texts that come again and again; as many as this, so that memory stays flat

_URI = re.compile(r"(?:https?|ftp)://[^\s<>\"{}|\\^`]+|(?:urn|doi|ark|hdl|info|tag|isbn):[^\s<>\"{}|\\^`]+", re.I)
_MIME = re.compile(r"(?:application|audio|font|image|model|multipart|text|video)/[A-Za-z0-9][A-Za-z0-9.+_-]*")
_PERIOD = re.compile(r"(?:start=(?P<start>[^;]*);)?\s*(?:end=(?P<end>[^;]*);)?\s*scheme=W3C-DTF;?")
_MEASURE = re.compile(r"(?P<text>[\d.,:x×/ ]*\d)\s+(?P<units>\D.*)")


class Form(msgspec.Struct, frozen=True):
    """Both directions of one form. `read` gives the fields of the value, None where the text is not of this form;
    `uses` are attributes of the value that the text carries with it."""

    write: Callable[[Any], Written]
    read: Callable[[str, str], Fields | None]
    uses: tuple[str, ...] = ()
    strict: bool = False  # reads texts of its own form only, so a reader asks it before the others


def _prose(value: Any) -> Written:
    return ((value.text, "prose"),)


def as_text(text: str, kind: str) -> Fields | None:
    """Any text, as it is."""
    return {"text": text}


def _plain(value: Any) -> Written:
    return ((value.text, ""),)


def is_uri(text: str) -> bool:
    """Whether a text is a URI of a kind that archives use; a shelf number with a colon in it is none.

    >>> is_uri("https://example.org/a"), is_uri("TDLN:0423"), is_uri("urn:uuid:1")
    (True, False, True)
    """
    return bool(_URI.fullmatch(text))


def _uri(value: Any) -> Written:
    text = value.text
    return ((text, "uri" if ":" in text and is_uri(text) else ""),)


def _read_uri(text: str, kind: str) -> Fields | None:
    return {"text": text} if is_uri(text) else None


def _date(value: Any) -> Written:
    return _date_text(value.text)


@lru_cache(REMEMBERED)
def _date_text(text: str) -> Written:
    """A date as W3CDTF, a span as DCMI Period, anything else as it is written (EDTF)."""
    if not is_edtf(text):
        return ((text, ""),)
    if "/" in text:
        return ((period(text) or text, "period" if period(text) else ""),)
    day, lost = to_w3cdtf(text)
    return ((day, "w3cdtf"),) if day and not lost else ((text, ""),)


def period(edtf: str) -> str:
    """A span of two dates, or one that is open at one end, as DCMI Period; "" where that cannot say it whole.

    >>> period("1972/1980-04"), period("1972~/1980")
    ('start=1972; end=1980-04; scheme=W3C-DTF;', '')
    """
    parts = []
    for name, end in zip(("start", "end"), edtf.split("/"), strict=True):
        day, lost = to_w3cdtf(end) if end not in ("", "..") else ("", ())
        if day is None or lost or end == "":
            return ""
        parts.append(f"{name}={day}; " if day else "")
    return "".join(parts) + "scheme=W3C-DTF;"


def _read_date(text: str, kind: str) -> Fields | None:
    found = _PERIOD.fullmatch(text.strip())
    if found is None:
        return {"text": text}
    ends = [(found["start"] or "..").strip(), (found["end"] or "..").strip()]
    return {"text": "/".join(ends)}


def _language(value: Any) -> Written:
    return _language_codes(value.text)


@lru_cache(REMEMBERED)
def _language_codes(text: str) -> Written:
    codes = [code.strip() for code in text.split(";")]
    return tuple((code, "language" if is_language(code) else "") for code in codes if code)


@lru_cache(REMEMBERED)
def is_language(code: str) -> bool:
    """Whether it is a code of ISO 639-2, bibliographic or terminological, or of its private range.

    >>> is_language("eng"), is_language("ger"), is_language("deu"), is_language("xqz")
    (True, True, True, False)
    """
    return code in iso_639_2() or ("qaa" <= code <= "qtz" and len(code) == 3 and code.isalpha())


def _dcmi_type(value: Any) -> Written:
    return _dcmi_text(value.text)


@lru_cache(REMEMBERED)
def _dcmi_text(text: str) -> Written:
    uri = load("media-types").fact(text, "dcmi_type")
    return ((str(uri).rsplit("/", 1)[-1], "dcmi-type"),) if uri else ((text, ""),)


def _read_dcmi_type(text: str, kind: str) -> Fields | None:
    uri = f"http://purl.org/dc/dcmitype/{text}"
    terms = [term.term for term in load("media-types").term if term.facts.get("dcmi_type") == uri]
    return {"text": terms[0]} if terms else None


def _measure(value: Any) -> Written:
    return ((f"{value.text} {value.units_of_measure}" if value.units_of_measure else value.text, ""),)


def _read_measure(text: str, kind: str) -> Fields | None:
    found = _MEASURE.fullmatch(text)
    return {"text": found["text"], "units_of_measure": found["units"]} if found else {"text": text}


def _read_size(text: str, kind: str) -> Fields | None:
    found = _MEASURE.fullmatch(text)
    known = found and found["units"].lower() in ("bytes", "b", "kb", "mb", "gb", "tb", "kib", "mib", "gib", "tib")
    return {"text": found["text"], "units_of_measure": found["units"]} if found and known else None


def _read_duration(text: str, kind: str) -> Fields | None:
    return {"text": text} if re.fullmatch(r"\d+:\d\d:\d\d(?:[.:;]\d+)?", text) else None


def _mime(value: Any) -> Written:
    return ((value.text, "imt" if _MIME.fullmatch(value.text) else ""),)


def _read_mime(text: str, kind: str) -> Fields | None:
    return {"text": text} if kind == "imt" or _MIME.fullmatch(text) else None


def _part(value: Asset) -> Written:
    text = value.identifiers[0].text if value.identifiers else value.titles[0].text if value.titles else ""
    return ((text, ""),) if text else ()


FLAT: Mapping[str, Form] = {
    "plain": Form(_plain, as_text),
    "prose": Form(_prose, as_text),  # a text in the house's language
    "uri": Form(_uri, as_text),
    "uri-only": Form(_uri, _read_uri, strict=True),
    "date": Form(_date, _read_date),
    "language": Form(_language, as_text),
    "dcmi-type": Form(_dcmi_type, _read_dcmi_type, strict=True),
    "measure": Form(_measure, _read_measure, ("units_of_measure",)),
    "file-size": Form(_measure, _read_size, ("units_of_measure",), strict=True),
    "duration": Form(_plain, _read_duration, strict=True),
    "mime": Form(_mime, _read_mime, strict=True),
    "part": Form(_part, as_text),
}

"""Forms of values in RDF: an object is a text and its kind: `@id` a URI, "" a plain string, `@en`, or a datatype."""

from __future__ import annotations

import re
from collections.abc import Callable, Mapping
from functools import lru_cache
from typing import Any, TypeAlias

import msgspec

from crosswalk.standards.rdf.names import LANGUAGES
from crosswalk.standards.tables.forms import REMEMBERED, is_language, is_uri
from crosswalk.standards.tables.uris import said, segment
from crosswalk.values.dates import is_edtf, to_xsd
from crosswalk.vocabularies import load

URI = "@id"
Objects: TypeAlias = tuple[tuple[str, str], ...]
Fields: TypeAlias = dict[str, str]

_XSD_DATES = ("xsd:date", "xsd:gYear", "xsd:gYearMonth", "xsd:dateTime", "edtf:EDTF")
_CLOCK = re.compile(r"(\d{1,3}):([0-5]\d):([0-5]\d)(?:\.(\d{1,6}))?")
_MEASURE = re.compile(r"(?P<text>[\d.,:x×/]*\d) (?P<units>[^\s\d].*)")


class Setting(msgspec.Struct, frozen=True):
    """What forms need to know of the run: the base of minted URIs, and the language that prose is in ("" unsaid)."""

    base: str = ""
    language: str = ""


NO_SETTING = Setting()


class Form(msgspec.Struct, frozen=True):
    """Both directions of one form. `read` gives None where the object is not of
    this form, and always where nothing can be read from it; `uses` are attributes that the object carries."""

    write: Callable[[Any, Setting], Objects]
    read: Callable[[str, str, Setting], Fields | None]
    uses: tuple[str, ...] = ()


def nothing(text: str, kind: str, setting: Setting) -> Fields | None:
    """What is said beside another statement only is not read."""
    return None


def literal(text: str, kind: str, setting: Setting) -> Fields | None:
    """Any literal, as it is."""
    return {"text": text} if kind != URI else None


def _plain(value: Any, setting: Setting) -> Objects:
    return ((value.text, ""),)


def _prose(value: Any, setting: Setting) -> Objects:
    return ((value.text, f"@{setting.language}" if setting.language else ""),)


def _date(value: Any, setting: Setting) -> Objects:
    return _date_text(value.text)


@lru_cache(REMEMBERED)
def _date_text(text: str) -> Objects:
    if not is_edtf(text):
        return ((text, ""),)
    kind, said_, _ = to_xsd(text)
    return ((said_, kind),)


def _read_date(text: str, kind: str, setting: Setting) -> Fields | None:
    return {"text": text} if kind in ("", *_XSD_DATES) else None


def _duration(value: Any, setting: Setting) -> Objects:
    return _duration_text(value.text)


@lru_cache(REMEMBERED)
def _duration_text(text: str) -> Objects:
    found = _CLOCK.fullmatch(text)
    if not found:
        return ()
    hours, minutes, seconds = (int(part) for part in found.groups()[:3])
    fraction = f".{found[4]}" if found[4] else ""
    return ((f"PT{hours}H{minutes}M{seconds}{fraction}S", "xsd:duration"),)


def _number(pattern: str, kind: str) -> Callable[[Any, Setting], Objects]:
    fits = re.compile(pattern).fullmatch

    def write(value: Any, setting: Setting) -> Objects:
        return ((value.text, kind),) if fits(value.text) else ()

    return write


def _measure(value: Any, setting: Setting) -> Objects:
    return ((f"{value.text} {value.units_of_measure}" if value.units_of_measure else value.text, ""),)


def _read_measure(text: str, kind: str, setting: Setting) -> Fields | None:
    found = _MEASURE.fullmatch(text)
    if kind == URI:
        return None
    return {"text": found["text"], "units_of_measure": found["units"]} if found else {"text": text}


def _uri_only(value: Any, setting: Setting) -> Objects:
    return ((value.text, URI),) if is_uri(value.text) else ()


def _read_uri(text: str, kind: str, setting: Setting) -> Fields | None:
    return {"text": text} if kind == URI and not text.startswith("_:") else None


def _any_uri(value: Any, setting: Setting) -> Objects:
    return ((value.text, "xsd:anyURI"),) if is_uri(value.text) else ((value.text, ""),)


def _record(value: Any, setting: Setting) -> Objects:
    return ((f"{setting.base}asset/{segment(value.text)}", URI),)


def _read_record(text: str, kind: str, setting: Setting) -> Fields | None:
    if kind != URI or text.startswith("_:"):
        return {"text": text} if kind == "" else None
    below = f"{setting.base}asset/"
    return {"text": said(text[len(below) :]) if text.startswith(below) else text}


def _language(value: Any, setting: Setting) -> Objects:
    return _language_uris(value.text)


@lru_cache(REMEMBERED)
def _language_uris(text: str) -> Objects:
    codes = [code.strip() for code in text.split(";")]
    return tuple((LANGUAGES + code, URI) for code in codes if is_language(code))


def _language_code(value: Any, setting: Setting) -> Objects:
    return tuple((code.strip(), "") for code in value.text.split(";") if code.strip())


def _read_language(text: str, kind: str, setting: Setting) -> Fields | None:
    return {"text": text[len(LANGUAGES) :]} if kind == URI and text.startswith(LANGUAGES) else None


def _dcmi_type(value: Any, setting: Setting) -> Objects:
    return _dcmi_uri(value.text)


@lru_cache(REMEMBERED)
def _dcmi_uri(text: str) -> Objects:
    uri = load("media-types").fact(text, "dcmi_type")
    return ((str(uri), URI),) if uri else ()


def _read_dcmi_type(text: str, kind: str, setting: Setting) -> Fields | None:
    terms = [term.term for term in load("media-types").term if term.facts.get("dcmi_type") == text]
    return {"text": terms[0]} if terms and kind == URI else None


def _rights(licence: bool) -> Callable[[Any, Setting], Objects]:
    """A text that is the name of a rights statement or a licence, as its address; a wording that only means one is
    for a person to decide, and stays text."""

    def write(value: Any, setting: Setting) -> Objects:
        term = load("rights").by_name.get(value.text)
        fits = term is not None and (term.facts.get("family") != "rights statement") == licence
        return ((term.uri, URI),) if term is not None and fits and term.uri else ()

    return write


def _rda(fact: str, vocabulary: str) -> Callable[[Any, Setting], Objects]:
    def write(value: Any, setting: Setting) -> Objects:
        uri = _rda_uri(value.text, fact, vocabulary)
        return ((uri, URI),) if uri else ()

    return write


@lru_cache(REMEMBERED)
def _rda_uri(carrier: str, fact: str, vocabulary: str) -> str:
    code = load("carriers").fact(carrier, fact)
    term = load(vocabulary).find(str(code)) if code else None
    return term.uri if term else ""


@lru_cache(REMEMBERED)
def relator(role: str) -> str:
    """The prefixed name of the MARC relator of a role; "" where there is none.

    >>> relator("Actor"), relator("Keeper of the kettle")
    ('relators:act', '')
    """
    uri = load("roles").fact(role, "relator_uri")
    return f"relators:{str(uri).rsplit('/', 1)[-1]}" if uri else ""


FORMS: Mapping[str, Form] = {
    "plain": Form(_plain, literal),
    "prose": Form(_prose, literal),
    "date": Form(_date, _read_date),
    "duration": Form(_duration, nothing),
    "double": Form(_number(r"-?\d+(?:\.\d+)?", "xsd:double"), literal),
    "integer": Form(_number(r"-?\d+", "xsd:integer"), literal),
    "non-negative": Form(_number(r"\d+", "xsd:nonNegativeInteger"), literal),
    "measure": Form(_measure, _read_measure, ("units_of_measure",)),
    "uri-only": Form(_uri_only, _read_uri),
    "any-uri": Form(_any_uri, literal),
    "record": Form(_record, _read_record),
    "language": Form(_language, _read_language),
    "language-code": Form(_language_code, nothing),
    "dcmi-type": Form(_dcmi_type, _read_dcmi_type),
    "rda-carrier": Form(_rda("rda", "rda-carrier-types"), nothing),
    "rda-media": Form(_rda("media", "rda-media-types"), nothing),
    "rights-statement": Form(_rights(licence=False), nothing),
    "licence": Form(_rights(licence=True), nothing),
    "term": Form(_plain, literal),  # written by the plan, since a term is a node of its own
}

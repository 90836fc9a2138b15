"""The vocabulary layer: terms against published lists, languages, dates, durations and formats against their standards.

A value whose `source` names another list than the published one is left alone. Every text is judged once and
remembered, since a collection says few different things.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator
from functools import cache, lru_cache
from typing import Any, NamedTuple, cast

from crosswalk.checks.place import NOWHERE, Place, below
from crosswalk.findings import Finding, Severity, finding
from crosswalk.records import Asset, EssenceTrack, Instantiation, Node, Part, Record, Text, Value, shape
from crosswalk.values.dates.edtf import is_edtf
from crosswalk.values.language_words import is_code
from crosswalk.values.reading import NO_CONTEXT
from crosswalk.values.registry import parser
from crosswalk.vocabularies import load, near

_OURS = re.compile(r"pbcore|metadataregistry", re.IGNORECASE)
_MEDIA_TYPE = re.compile(r"[a-z]+/[a-z0-9][a-z0-9!#$&^_.+-]*(;.*)?", re.IGNORECASE)  # RFC 6838, 4.2
_ISO_MOMENT = re.compile(r"\d{4}-\d\d-\d\dT\d\d:\d\d(:\d\d(\.\d+)?)?(Z|[+-]\d\d:\d\d)?")
_CLOCK = re.compile(r"\d{2,}:[0-5]\d:[0-5]\d(\.\d{1,3}|[:;]\d\d)?")


class Verdict(NamedTuple):
    """What is wrong with a text."""

    code: str
    message: str
    suggestions: tuple[str, ...]
    severity: Severity | None


class Site(NamedTuple):
    """A field that holds texts of one kind: child elements, their `attribute` where that holds the text, or the
    `nested` child of a group. `fine` are texts that were judged and are fine whatever their source says."""

    field: str
    element: str
    kind: str
    attribute: str = ""
    nested: str = ""

    @property
    def fine(self) -> set[str]:
        """The texts of this kind that need no second look."""
        return _fine.setdefault(self.kind, set())


_fine: dict[str, set[str]] = {}
FINE_AT_MOST = 50_000  # of one kind; dates and durations are many


ASSET_SITES = (
    Site("asset_types", "pbcoreAssetType", "asset-types"),
    Site("dates", "pbcoreAssetDate", "date"),
    Site("dates", "pbcoreAssetDate", "date-types", attribute="date_type"),
    Site("titles", "pbcoreTitle", "title-types", attribute="title_type"),
    Site("descriptions", "pbcoreDescription", "description-types", attribute="description_type"),
    Site("relations", "pbcoreRelation", "asset-relations", nested="type"),
    Site("creators", "pbcoreCreator", "roles", nested="roles"),
    Site("contributors", "pbcoreContributor", "roles", nested="roles"),
    Site("publishers", "pbcorePublisher", "publisher-roles", nested="roles"),
)
INSTANTIATION_SITES = (
    Site("dates", "instantiationDate", "date"),
    Site("dates", "instantiationDate", "date-types", attribute="date_type"),
    Site("physical", "instantiationPhysical", "carriers"),
    Site("digital", "instantiationDigital", "media type"),
    Site("media_type", "instantiationMediaType", "media-types"),
    Site("generations", "instantiationGenerations", "generations"),
    Site("duration", "instantiationDuration", "duration"),
    Site("languages", "instantiationLanguage", "language"),
    Site("relations", "instantiationRelation", "instantiation-relations", nested="type"),
)
TRACK_SITES = (
    Site("duration", "essenceTrackDuration", "duration"),
    Site("languages", "essenceTrackLanguage", "language"),
)


def check_vocabulary(record: Record, place: Place = NOWHERE) -> list[Finding]:
    """What the vocabulary layer finds in one record.

    >>> record = Instantiation(physical=Text("Umatic"), languages=(Text("xqx"),))
    >>> [(found.code, found.suggestions) for found in check_vocabulary(record)]
    [('VO12', ('U-matic',)), ('VO13', ())]
    """
    found: list[Finding] = []
    if isinstance(record, Asset):
        _asset(record, "", place.of(record), found)
    else:
        _instantiation(record, "", place.of(record), found)
    return found


def _asset(asset: Asset, path: str, place: Place, found: list[Finding]) -> None:
    _check(asset, path, place, found)
    for number, instantiation in enumerate(asset.instantiations, 1):
        _instantiation(instantiation, below(path, f"pbcoreInstantiation[{number}]"), place, found)
    for number, part in enumerate(asset.parts, 1):
        _asset(part, below(path, f"pbcorePart[{number}]"), place, found)


def _instantiation(node: Instantiation, path: str, place: Place, found: list[Finding]) -> None:
    _check(node, path, place, found)
    for number, track in enumerate(node.essence_tracks, 1):
        if track.duration is not None or track.languages:
            _check(track, below(path, f"instantiationEssenceTrack[{number}]"), place, found)
    for number, part in enumerate(node.parts, 1):
        _instantiation(part, below(path, f"instantiationPart[{number}]"), place, found)


_SITES: dict[type[Node], tuple[Site, ...]] = {
    Asset: ASSET_SITES,
    Part: ASSET_SITES,
    Instantiation: INSTANTIATION_SITES,
    EssenceTrack: TRACK_SITES,
}


@cache
def _all_fine(cls: type[Node]) -> Callable[[Node], bool]:
    """A function that says whether all texts of a node are known to be fine: the usual case, which must cost next to
    nothing. Written out from the sites and compiled, since a loop over them takes three times as long."""
    many = {child.field: child.many for child in shape(cls).children}
    sites = _SITES[cls]
    lines = ["def all_fine(node):"]
    fine = {f"fine_{number}": site.fine for number, site in enumerate(sites)}
    for name, site in zip(fine, sites, strict=True):
        lines += _written(site, name, many[site.field])
    scope: dict[str, Any] = dict(fine)
    exec("\n".join([*lines, "    return True"]), scope)  # noqa: S102  # of our own table only, nothing from outside
    return cast("Callable[[Node], bool]", scope["all_fine"])


def _written(site: Site, fine: str, many: bool) -> Iterator[str]:
    """The lines of code for one site."""
    indent = "    "
    if many:
        yield f"{indent}for value in node.{site.field}:"
    else:
        yield f"{indent}value = node.{site.field}"
        yield f"{indent}if value is not None:"
    indent += "    "
    if site.nested:
        yield f"{indent}inner = value.{site.nested}"
        yield f"{indent}for value in inner if type(inner) is tuple else (inner,) if inner is not None else ():"
        indent += "    "
    yield f"{indent}text = value.{site.attribute or 'text'}"
    yield f"{indent}if text is not None and text not in {fine}:"
    yield f"{indent}    return False"


def _check(node: Asset | Instantiation | EssenceTrack, path: str, place: Place, found: list[Finding]) -> None:
    """Looks at every site of a node, closely only where something is new."""
    if _all_fine(type(node))(node):
        return
    many = {child.field: child.many for child in shape(type(node)).children}
    for site in _SITES[type(node)]:
        values = getattr(node, site.field)
        if values:
            found += _closely(values if many[site.field] else (values,), site, path, place, many[site.field])


def _closely(values: tuple[Node, ...], site: Site, path: str, place: Place, many: bool = True) -> Iterator[Finding]:
    """The findings about the values of a site, one after the other."""
    for number, value in enumerate(values, 1):
        for text, source, at in _texts(value, site):
            if not text:
                continue
            verdict = judge(site.kind, text, source or "")
            if verdict is not None:
                step = f"{site.element}[{number}]" if many else site.element
                yield _finding(verdict, text, place, below(path, step), at)
            elif len(site.fine) < FINE_AT_MOST and judge(site.kind, text, "PBCore") is None:
                site.fine.add(text)


def _texts(value: Node, site: Site) -> Iterator[tuple[str | None, str | None, Value | None]]:
    """The texts of a value that the site is about, each with its source and the value that has the evidence."""
    if site.attribute:
        source = getattr(value, f"{site.attribute}_source", None)
        yield getattr(value, site.attribute), source, value if isinstance(value, Value) else None
    elif site.nested:
        inner = getattr(value, site.nested)
        for item in inner if isinstance(inner, tuple) else (inner,) if inner is not None else ():
            yield item.text, item.source, item
    elif isinstance(value, Text):
        yield value.text, value.source, value


def _finding(verdict: Verdict, text: str, place: Place, path: str, value: Value | None) -> Finding:
    return finding(
        verdict.code,
        place.at(path, value),
        verdict.message,
        value=text,
        suggestions=verdict.suggestions,
        severity=verdict.severity,
    )


@lru_cache(maxsize=65536)
def judge(kind: str, text: str, source: str = "") -> Verdict | None:
    """What is wrong with a text of a kind; None where nothing is.

    >>> judge("generations", "Master"), judge("generations", "Mastr", "PBCore instantiationGenerations").severity.word
    (None, 'error')
    >>> judge("generations", "Mastr", "Merrow house list") is None
    True
    """
    special = {"date": _date, "duration": _duration, "language": _language, "media type": _media_type}
    if kind in special:
        return special[kind](text.strip())
    claims = bool(_OURS.search(source))
    return _term(kind, text, claims) if claims or not source else None


def _term(name: str, text: str, claims: bool) -> Verdict | None:
    vocabulary = load(name)
    if text in vocabulary.by_name or (name == "carriers" and text.partition(": ")[0] in vocabulary.by_name):
        return None
    title = vocabulary.title.lower()
    meant = vocabulary.find(text)
    if meant is not None:
        message = f'"{text}" is not the term itself; the list of {title} has "{meant.name}" for it'
        return Verdict("VO12", message, (meant.name,), None)
    close = tuple(item.term for item in near(vocabulary, text))
    severity = Severity.ERROR if claims else None
    claim = ", which it names as its source" if claims else ""
    return Verdict("VO11", f'"{text}" is not in the published list of {title}{claim}', close, severity)


def _date(text: str) -> Verdict | None:
    if is_edtf(text) or _ISO_MOMENT.fullmatch(text):
        return None
    return Verdict("VO14", f'"{text}" is no date of ISO 8601 or EDTF', _read("date", text), None)


def _duration(text: str) -> Verdict | None:
    if _CLOCK.fullmatch(text):
        return None
    return Verdict("VO15", f'"{text}" is no length of the form HH:MM:SS', _read("duration", text), None)


def _read(kind: str, text: str) -> tuple[str, ...]:
    """What the reading of values makes of a text, as a suggestion."""
    reading = parser(kind)(text, NO_CONTEXT)
    if reading.value is not None:
        return (reading.value,)
    return tuple(suggestion for doubt in reading.doubts for suggestion in doubt.suggestions)


def _language(text: str) -> Verdict | None:
    unknown = [code for code in text.split(";") if not is_code(code)]
    if not unknown:
        return None
    return Verdict("VO13", f'"{unknown[0]}" is no language code of ISO 639', _read("language", unknown[0]), None)


def _media_type(text: str) -> Verdict | None:
    if _MEDIA_TYPE.fullmatch(text):
        return None
    return Verdict("VO16", f'"{text}" has not the form of a media type', _read("file_format", text), None)

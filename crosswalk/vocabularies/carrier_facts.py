"""What is known of a carrier: kind, width, years, capacity, RDA types, each with what it stands on."""

from __future__ import annotations

import msgspec

from crosswalk.vocabularies.load import load

_MINUTE_MS = 60_000


class CarrierFacts(msgspec.Struct, frozen=True, kw_only=True):
    """The facts of one carrier; None or "" where nothing is known. RDA types are labels with their addresses at the
    Library of Congress."""

    term: str
    kind: str = ""  # audio, video, film
    body: str = ""  # reel, cassette, disc, ...
    signal: str = ""  # analogue, digital
    width_mm: float | None = None
    first_year: int | None = None
    capacity_ms: int | None = None  # the longest usual running time
    standards: str = ""
    rda_carrier: str = ""
    rda_carrier_uri: str = ""
    rda_media: str = ""
    rda_media_uri: str = ""


def carrier_facts(name: str, *house_files: str) -> CarrierFacts | None:
    """The facts of a carrier by its printed term (`Betacam: SP`); None where it is no term of the list.

    >>> facts = carrier_facts("U-matic: SP")
    >>> facts.signal, facts.first_year, facts.rda_carrier
    ('analogue', 1986, 'videocassette')
    """
    carriers = load("carriers", *house_files)
    if carriers.by_name.get(name) is None and name.partition(": ")[0] not in carriers.by_name:
        return None
    minutes = carriers.fact(name, "capacity_min")
    known = {
        "width_mm": carriers.fact(name, "width_mm"),
        "first_year": carriers.fact(name, "first_year"),
        "capacity_ms": minutes * _MINUTE_MS if isinstance(minutes, int) else None,
        **{key: str(carriers.fact(name, key, "")) for key in ("kind", "body", "signal", "standards")},
        **_rda("rda_carrier", "rda-carrier-types", str(carriers.fact(name, "rda", ""))),
        **_rda("rda_media", "rda-media-types", str(carriers.fact(name, "media", ""))),
    }
    return msgspec.convert({"term": name, **known}, CarrierFacts)


def _rda(key: str, vocabulary: str, code: str) -> dict[str, str]:
    entry = load(vocabulary).find(code) if code else None
    return {key: entry.term, f"{key}_uri": entry.uri} if entry else {}

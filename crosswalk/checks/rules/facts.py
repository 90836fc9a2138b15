"""What the rules need of the vocabularies and of value texts, looked up once a wording."""

from __future__ import annotations

from datetime import date
from functools import cache, lru_cache
from typing import NamedTuple

from crosswalk.values.dates.edtf import bounds, is_edtf
from crosswalk.values.durations.times import duration_ms
from crosswalk.vocabularies import load

Bounds = tuple[date | None, date | None]
UNKNOWN: Bounds = (None, None)


class CarrierFacts(NamedTuple):
    """What is known of a kind of carrier; `domain` is "analogue", "digital" or "" where it may be either."""

    name: str
    domain: str
    introduced: int | None  # the year it came on the market
    capacity_ms: int | None
    kind: str  # "video", "audio", "film", ... or ""


NO_FACTS = CarrierFacts("", "", None, None, "")


@lru_cache(maxsize=4096)
def carrier_facts(text: str) -> CarrierFacts:
    """What the vocabulary of carriers knows of a physical format, by any of its names.

    >>> carrier_facts("DAT").introduced
    1987
    """
    carriers = load("carriers")
    entry = carriers.find(text) or carriers.find(text.partition(":")[0])
    if entry is None:
        return NO_FACTS
    name = entry.name
    minutes = carriers.fact(name, "capacity_min")
    introduced = carriers.fact(name, "first_year")
    return CarrierFacts(
        name,
        str(carriers.fact(name, "signal", "")),
        int(introduced) if introduced else None,
        round(float(minutes) * 60_000) if minutes else None,
        str(carriers.fact(name, "kind", "")),
    )


@lru_cache(maxsize=16384)
def day_bounds(text: str) -> Bounds:
    """The first and last day that a date text can mean; (None, None) where it is no EDTF.

    >>> day_bounds("1987-04")[1]
    datetime.date(1987, 4, 30)
    """
    text = text.strip()
    return bounds(text) if is_edtf(text) else UNKNOWN


@lru_cache(maxsize=16384)
def length_ms(text: str) -> int | None:
    """A duration text in milliseconds; None where it is not in the standard form.

    >>> length_ms("00:28:30")
    1710000
    """
    try:
        return duration_ms(text.strip())
    except ValueError:
        return None


@cache
def inverses(vocabulary: str) -> dict[str, str]:
    """The inverse of each relation of a vocabulary that has one, by folded name.

    >>> inverses("asset-relations")["derivedfrom"]
    'hasderivative'
    """
    paired = [entry for entry in load(vocabulary).term if "inverse" in entry.facts]
    return {plain_key(entry.name): plain_key(str(entry.facts["inverse"])) for entry in paired}


@lru_cache(maxsize=4096)
def plain_key(text: str) -> str:
    """A term as it is compared: case, spaces and hyphens do not count.

    >>> plain_key("Is Part Of"), plain_key("isPartOf")
    ('ispartof', 'ispartof')
    """
    return "".join(character for character in text.casefold() if character.isalnum())

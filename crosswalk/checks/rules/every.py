"""Records by all rules: each rule is a function of a node of the record, its path and its place."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from typing import TypeAlias

import msgspec

from crosswalk.checks.place import NOWHERE, Place, below
from crosswalk.checks.rules import carriers, hazards, required, rights, times, tracks
from crosswalk.findings import Finding
from crosswalk.records import Asset, Instantiation, Record

AssetRule: TypeAlias = Callable[[Asset, str, Place], Iterable[Finding]]
InstantiationRule: TypeAlias = Callable[[Instantiation, str, Place], Iterable[Finding]]

ASSET_RULES: tuple[AssetRule, ...] = (*required.ASSET, *times.ASSET, *rights.ASSET)
INSTANTIATION_RULES: tuple[InstantiationRule, ...] = (
    *required.INSTANTIATION,
    *carriers.INSTANTIATION,
    *times.INSTANTIATION,
    *tracks.INSTANTIATION,
    *hazards.INSTANTIATION,
)


def check_record(record: Record, place: Place = NOWHERE) -> list[Finding]:
    """What the rules find in one record, by itself: no other record is looked at (see `index`).

    A finding points to the cell of the value where the record has evidence, or else to the line and path at the place.

    >>> [found.code for found in check_record(Asset())]
    ['RC01', 'RC01', 'RC01', 'RC50']
    """
    found: list[Finding] = []
    place = place.of(record)
    if isinstance(record, Asset):
        _asset(record, "", place, found)
    else:
        _instantiation(record, "", place, found)
    return found


def _asset(asset: Asset, path: str, place: Place, found: list[Finding]) -> None:
    for rule in ASSET_RULES:
        found += rule(asset, path, place)
    for number, instantiation in enumerate(asset.instantiations, 1):
        _instantiation(instantiation, below(path, f"pbcoreInstantiation[{number}]"), place, found)
    for number, part in enumerate(asset.parts, 1):
        _asset(part, below(path, f"pbcorePart[{number}]"), place, found)


def _instantiation(instantiation: Instantiation, path: str, place: Place, found: list[Finding]) -> None:
    named = instantiation.identifiers[0].evidence if instantiation.identifiers else None
    if named is not None and named.row:  # what is missing is missing in the carrier's row
        place = msgspec.structs.replace(place, anchor=named)
    for rule in INSTANTIATION_RULES:
        if said := rule(instantiation, path, place):
            found += said
    for number, part in enumerate(instantiation.parts, 1):
        _instantiation(part, below(path, f"instantiationPart[{number}]"), place, found)

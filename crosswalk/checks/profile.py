"""Profiles: what a receiving party requires beyond the schema, as a short TOML file of requirements.

A file says `title` and any number of `[[require]]`:

    field      asset.title, asset.title@titleType, instantiation.location, ...; "*" is every text of the record
    each       "instantiation" or "track": asked of each of them; otherwise of the record as a whole
    least      how many at the least (1 where nothing is said), `most` how many at the most
    pattern    a regular expression that each text must match as a whole
    values     the texts that are allowed; or `vocabulary`, the name of one of ours
    forbid     a regular expression that no text may contain
    when       { field = pattern }: asked only of records (or of `each`) for which a text of the field matches
    where      { field = pattern }: counts only texts in instantiations for which a text of the field matches
    severity, message, guidance
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from functools import cached_property
from pathlib import Path
from typing import Literal

import msgspec

from crosswalk.checks.fields import Field, Found, UnknownField, all_strings, every_text, field, nodes, texts
from crosswalk.checks.place import Place
from crosswalk.errors import CannotContinue, raise_all
from crosswalk.findings import Finding, Severity, finding
from crosswalk.records import Node, Record
from crosswalk.tomlio import Mistake, complaint, read_toml
from crosswalk.vocabularies import load

EVERY_TEXT = "*"
REMEMBERED_TEXTS = 50_000


class Requirement(msgspec.Struct, frozen=True, kw_only=True, forbid_unknown_fields=True, dict=True):
    """One requirement, as it stands in the file."""

    field: str
    each: Literal["", "instantiation", "track"] = ""
    least: int | None = None
    most: int | None = None
    pattern: str = ""
    values: tuple[str, ...] = ()
    vocabulary: str = ""
    forbid: str = ""
    when: dict[str, str] = {}
    where: dict[str, str] = {}
    severity: Literal["error", "warning", "note"] = "error"
    message: str = ""
    guidance: str = ""

    @cached_property
    def compiled(self) -> Field | None:
        """The field; None for every text."""
        return None if self.field == EVERY_TEXT else field(self.field)

    @cached_property
    def fits(self) -> re.Pattern[str] | None:
        """What each text must match."""
        return re.compile(self.pattern) if self.pattern else None

    @cached_property
    def forbidden(self) -> re.Pattern[str] | None:
        """What no text may contain."""
        return re.compile(self.forbid) if self.forbid else None

    @cached_property
    def allowed(self) -> frozenset[str]:
        """The texts that are allowed; empty where any is."""
        return frozenset(self.values) | (frozenset(load(self.vocabulary).by_name) if self.vocabulary else frozenset())

    @cached_property
    def conditions(self) -> list[tuple[Field, re.Pattern[str]]]:
        """When it is asked at all."""
        return [(field(name), re.compile(pattern)) for name, pattern in self.when.items()]

    @cached_property
    def filters(self) -> list[tuple[Field, re.Pattern[str]]]:
        """Which instantiations count."""
        return [(field(name), re.compile(pattern)) for name, pattern in self.where.items()]

    @cached_property
    def _clean(self) -> set[str]:
        return set()

    def suspects(self, strings: list[str]) -> bool:
        """Whether one of the texts holds what is forbidden. Clean texts are remembered, since most come again."""
        for text in strings:
            if text not in self._clean:
                if self.forbidden is not None and self.forbidden.search(text):
                    return True
                if len(self._clean) < REMEMBERED_TEXTS:
                    self._clean.add(text)
        return False

    @property
    def at_least(self) -> int:
        """How many texts there must be; what only limits texts asks for none."""
        limits_only = self.most is not None or self.pattern or self.allowed or self.forbid
        return self.least if self.least is not None else 0 if limits_only else 1


class Profile(msgspec.Struct, frozen=True, kw_only=True, forbid_unknown_fields=True):
    """The requirements of one receiving party."""

    title: str
    receiver: str = ""
    source: str = ""
    require: tuple[Requirement, ...] = ()

    def check(self, record: Record, place: Place) -> list[Finding]:
        """What a record lacks of the requirements.

        >>> from crosswalk.records import Asset
        >>> profile = Profile(title="t", require=(Requirement(field="asset.title"),))
        >>> [found.message for found in profile.check(Asset(), Place())]
        ['asset.title is missing']
        """
        place = place.of(record)
        strings = all_strings(record, []) if any(one.compiled is None for one in self.require) else []
        asked = [one for one in self.require if one.compiled is not None or one.suspects(strings)]
        return [found for requirement in asked for found in _asked(requirement, record, place)]


def read_profile(path: Path) -> Profile:
    """The profile in a TOML file; raises one MappingError for all mistakes, each with file, line and key."""
    profile, mistakes = read_toml(path, Profile)
    told = {one.table for one in mistakes}
    for number, requirement in enumerate(profile.require if profile is not None else ()):
        if f"require[{number}]" not in told:
            mistakes += _compiled(requirement, path, f"require[{number}]")
    raise_all(one.error for one in mistakes)
    assert profile is not None
    return profile


def _compiled(requirement: Requirement, path: Path, table: str) -> Iterator[Mistake]:
    """Compiles all of a requirement, so that a mistake is told before the first record."""
    try:
        for part in ("compiled", "fits", "forbidden", "allowed", "conditions", "filters"):
            getattr(requirement, part)
    except (UnknownField, re.error, CannotContinue) as error:
        problem = f'requirement of "{requirement.field}": {error}'
        yield Mistake(table, complaint(path, "", problem, "mend this entry", table))


def _asked(requirement: Requirement, record: Record, place: Place) -> Iterator[Finding]:
    """The requirement, of the record or of each node that it is asked of."""
    if not requirement.each:
        if _holds(requirement.conditions, record, None):
            yield from _judged(requirement, list(_texts(requirement, record)), "", place)
        return
    for node, path in nodes(record, requirement.each):
        if requirement.compiled is not None and _holds(requirement.conditions, record, (node, path)):
            found = list(texts(node, requirement.compiled, path))
            yield from _judged(requirement, found, path, place)


def _texts(requirement: Requirement, record: Record) -> Iterator[Found]:
    wanted = requirement.compiled
    if wanted is None:
        yield from every_text(record)
        return
    for node, path in nodes(record, wanted.level):
        if not requirement.filters or _holds(requirement.filters, record, (node, path)):
            yield from texts(node, wanted, path)


def _holds(conditions: list[tuple[Field, re.Pattern[str]]], record: Record, at: tuple[Node, str] | None) -> bool:
    """Whether each condition's field has a text that matches: in the node, where it is of the node's level."""
    return all(_matches(wanted, pattern, record, at) for wanted, pattern in conditions)


def _matches(wanted: Field, pattern: re.Pattern[str], record: Record, at: tuple[Node, str] | None) -> bool:
    here = [at] if at is not None and _level(at[0]) == wanted.level else nodes(record, wanted.level)
    return any(pattern.fullmatch(found.text) for node, path in here for found in texts(node, wanted, path))


def _level(node: Node) -> str:
    return {"EssenceTrack": "track", "Instantiation": "instantiation"}.get(type(node).__name__, "asset")


def _judged(requirement: Requirement, found: list[Found], path: str, place: Place) -> Iterator[Finding]:
    name = requirement.field
    if requirement.forbidden is not None:
        for item in found:
            if bad := requirement.forbidden.search(item.text):
                yield _finding("PF05", requirement, place, item, f'"{bad[0]}" may not stand in the record', bad[0])
        return
    if len(found) < requirement.at_least:
        few = f"{name} is missing" if not found else f"{len(found)} of {name}, and {requirement.at_least} are required"
        yield _finding("PF01", requirement, place, Found("", path, None), few)
    if requirement.most is not None and len(found) > requirement.most:
        many = f"{len(found)} of {name}, and {requirement.most} are allowed"
        yield _finding("PF02", requirement, place, found[requirement.most], many, found[requirement.most].text)
    for item in found:
        if requirement.fits is not None and not requirement.fits.fullmatch(item.text):
            yield _finding("PF03", requirement, place, item, f'"{item.text}" has not the required form', item.text)
        elif requirement.allowed and item.text not in requirement.allowed:
            yield _finding("PF04", requirement, place, item, f'"{item.text}" is not an accepted {name}', item.text)


def _finding(code: str, requirement: Requirement, place: Place, item: Found, said: str, value: str = "") -> Finding:
    message = f"{requirement.message}: {said}" if requirement.message else said
    severity = Severity[requirement.severity.upper()]
    origin = place.at(item.path, item.value)
    return finding(code, origin, message, value=value[:200], next_step=requirement.guidance, severity=severity)

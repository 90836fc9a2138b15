"""The layers of a validation, put together: documents or records in, findings out, as they come.

What reads files and turns elements into records is handed in, so that this knows no standard. One `Validator` serves
one thread or process; what shows only between records is gathered in an index that several can share, or in rows that
a worker hands back.
"""

from __future__ import annotations

import threading
from collections.abc import Callable, Iterable, Iterator
from pathlib import Path
from typing import Protocol, TypeAlias

import msgspec
from lxml import etree

from crosswalk.checks.place import Place
from crosswalk.checks.profile import Profile, read_profile
from crosswalk.checks.rules import check_record
from crosswalk.checks.schema import Checked, SchemaCheck
from crosswalk.checks.schematron import Schematron
from crosswalk.checks.selection import LAYERS
from crosswalk.checks.vocabulary import check_vocabulary
from crosswalk.errors import MappingError
from crosswalk.findings import Finding
from crosswalk.records import Asset, Record
from crosswalk.resources import folder

ToRecord: TypeAlias = Callable[[etree._Element], Record | None]  # None: it cannot be read; the schema layer says why
AnyProfile: TypeAlias = Profile | Schematron


class Plan(msgspec.Struct, frozen=True, kw_only=True):
    """What to check. It can be sent to a worker. `profile` is the name of one of ours, or a path (.toml, .sch)."""

    layers: tuple[str, ...] = LAYERS
    schema: str = "pbcore-2.1.xsd"
    profile: str = ""
    phase: str = ""  # of a Schematron profile


class Index(Protocol):
    """What gathers identifiers and relations."""

    def add(self, record: Record, place: Place) -> None:
        """Notes those of one record."""


class Validator:
    """The chosen layers, ready to run. Counts what goes through it in `records` and `carriers`.

    Raises MappingError where the profile makes no sense."""

    def __init__(self, plan: Plan, index: Index | None = None) -> None:
        self.records = 0
        self.carriers = 0
        self._layers = frozenset(plan.layers)
        self._schema = SchemaCheck(plan.schema if "schema" in self._layers else "")
        self._profile = load_profile(plan.profile, plan.phase) if plan.profile and "profile" in self._layers else None
        self._index = index if "rules" in self._layers else None
        self._terms, self._rules = "vocabulary" in self._layers, "rules" in self._layers
        self._reads = bool(self._layers & {"vocabulary", "rules"}) or isinstance(self._profile, Profile)

    def file(self, path: Path, to_record: ToRecord) -> Iterator[Finding]:
        """The findings about a PBCore file, which may be packed. An unreadable file is a finding."""
        return self._checked(self._schema.records(path), to_record)

    def stream(self, pieces: Iterable[bytes], name: str, to_record: ToRecord) -> Iterator[Finding]:
        """The findings about a PBCore document that comes piece by piece, such as standard input."""
        return self._checked(self._schema.pieces(pieces, name), to_record)

    def read(self, items: Iterable[tuple[Record | Finding, Place]]) -> Iterator[Finding]:
        """The findings about records that a reader of any other format gives, with its own findings among them."""
        for item, place in items:
            if isinstance(item, Finding):
                yield item
            else:
                yield from self._record(item, place)

    def _checked(self, units: Iterable[Checked], to_record: ToRecord) -> Iterator[Finding]:
        for unit in units:
            if unit.findings:
                yield from unit.findings
            if unit.element is None:
                continue
            record = to_record(unit.element) if self._reads else None
            if record is not None:
                yield from self._record(record, unit.bare_place)
            else:
                self.records += 1
            if isinstance(self._profile, Schematron):
                yield from self._profile.check(unit.place)

    def _record(self, record: Record, place: Place) -> Iterator[Finding]:
        self.records += 1
        self.carriers += len(record.instantiations) if isinstance(record, Asset) else 1
        place = place.of(record)
        if self._terms and (found := check_vocabulary(record, place)):
            yield from found
        if self._rules and (found := check_record(record, place)):
            yield from found
        if self._index is not None:
            self._index.add(record, place)
        if isinstance(self._profile, Profile):
            yield from self._profile.check(record, place)


def load_profile(name: str, phase: str = "") -> AnyProfile:
    """The profile at a path, or the shipped one of that name. Read once a thread, as long as the file stays the same.

    >>> load_profile("national-index").title
    'National index'
    """
    path = Path(name)
    if path.suffix not in (".toml", ".sch"):
        path = next((p for p in profiles() if p.stem == name), path)
    if not path.is_file():
        known = ", ".join(profile.stem for profile in profiles())
        raise MappingError(name, "is no profile", f"give a file (.toml, .sch) or one of: {known}")
    state = path.stat()
    key = (str(path), phase, state.st_mtime_ns, state.st_size)
    loaded: dict[tuple[str, str, int, int], AnyProfile] = _loaded.__dict__.setdefault("profiles", {})
    if key not in loaded:
        loaded[key] = Schematron(path, phase) if path.suffix == ".sch" else read_profile(path)
    return loaded[key]


_loaded = threading.local()  # a compiled Schematron serves one thread


def profiles() -> list[Path]:
    """The profiles that are shipped."""
    return sorted(p for p in folder("schemas").joinpath("profiles").iterdir() if p.suffix in (".toml", ".sch"))

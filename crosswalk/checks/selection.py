"""Which findings count: chosen by code or family, in the command and in `pyproject.toml` or `crosswalk.toml`."""

from __future__ import annotations

import os
from collections.abc import Iterable, Iterator
from pathlib import Path
from typing import Literal

import msgspec

from crosswalk.errors import MappingError, raise_all
from crosswalk.findings import Finding, codes
from crosswalk.tomlio import complaint, parsed, read_table, text_of

LAYERS = ("well-formed", "schema", "vocabulary", "rules", "profile")
Layer = Literal["well-formed", "schema", "vocabulary", "rules", "profile"]
FILES = ("crosswalk.toml", "pyproject.toml")


class Selection(msgspec.Struct, frozen=True):
    """Codes (`DT03`), readable names (`date.ambiguous-order`) or families (`DT`). Nothing selected is everything. A
    code says more than a family; where both lists say as much, what is ignored is ignored.

    >>> [Selection(("DT",), ("DT03",)).takes(code) for code in ("DT03", "DT04", "RC01")]
    [False, True, False]
    """

    select: tuple[str, ...] = ()
    ignore: tuple[str, ...] = ()

    def takes(self, code: str) -> bool:
        """Whether findings of this code count."""
        chosen, dropped = _weight(self.select, code), _weight(self.ignore, code)
        if self.select and not chosen:
            return False
        return not dropped or dropped < chosen

    def of(self, findings: Iterable[Finding]) -> Iterator[Finding]:
        """The findings that count."""
        if not (self.select or self.ignore):
            yield from findings
            return
        remembered: dict[str, bool] = {}
        for found in findings:
            if found.code not in remembered:
                remembered[found.code] = self.takes(found.code)
            if remembered[found.code]:
                yield found


def _weight(words: tuple[str, ...], code: str) -> int:
    """How closely the words concern a code: 2 by code or name, 1 by family, 0 not at all."""
    if code in words or codes()[code].name in words:
        return 2
    return int(code[:2] in words)


def selection(select: Iterable[str] = (), ignore: Iterable[str] = (), place: str = "--select") -> Selection:
    """A selection of words that mean something; raises MappingError for one that is no code, name or family."""
    made = Selection(tuple(select), tuple(ignore))
    for word in _unknown((*made.select, *made.ignore)):
        raise MappingError(place, f'"{word}" is no code and no family', f"families are {', '.join(families())}")
    return made


def _unknown(words: Iterable[str]) -> list[str]:
    known = set(codes()) | set(families()) | {code.name for code in codes().values()}
    return [word for word in words if word not in known]


def families() -> list[str]:
    """The families of codes, in alphabetical order."""
    return sorted({code[:2] for code in codes()})


class Settings(msgspec.Struct, frozen=True, kw_only=True, forbid_unknown_fields=True, rename="kebab"):
    """What `[validate]` of crosswalk.toml, or `[tool.crosswalk.validate]` of pyproject.toml, may say."""

    select: tuple[str, ...] = ()
    ignore: tuple[str, ...] = ()
    layer: tuple[Layer, ...] = ()
    profile: str = ""
    known: str = ""
    waivers: str = ""
    fail_on: Literal["", "error", "warning", "note", "never"] = ""
    strict: bool = False


class Section(msgspec.Struct, frozen=True, forbid_unknown_fields=True):
    """What crosswalk.toml, or `[tool.crosswalk]` of pyproject.toml, may hold."""

    validate: Settings | None = None


def settings(folder: Path) -> Settings:
    """The settings that hold in a folder: of the nearest of the two files in it or above it; none are no settings.

    Raises one MappingError for all that makes no sense in it, with file, line and key."""
    for place in (folder.resolve(), *folder.resolve().parents):
        for name in FILES:
            if (place / name).is_file() and (found := _settings(place / name)) is not None:
                return found
    return Settings()


def _settings(path: Path) -> Settings | None:
    text = text_of(path)
    raw, where = parsed(path, text), ""
    if path.name != "crosswalk.toml":
        raw, where = raw.get("tool", {}).get("crosswalk", {}), "tool.crosswalk"
    section, mistakes = read_table(path, text, raw, Section, where)
    found = section.validate if section is not None else None
    wrong = [one.error for one in mistakes]
    for word in _unknown((*found.select, *found.ignore)) if found is not None else ():
        step = f"families are {', '.join(families())}"
        wrong.append(complaint(path, word, f'"{word}" is no code and no family', step))
    raise_all(wrong)
    if found is None:
        return Settings() if path.name == "crosswalk.toml" else None
    return _placed(found, path.parent)


def _placed(found: Settings, folder: Path) -> Settings:
    """The settings with the files that they name, from the folder of the settings. A profile may be a shipped one."""

    def placed(name: str) -> str:
        return os.path.relpath(folder / name) if name else ""

    is_file = found.profile.endswith((".toml", ".sch")) or (folder / found.profile).is_file()
    profile = placed(found.profile) if is_file else found.profile
    return msgspec.structs.replace(found, profile=profile, known=placed(found.known), waivers=placed(found.waivers))

"""Which findings count: chosen by code or family, in the command and in `pyproject.toml` or `crosswalk.toml`."""

from __future__ import annotations

import tomllib
from collections.abc import Iterable, Iterator
from pathlib import Path
from typing import Any, Literal

import msgspec

from crosswalk.errors import MappingError
from crosswalk.findings import Finding, codes

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
    known = set(codes()) | {code[:2] for code in codes()} | {code.name for code in codes().values()}
    for word in (*made.select, *made.ignore):
        if word not in known:
            raise MappingError(place, f'"{word}" is no code and no family', f"families are {', '.join(families())}")
    return made


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


def settings(folder: Path) -> Settings:
    """The settings that hold in a folder: of the nearest of the two files in it or above it; none are no settings.

    Raises MappingError, with the file and the key, where they make no sense."""
    for place in (folder.resolve(), *folder.resolve().parents):
        for name in FILES:
            if (place / name).is_file() and (table := _table(place / name)) is not None:
                return _converted(table, place / name)
    return Settings()


def _table(path: Path) -> Any:
    try:
        content = tomllib.loads(path.read_text(encoding="utf-8"))
    except (OSError, UnicodeDecodeError, tomllib.TOMLDecodeError) as error:
        raise MappingError(path, f"cannot be read: {error}", "mend that line") from error
    if path.name == "crosswalk.toml":
        return content.get("validate", {})
    return content.get("tool", {}).get("crosswalk", {}).get("validate")


def _converted(table: Any, path: Path) -> Settings:
    try:
        made = msgspec.convert(table, Settings)
    except msgspec.ValidationError as error:
        raise MappingError(path, f"[validate]: {error}", "mend that key") from error
    selection(made.select, made.ignore, str(path))
    return made

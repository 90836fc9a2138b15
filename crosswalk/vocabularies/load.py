"""Loading a vocabulary: the shipped file, and files of a house that add terms and aliases to it."""

from __future__ import annotations

import re
import tomllib
from functools import cache
from pathlib import Path

import msgspec

from crosswalk.errors import MappingError
from crosswalk.resources import resource
from crosswalk.vocabularies.fold import fold
from crosswalk.vocabularies.model import Example, Term, Vocabulary


class HouseFile(msgspec.Struct, frozen=True, kw_only=True, forbid_unknown_fields=True):
    """A house's own additions to one vocabulary: new entries, and aliases of entries that are there."""

    vocabulary: str
    source: str = ""  # what the house's own list is called; records name it as the source of its terms
    term: tuple[Term, ...] = ()
    aliases: dict[str, tuple[str, ...]] = {}  # entry: wordings of the house
    example: tuple[Example, ...] = ()


def names() -> list[str]:
    """The names of the vocabularies that the project ships."""
    return sorted(path.stem for path in resource("mappings", "vocabularies").glob("*.toml"))


@cache
def load(name: str, *extra_files: str | Path) -> Vocabulary:
    """The vocabulary of that name, with what the house's files for it add. Files for other vocabularies are passed
    over. Raises MappingError, naming file, line and key, where a file does not make sense.

    >>> load("generations").find("sub master").term
    'Submaster'
    """
    vocabulary = msgspec.convert(_parsed(resource("mappings", "vocabularies", f"{name}.toml")), Vocabulary)
    for path in extra_files:
        vocabulary = _extended(vocabulary, Path(path))
    return vocabulary


@cache
def own_terms(parser: str, *extra_files: str | Path) -> dict[str, str]:
    """The terms that the house's files add to what a parser reads, each with the name of the house's list. A detail
    under a published term is no term of its own. Raises MappingError where a file is for no vocabulary there is."""
    found: dict[str, str] = {}
    for path in map(Path, extra_files):
        name = str(_parsed(path).get("vocabulary", ""))
        if name not in names():
            raise _mistake(path, f'vocabulary: there is no "{name}", but {", ".join(names())}', _line_of(path, name))
        shipped = load(name)
        if shipped.read == parser.replace("-", "_"):
            house = _house_file(path)
            found |= {each.name: house.source for each in house.term if each.published not in shipped.by_name}
    return found


def _parsed(path: Path) -> dict[str, object]:
    try:
        return tomllib.loads(path.read_text(encoding="utf-8"))
    except (OSError, UnicodeDecodeError) as error:
        raise MappingError(
            path, f"cannot be read ({type(error).__name__})", "check the name, and save as UTF-8"
        ) from None
    except tomllib.TOMLDecodeError as error:
        raise MappingError(path, f"is not TOML: {error}", "mend this line") from None


def _extended(vocabulary: Vocabulary, path: Path) -> Vocabulary:
    raw = _parsed(path)
    if raw.get("vocabulary") != vocabulary.vocabulary and isinstance(raw.get("vocabulary"), str):
        return vocabulary
    return _merged(vocabulary, _house_file(path), path)


def _house_file(path: Path) -> HouseFile:
    try:
        return msgspec.convert(_parsed(path), HouseFile)
    except msgspec.ValidationError as error:
        raise _mistake(path, str(error), _line_of_problem(path, str(error))) from None


def _merged(vocabulary: Vocabulary, house: HouseFile, path: Path) -> Vocabulary:
    """The vocabulary with the house's entries and aliases; an alias may not mean two terms."""
    entries = {entry.name: entry for entry in vocabulary.term}
    meant = {key: entry.name for key, entry in vocabulary.index.items()}
    for entry in house.term:
        _check_entry(entry, entries, path)
        _claim((entry.name, entry.id, *entry.aliases), entry.name, meant, path)
        entries[entry.name] = entry
    for name, wordings in house.aliases.items():
        if name not in entries:
            raise _mistake(path, f'aliases: "{name}" is not a term of {vocabulary.vocabulary}', _line_of(path, name))
        _claim(wordings, name, meant, path)
        entries[name] = msgspec.structs.replace(entries[name], aliases=(*entries[name].aliases, *wordings))
    return msgspec.structs.replace(
        vocabulary, term=tuple(entries.values()), example=(*vocabulary.example, *house.example)
    )


def _check_entry(entry: Term, entries: dict[str, Term], path: Path) -> None:
    if not entry.term and not (entry.broader and entry.detail):
        raise _mistake(path, "term: has neither `term` nor `broader` with `detail`", _line_of(path, "[[term]]"))
    if entry.broader and entry.broader not in entries:
        raise _mistake(path, f'broader: "{entry.broader}" is not a term', _line_of(path, entry.broader))
    if entry.name in entries:
        raise _mistake(path, f'term: "{entry.name}" is there already; use [aliases]', _line_of(path, entry.name))


def _claim(wordings: tuple[str, ...], name: str, meant: dict[str, str], path: Path) -> None:
    for wording in filter(None, wordings):
        owner = meant.setdefault(fold(wording), name)
        if owner != name:
            raise _mistake(path, f'aliases: "{wording}" means "{owner}" already, not "{name}"', _line_of(path, wording))


def _mistake(path: Path, problem: str, line: int) -> MappingError:
    return MappingError(f"{path}:{line}" if line else path, problem, "mend this line")


def _line_of(path: Path, text: str) -> int:
    """The first line that holds the text; 0 where none does."""
    lines = path.read_text(encoding="utf-8").splitlines()
    return next((number for number, line in enumerate(lines, 1) if text in line), 0)


def _line_of_problem(path: Path, message: str) -> int:
    """The line that a validation message such as `... at $.term[1].aliases` is about."""
    unknown = re.search(r"unknown field `(\w+)`", message)
    if unknown:
        return _line_of(path, unknown[1])
    place = re.search(r"\$\.(\w+)(?:\[(\d+)\])?", message)
    if not place:
        return 0
    lines = path.read_text(encoding="utf-8").splitlines()
    starts = [n for n, line in enumerate(lines, 1) if re.match(rf"\s*\[*{place[1]}\b", line)]
    which = int(place[2] or 0)
    return starts[min(which, len(starts) - 1)] if starts else 0

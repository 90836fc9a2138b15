"""The mapping file: how the columns of a sheet become records. Read strictly; errors name file, line and key."""

from __future__ import annotations

import re
import tomllib
from pathlib import Path
from typing import Any, TypeVar

import msgspec

from crosswalk.errors import MappingError


class Lookup(msgspec.Struct, frozen=True, forbid_unknown_fields=True, rename="kebab"):
    """A second sheet of the same workbook that says what a code stands for."""

    sheet: str
    key: str
    value: str


class Contents(msgspec.Struct, frozen=True, forbid_unknown_fields=True, rename="kebab", kw_only=True):
    """What goes into an element beside its text: attributes and, for containers, the companion elements."""

    to: str = ""
    source: str | None = None
    ref: str | None = None
    version: str | None = None
    annotation: str | None = None
    type: str | None = None
    role: str | None = None
    unit: str | None = None
    attributes: dict[str, str] = {}
    track: int = 1  # which essence track of the row, for `track.*`
    public: bool = True  # false: never in an output meant for the public


class Column(Contents, frozen=True, forbid_unknown_fields=True, rename="kebab", kw_only=True):
    """What one column means. `X-from` takes X from another column of the same row; a `*` in headings pairs them up."""

    heading: str | list[str]
    read: str = "text"
    split: str | list[str] = []
    aside: str = ""
    lookup: Lookup | None = None
    role_from: str = ""
    type_from: str = ""
    unit_from: str = ""
    source_from: str = ""
    annotation_from: str = ""
    day_first: bool | None = None
    minutes_first: bool | None = None
    episode_pattern: str = ""
    fps: str = ""
    sure: bool = True  # false: a doubtful reading is carried as written, with an annotation that says so

    @property
    def headings(self) -> list[str]:
        """All spellings of the heading."""
        return [self.heading] if isinstance(self.heading, str) else self.heading

    @property
    def separators(self) -> list[str]:
        """The texts that part several values in one cell."""
        return [self.split] if isinstance(self.split, str) else self.split


class Constant(Contents, frozen=True, forbid_unknown_fields=True, rename="kebab", kw_only=True):
    """A value that every record has, or (`when-missing`) every record that has none. `{Heading}` quotes a column."""

    value: str
    when_missing: bool = False


class MarkRule(Contents, frozen=True, forbid_unknown_fields=True, rename="kebab", kw_only=True):
    """Meaning that a sheet carries by fill colour, strike-out or cell note."""

    fill: str = ""
    struck: bool = False
    note: bool = False
    heading: str = ""  # only in this column
    value: str = ""  # for a note: "" is the note's own text


class Skip(msgspec.Struct, frozen=True, forbid_unknown_fields=True, rename="kebab"):
    """Rows to leave out: those whose cell in that column is one of the texts, or matches the pattern."""

    heading: str
    reason: str
    texts: list[str] = []
    pattern: str = ""


class Example(msgspec.Struct, frozen=True, forbid_unknown_fields=True, rename="kebab"):
    """The mapping's own test: a row, and what must come of it."""

    row: dict[str, str]
    expect: dict[str, str | list[str]]


class Mapping(msgspec.Struct, frozen=True, forbid_unknown_fields=True, rename="kebab", kw_only=True):
    """One mapping file."""

    title: str = ""
    row: str = "carrier"  # what one row describes: asset, carrier or file
    sheets: list[str] = []
    header_row: int | None = None
    header_rows: int | None = None
    blank: list[str] = []
    ditto: list[str] = []
    totals: list[str] = []
    asset_key: list[str] = []
    day_first: bool | None = None
    minutes_first: bool | None = None
    episode_pattern: str = ""
    century_pivot: int | None = None
    fps: str = ""
    converters: str = ""  # a Python module beside the mapping that registers parsers
    vocabularies: list[str] = []  # the house's own terms and aliases, beside the mapping
    skip: list[Skip] = []
    column: list[Column] = []
    constant: list[Constant] = []
    mark: list[MarkRule] = []
    example: list[Example] = []
    path: str = ""  # filled by the loader


Model = TypeVar("Model")
_PLACE = re.compile(r" - at `\$(?P<path>[^`]*)`")
ROWS = ("asset", "carrier", "file")


def load_mapping(path: str | Path) -> Mapping:
    """The mapping in a file. Raises `MappingError` that names the file, the line and the key."""
    mapping = load_toml(path, Mapping)
    if mapping.row not in ROWS:
        raise complaint(path, "row", f'"{mapping.row}" is no kind of row', f"use {', '.join(ROWS)}")
    if not mapping.column:
        raise MappingError(path, "names no column", "add a [[column]] with a heading and a `to` or an `aside`")
    return msgspec.structs.replace(mapping, path=str(path))


def load_toml(path: str | Path, model: type[Model]) -> Model:
    """A TOML file as a typed model; what is wrong is said with file, line and key."""
    try:
        text = Path(path).read_text(encoding="utf-8-sig")
    except (OSError, UnicodeDecodeError) as error:
        raise MappingError(path, f"cannot be read ({error})", "give a TOML file in UTF-8") from error
    try:
        raw = tomllib.loads(text)
    except tomllib.TOMLDecodeError as error:
        raise MappingError(path, f"is not TOML: {error}", "mend that line") from error
    try:
        return msgspec.convert(raw, model)
    except msgspec.ValidationError as error:
        raise _explained(path, text, raw, str(error), model) from error


def complaint(path: str | Path, key: str, problem: str, next_step: str) -> MappingError:
    """A `MappingError` at the line of the file where `key` (or a value) stands first."""
    try:
        text = Path(path).read_text(encoding="utf-8-sig")
    except OSError:
        text = ""
    line = _line_of(text, key)
    return MappingError(f"{path}:{line}" if line else str(path), problem, next_step)


def _explained(path: str | Path, text: str, raw: Any, message: str, model: type[Any]) -> MappingError:
    unknown = re.search(r"unknown field `([^`]+)`", message)
    place = _PLACE.search(message)
    where = place["path"].lstrip(".") if place else ""
    plain = _PLACE.sub("", message).replace("Object contains", "there is an").replace("Expected", "expected")
    if unknown:
        key, line = unknown[1], _line_in(text, where, unknown[1])
        return MappingError(f"{path}:{line}", f"unknown key `{key}`{_in(where)}", _near(key, _accepted(model, where)))
    line = _line_in(text, where.rsplit(".", 1)[0], re.sub(r".*\.|\[.*", "", where))
    return MappingError(f"{path}:{line}", f"{plain}{_in(where)}", "see the description of mapping files")


def _in(where: str) -> str:
    return f" in `{where}`" if where else ""


def _near(key: str, accepted: list[str]) -> str:
    from rapidfuzz import process

    near = [name for name, score, _ in process.extract(key, accepted, limit=3) if score > 60]
    return f"did you mean {' or '.join(near)}?" if near else f"accepted are: {', '.join(accepted)}"


def _accepted(model: type[Any], where: str) -> list[str]:
    inner: Any = model
    for name in re.findall(r"[a-z][a-z-]*", where):
        field = next((f for f in msgspec.structs.fields(inner) if f.encode_name == name), None)
        options = [field.type, *getattr(field.type, "__args__", ())] if field else []
        structs = [option for option in options if isinstance(option, type) and issubclass(option, msgspec.Struct)]
        if not structs:
            return []
        inner = structs[0]
    return [field.encode_name for field in msgspec.structs.fields(inner) if field.encode_name != "path"]


def _line_in(text: str, where: str, key: str) -> int:
    table = re.match(r"(?P<name>[\w-]+)\[(?P<number>\d+)\]", where)
    start = 0
    if table:
        heads = [m.start() for m in re.finditer(rf"^\s*\[\[{table['name']}\]\]", text, re.M)]
        start = heads[int(table["number"])] if int(table["number"]) < len(heads) else 0
    return _line_of(text, key, start)


def _line_of(text: str, key: str, start: int = 0) -> int:
    found = re.compile(rf"^[^#\n]*?(?<![\w-]){re.escape(key)}(?![\w-])", re.M).search(text, start) if key else None
    position = found.end() if found else start
    return text.count("\n", 0, position) + 1 if found or start else 0

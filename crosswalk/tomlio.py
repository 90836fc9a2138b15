"""Files that people write, in TOML: read strictly into typed models; what is wrong is said with file, line and key."""

from __future__ import annotations

import re
import tomllib
from pathlib import Path
from typing import Any, TypeVar

import msgspec

from crosswalk.errors import MappingError

Model = TypeVar("Model")
_PLACE = re.compile(r" - at `\$(?P<path>[^`]*)`")


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

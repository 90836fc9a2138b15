"""Files that people write, in TOML: read strictly into typed models. All that is wrong is said at once, each mistake
with file, line, key and what would be accepted."""

from __future__ import annotations

import re
import tomllib
from collections.abc import Iterator
from pathlib import Path
from typing import Any, Literal, NamedTuple, TypeVar, get_args, get_origin

import msgspec

from crosswalk.errors import MappingError, raise_all

Model = TypeVar("Model")
ONE = {str: "a text", int: "a whole number", float: "a number", bool: "true or false", dict: "a table"}
MANY = {str: "texts", int: "whole numbers"}
EMPTY: dict[Any, Any] = {str: "", list: [], tuple: [], dict: {}}
FILLED = "path"  # filled by those who load a model; no key of a file


class Mistake(NamedTuple):
    """One mistake, and the table of the file that it stands in: `column[2]`, "" for the top."""

    table: str
    error: MappingError


def load_toml(path: str | Path, model: type[Model]) -> Model:
    """A TOML file as a typed model. Raises one `MappingError` for all that is wrong."""
    value, mistakes = read_toml(path, model)
    raise_all(one.error for one in mistakes)
    assert value is not None
    return value


def read_toml(path: str | Path, model: type[Model]) -> tuple[Model | None, list[Mistake]]:
    """A TOML file as a typed model, and the mistakes in its form; what is wrong is left out of the model, so that what
    stands in other tables can be judged. None where nothing can be made of it."""
    text = text_of(path)
    return read_table(path, text, parsed(path, text), model)


def read_table(
    path: str | Path, text: str, raw: dict[str, Any], model: type[Model], where: str = ""
) -> tuple[Model | None, list[Mistake]]:
    """The same for one table of a file, whose name is `where`. What is wrong is taken out of `raw`."""
    mistakes = list(_Walk(path, text).table(raw, model, where))
    try:
        return msgspec.convert(raw, model), mistakes
    except msgspec.ValidationError as error:
        if not mistakes:
            raise MappingError(path, str(error), "see the guide to this kind of file") from error
        return None, mistakes


def text_of(path: str | Path) -> str:
    """The text of a file that a person wrote."""
    try:
        return Path(path).read_text(encoding="utf-8-sig")
    except (OSError, UnicodeDecodeError) as error:
        raise MappingError(path, f"cannot be read ({error})", "give a TOML file in UTF-8") from error


def parsed(path: str | Path, text: str) -> dict[str, Any]:
    """What a text in TOML says. Of what is no TOML only the first mistake can be told."""
    try:
        return tomllib.loads(text)
    except tomllib.TOMLDecodeError as error:
        line = re.search(r"at line (\d+)", str(error))
        place = f"{path}:{line[1] if line else len(text.splitlines())}"
        raise MappingError(place, f"is not TOML: {error}", "mend that line") from error


def complaint(path: str | Path, key: str, problem: str, next_step: str, where: str = "") -> MappingError:
    """A `MappingError` at the line of the file where `key` (or a value) stands first, in the table of that name."""
    try:
        text = Path(path).read_text(encoding="utf-8-sig")
    except OSError:
        text = ""
    line = _line_in(text, where, key)
    return MappingError(f"{path}:{line}" if line else str(path), problem, next_step)


def near(text: str, names: list[str]) -> str:
    """A next step that offers the names most like a text."""
    from rapidfuzz import process  # late: only for a mistake

    best = [name for name, score, _ in process.extract(text, names, limit=3) if score > 60]
    return f"did you mean {' or '.join(best)}?" if best else f"accepted are: {', '.join(names)}"


class _Walk:
    """Goes through what a file says beside what a model takes. What is wrong is told, and taken out."""

    def __init__(self, path: str | Path, text: str) -> None:
        self.path, self.text = path, text

    def table(self, raw: dict[str, Any], model: Any, where: str) -> Iterator[Mistake]:
        fields = {field.encode_name: field for field in msgspec.structs.fields(model)}
        known = [name for name in fields if name != FILLED]
        for key in [key for key in raw if key not in known]:
            del raw[key]
            yield self._mistake(where, key, f"unknown key `{key}`{_in(where)}", near(key, known))
        for name, field in fields.items():
            if name in raw:
                yield from self._value(raw, name, field, where)
            elif field.required:
                yield self._mistake(where, "", f"`{name}` is missing{_in(where)}", f"it takes {_wanted(field.type)}")
                _fill(raw, name, field)

    def _value(self, raw: dict[str, Any], name: str, field: Any, where: str) -> Iterator[Mistake]:
        struct, value = _struct(field.type), raw[name]
        below = f"{where}.{name}" if where else name
        if struct is not None and isinstance(value, dict):
            yield from self.table(value, struct, below)
        elif struct is not None and isinstance(value, list) and all(isinstance(one, dict) for one in value):
            for number, one in enumerate(value):
                yield from self.table(one, struct, f"{below}[{number}]")
        try:
            msgspec.convert(raw[name], field.type)
        except msgspec.ValidationError:
            if struct is None or not isinstance(value, dict | list):
                shown = msgspec.json.encode(value, enc_hook=str).decode()[:60]
                problem = f"`{name}` may not be {shown}{_in(where)}"
                yield self._mistake(where, name, problem, f"it takes {_wanted(field.type)}")
                del raw[name]
                _fill(raw, name, field)

    def _mistake(self, where: str, key: str, problem: str, step: str) -> Mistake:
        line = _line_in(self.text, where, key) or 1
        table = where.partition(".")[0] if "[" in where else where
        return Mistake(table, MappingError(f"{self.path}:{line}", problem, step))


def _fill(raw: dict[str, Any], name: str, field: Any) -> None:
    """Something in the place of what must be there and is not, so that the rest can be read."""
    empty = next((EMPTY[one] for one in map(_plain, _options(field.type)) if one in EMPTY), None)
    if field.required and empty is not None:
        raw[name] = empty


def _options(kind: Any) -> list[Any]:
    """The types that a value may have, without None."""
    inner = get_args(kind) if get_origin(kind) not in (list, tuple, dict, Literal) else ()
    return [one for one in inner or (kind,) if one is not type(None)]


def _plain(kind: Any) -> Any:
    return get_origin(kind) or kind


def _struct(kind: Any) -> Any:
    """The model of the table, or of each of the tables, that a key takes; None where it takes none."""
    for option in _options(kind):
        inner = get_args(option)[0] if get_origin(option) in (list, tuple) else option
        if isinstance(inner, type) and issubclass(inner, msgspec.Struct):
            return inner
    return None


def _wanted(kind: Any) -> str:
    """What a key takes, in words.

    >>> _wanted(str | list[str]), _wanted(bool | None), _wanted(Literal["asset", "file"])
    ('a text or a list of texts', 'true or false', 'one of: asset, file')
    """
    return " or ".join(map(_worded, _options(kind)))


def _worded(kind: Any) -> str:
    plain, inner = _plain(kind), get_args(kind)
    if plain is Literal:
        return f"one of: {', '.join(map(str, filter(None, inner)))}"
    if plain in (list, tuple) and _plain(inner[0]) is Literal:
        return f"a list of some of: {', '.join(get_args(inner[0]))}"
    if plain in (list, tuple):
        return f"a list of {MANY.get(inner[0], 'tables')}"
    return ONE.get(plain, "a table")


def _in(where: str) -> str:
    return f" in `{where}`" if where else ""


def _line_in(text: str, where: str, key: str) -> int:
    """The line of a key or value in a table; that of the table itself where there is no key; 0 where it has none."""
    outer, _, inner = where.partition("].")
    start = _table_start(text, outer + "]" if inner else where)
    if not key and not inner:
        return text.count("\n", 0, start) + 1 if start else 0
    return _line_of(text, key or inner.rpartition(".")[2], start)


def _table_start(text: str, where: str) -> int:
    table = re.fullmatch(r"(?P<name>[\w.-]+)(?:\[(?P<number>\d+)\])?", where)
    if table is None:
        return 0
    name = re.escape(table["name"])
    head = rf"^[ \t]*\[\[{name}\]\]" if table["number"] else rf"^[ \t]*\[{name}\]"
    heads = [found.start() for found in re.finditer(head, text, re.MULTILINE)]
    number = int(table["number"] or 0)
    return heads[number] if number < len(heads) else 0


def _line_of(text: str, key: str, start: int = 0) -> int:
    found = re.compile(rf"^[^#\n]*?(?<![\w-]){re.escape(key)}(?![\w-])", re.M).search(text, start) if key else None
    position = found.end() if found else start
    return text.count("\n", 0, position) + 1 if found or start else 0

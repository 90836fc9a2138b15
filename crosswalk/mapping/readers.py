"""The parsers that a mapping names: the project's own, and those that a house registers in a module of its own."""

from __future__ import annotations

import importlib.util
from collections.abc import Callable
from pathlib import Path

from crosswalk.errors import CannotContinue, MappingError
from crosswalk.mapping.model import Mapping
from crosswalk.mapping.plan import Readers
from crosswalk.tomlio import complaint, near
from crosswalk.values.decisions import Decisions
from crosswalk.values.reading import Context, Doubt, How, Parser, Reading
from crosswalk.values.registry import PARSERS, parser, sound


def readers_of(mapping: Mapping, decisions: Decisions | None = None) -> Readers:
    """The parsers that a mapping may name, what people decided before them. Raises `MappingError` where it names one
    that does not exist."""
    return _OfMapping(mapping, decisions)


class _OfMapping:
    """The parsers by name, each with the decisions of its kind before it."""

    def __init__(self, mapping: Mapping, decisions: Decisions | None) -> None:
        self._path, self._decisions, self._own = mapping.path, decisions, _converters(mapping)

    def __call__(self, name: str, context: Context) -> Callable[[str], Reading]:
        if self._decisions is not None:
            self._decisions.asked(name.replace("-", "_"), context, self._undecided(name))
        return _guarded(name, self._parser(name), context)

    def sound(self, name: str) -> Callable[[str], bool] | None:
        plain = name.replace("-", "_")
        untouched = name not in self._own and plain in PARSERS and self._parser(name) is parser(plain)
        return sound(plain) if untouched else None

    def _parser(self, name: str) -> Parser:
        parse = self._undecided(name)
        return parse if self._decisions is None else self._decisions.applied(name.replace("-", "_"), parse)

    def _undecided(self, name: str) -> Parser:
        plain, own = name.replace("-", "_"), self._own
        if name not in own and plain not in PARSERS:
            raise complaint(self._path, name, f'there is no parser "{name}"', near(name, _names(own)))
        return own[name] if name in own else parser(plain)


def known_parsers(mapping: Mapping) -> list[str]:
    """The names that a mapping may give in `read`. Raises `MappingError` where the house's module makes no sense."""
    return _names(_converters(mapping))


def _names(own: dict[str, Parser]) -> list[str]:
    return sorted({*(known.replace("_", "-") for known in PARSERS), *own})


def _guarded(name: str, convert: Callable[[str, Context], object], context: Context) -> Callable[[str], Reading]:
    """A parser in its context, whose mistakes stop one value, and not the run."""

    def read(text: str) -> Reading:
        try:
            reading = convert(text, context)
        except CannotContinue:
            raise
        except Exception as error:  # whatever a house's own code may raise
            problem = f"the parser `{name}` failed: {type(error).__name__}: {error}"
            return Reading(None, How.UNREAD, (Doubt("MP07", problem),))
        if not isinstance(reading, Reading):
            problem = f"the parser `{name}` answers with {type(reading).__name__}, and not with a Reading"
            return Reading(None, How.UNREAD, (Doubt("MP07", problem),))
        return reading

    return read


def _converters(mapping: Mapping) -> dict[str, Parser]:
    """The parsers that a house's own module beside the mapping registers in its `PARSERS`."""
    if not mapping.converters:
        return {}
    path = Path(mapping.path).parent / mapping.converters
    spec = importlib.util.spec_from_file_location(f"crosswalk_house_{path.stem}", path)
    if spec is None or spec.loader is None or not path.is_file():
        problem = f'there is no module "{mapping.converters}" beside it'
        raise complaint(mapping.path, mapping.converters, problem, "check the name")
    module = importlib.util.module_from_spec(spec)
    try:
        spec.loader.exec_module(module)
    except Exception as error:  # whatever a house's own code may raise
        raise MappingError(path, f"cannot be loaded: {type(error).__name__}: {error}", "mend the module") from error
    found = getattr(module, "PARSERS", None)
    if not isinstance(found, dict) or not all(callable(convert) for convert in found.values()):
        step = "add PARSERS = {name: function}; see DEVELOPERS.md"
        raise MappingError(path, "registers no converters in PARSERS", step)
    return found

"""The value parsers by the names that mappings and the command line use. Loaded when first asked for."""

from __future__ import annotations

from functools import cache
from importlib import import_module

from crosswalk.values.reading import Parser

PARSERS: dict[str, tuple[str, str]] = {
    # name in a mapping: (module in crosswalk.values, function)
    "text": ("text", "read_text"),
    "date": ("dates", "read_date"),
    "duration": ("durations", "read_duration"),
    "timecode": ("timecodes", "read_timecode"),
    "carrier": ("carriers", "read_carrier"),
    "generation": ("terms", "read_generation"),
    "language": ("languages", "read_language"),
    "name": ("names", "read_name"),
    "episode": ("episodes", "read_episode"),
    "identifier": ("identifiers", "read_identifier"),
    "part": ("identifiers", "read_part"),
}


@cache
def parser(name: str) -> Parser:
    """The parser of that name; KeyError where there is none (`sorted(PARSERS)` are the names)."""
    module, function = PARSERS[name]
    found: Parser = getattr(import_module(f"crosswalk.values.{module}"), function)
    return found

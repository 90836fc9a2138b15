"""The value parsers by the names that mappings and the command line use. Loaded when first asked for."""

from __future__ import annotations

from collections.abc import Callable
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
    "asset_type": ("terms", "read_asset_type"),
    "date_type": ("terms", "read_date_type"),
    "title_type": ("terms", "read_title_type"),
    "description_type": ("terms", "read_description_type"),
    "role": ("terms", "read_role"),
    "publisher_role": ("terms", "read_publisher_role"),
    "relation": ("terms", "read_relation"),
    "instantiation_relation": ("terms", "read_instantiation_relation"),
    "media_type": ("terms", "read_media_type"),
    "file_format": ("files", "read_file_format"),
    "encoding": ("files", "read_encoding"),
    "rights": ("rights", "read_rights"),
    "language": ("languages", "read_language"),
    "name": ("names", "read_name"),
    "episode": ("episodes", "read_episode"),
    "identifier": ("identifiers", "read_identifier"),
    "part": ("identifiers", "read_part"),
}

# The parsers that leave most texts as they are: function of the module that tells of a text that it is certainly so.
SOUND = {"text": "is_sound", "identifier": "is_sound"}


@cache
def sound(name: str) -> Callable[[str], bool] | None:
    """What tells of a text that the parser of that name reads it as just itself; None where nothing does.

    >>> is_sound = sound("text")
    >>> is_sound("Tide tables"), is_sound(" Tide tables")
    (True, False)
    """
    if name not in SOUND:
        return None
    found: Callable[[str], bool] = getattr(import_module(f"crosswalk.values.{PARSERS[name][0]}"), SOUND[name])
    return found


@cache
def parser(name: str) -> Parser:
    """The parser of that name; KeyError where there is none (`sorted(PARSERS)` are the names)."""
    module, function = PARSERS[name]
    found: Parser = getattr(import_module(f"crosswalk.values.{module}"), function)
    return found

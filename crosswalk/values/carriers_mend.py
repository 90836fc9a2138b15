"""Typing of carrier wordings that is mended before they are taken apart: entities of HTML, letters that scanners read
for figures, decimals without a nought; and names of files."""

from __future__ import annotations

import html
import re

_ENTITIES = (
    *("quot", "amp", "apos", "nbsp", "prime", "frac", "rsquo", "lsquo", "ldquo", "rdquo", "rarr", "ndash", "mdash"),
    *("times", "eacute", "egrave", "agrave", "ccedil", "auml", "ouml", "uuml", "szlig", "aacute", "iacute", "oacute"),
    *("ntilde", "uacute", "frasl", "lt", "gt"),
    *("34", "38", "39", "160", "188", "189", "190", "8211", "8217", "8220", "8221", "8242", "8243", "8260"),
)
_UNIT = r"[ -]?(?:mm|cm|in|inch(?:es)?|ips|rpm|min|ft|zoll|h|hrs?|hours?|mins|\"|'|\u201d|\u2033)(?![a-z])"
_ENTITY = re.compile(r"&(?:#\d{2,5}|#x[0-9a-f]{2,5}|[a-z]{2,6}\d{0,2});", re.IGNORECASE)
_SLIPS = (
    (re.compile(r"(?<![\w.,/])[lI|](?=/[248](?!\d))"), "1"),  # l/4"
    (re.compile(rf"(?<![\w.,/])[lI|](?=\d(?:[.,]\d+)?{_UNIT})", re.IGNORECASE), "1"),  # l6mm
    (re.compile(rf"(?<![\w.,/])([13])[lI|](?=[248]{_UNIT})", re.IGNORECASE), r"\1/"),  # 3l4"
    (re.compile(rf"(?<=\d)o(?=[\do]|{_UNIT})", re.IGNORECASE), "0"),  # 3O min
    (re.compile(r"(?<![\w.,])o(?=\.\d)", re.IGNORECASE), "0"),  # O.5 inch
    (re.compile(rf"(?<![\w.,])\.(?=(?:5|25|50|75|125){_UNIT})", re.IGNORECASE), "0."),  # .5 inch
)
_EXTENSIONS = frozenset(
    {
        *("mov", "mp", "avi", "mkv", "mxf", "wav", "mpg", "mpeg", "m", "vob", "iso", "dv", "aif", "aiff", "bwf"),
        *("wmv", "ogg", "ts", "mts", "jpg", "jpeg", "tif", "tiff", "png", "pdf", "doc", "docx", "xls", "xlsx", "txt"),
        *("csv", "xml", "zip", "qt", "wma", "aac", "flac", "dpx", "srt"),
    }
)
_FILE = re.compile(
    r"(?:\b[a-z]:)?[^,;()\n]*\w\."
    r"(?:mov|mp[34g]|avi|mkv|mxf|wav|mpeg|m[42][avt]s?|vob|iso|(?<=\d\.)dv|aiff?|bwf|flac|wm[av]|ogg|ts|mts|jpe?g|tiff?"
    r"|png|pdf|docx?|xlsx?|txt|csv|xml|zip|qt|aac|dpx|srt)\b",
    re.IGNORECASE,
)
_UNITS = ('"', "in", "inch", "zoll", "h", "hr", "hrs", "hour", "hours", "min", "mins")
_DECIMALS = {f"{size}{gap}{unit}" for size in (5, 25, 50, 75, 125) for gap in ("", " ", "-") for unit in _UNITS}
# Pieces as written without which there is nothing to mend, and no name of a file.
MARKS = _EXTENSIONS | _DECIMALS | {*_ENTITIES, "l", "i", "o", "oo", "omm", "omin", "oft", "oips", "oin", "ocm"}


def mended(text: str) -> str:
    """The wording as it was meant to be typed.

    >>> [mended(text) for text in ("2&quot; QUAD", "l6mm film", 'l/4" audio', "7Omm print", ".5 inch video")]
    ['2" QUAD', '16mm film', '1/4" audio', '70mm print', '0.5 inch video']
    """
    if "&" in text:
        text = _ENTITY.sub(_character, text)
    for slip, meant in _SLIPS:
        text = slip.sub(meant, text)
    return text


def _character(entity: re.Match[str]) -> str:
    """The character of an entity, whose name may be in capitals as all the rest."""
    character = html.unescape(entity[0])
    return character if character != entity[0] else html.unescape(entity[0].lower())


def without_files(text: str) -> str:
    """The wording without names of files.

    >>> without_files("VHS, betasp_capture_001.mov")
    'VHS,'
    """
    return _FILE.sub("", text)

"""Carrier wordings in pieces: words, signs, and numbers with their units brought to one spelling."""

from __future__ import annotations

import re

from crosswalk.vocabularies.fold import plain

SECONDS, CLOCK, TIMES = "~", "^", "x"
_SIGNS = str.maketrans(
    {
        **dict.fromkeys("“”„‟″〃＂˝", '"'),
        **dict.fromkeys("‘’‚‛′´`ʹʼ", "'"),
        **dict.fromkeys("‐‑‒–—−", "-"),
        "×": "x",
        "：": ":",
    }
)
_RAW = re.compile(r"[^\W\d_]+|\d+(?:[.,:/]\d+)*|[\"',;/+&|?:]")
_MARKED = re.compile(r"[\d\"']")
_UNITS = {
    **dict.fromkeys(
        ('"', "inch", "inches", "in", "zoll", "pouce", "pouces", "pulgada", "pulgadas", "pollici", "tum"), "in"
    ),
    **dict.fromkeys(
        ("mm", "millimeter", "millimeters", "millimetre", "millimetres", "millimètres", "milímetros"), "mm"
    ),
    **dict.fromkeys(("min", "mins", "minute", "minutes", "minuten", "minutos", "minuti", "mn", "'"), "min"),
    **dict.fromkeys(
        ("h", "hr", "hrs", "hour", "hours", "stunde", "stunden", "std", "heure", "heures", "hora", "horas"), "h"
    ),
    **dict.fromkeys(("s", "sec", "secs", "second", "seconds", "sek", "sekunden", "segundos", "secondes"), "s"),
    **dict.fromkeys(("rpm", "tours", "upm", "giri", "toeren", "rev", "revoluciones"), "rpm"),
    **dict.fromkeys(("track", "tracks", "trk", "spur", "piste", "pistes", "pista", "pistas"), "track"),
    "ips": "ips",
    "cm": "cm",
    "x": "x",
}
_SECONDS = {"min": 60, "h": 3600, "s": 1}
_WIDTHS = {0.125: "1/8in", 0.25: "1/4in", 0.5: "1/2in", 0.75: "3/4in"}
_COUNTED = {1.25, 1.5, 1.75, 2.75}  # 1 3/4" is one tape of 3/4 inch
_TAPE_MM = {
    "3.8": "1/8in",
    "3.81": "1/8in",
    "6.25": "1/4in",
    "6.3": "1/4in",
    "6.35": "1/4in",
    "12.65": "1/2in",
    "12.7": "1/2in",
    "25.4": "1in",
    "50.8": "2in",
}
_DISC_CM = {"12": "4.75in", "17": "7in", "17.5": "7in", "18": "7in", "25": "10in", "30": "12in"}
_QUOTES = ('"', "'")
_LONGEST_NUMBER = 12
_REMEMBERED = 65_536
_measures: dict[tuple[str, str], str] = {}


def pieces(text: str) -> list[str]:
    """The pieces of a wording: words as they are, widths as `3/4in`, gauges as `16mm`, speeds as `78rpm`, tracks as
    `8track`, lengths of time in seconds as `3600~`, a clock that may be minutes or hours as `58:30^`.

    >>> pieces("¾″ Umatic, 60 min. (16-mm)")
    ['3/4in', 'umatic', ',', '3600~', '16mm']
    """
    if text.isascii():
        raw: list[str] = _RAW.findall(text.lower())
        return _measured(raw) if _MARKED.search(text) else raw
    return _measured(_RAW.findall(plain(text.translate(_SIGNS))))


def _measured(raw: list[str]) -> list[str]:
    """The pieces with every number joined to the unit behind it."""
    found: list[str] = []
    at, end = 0, len(raw)
    while at < end:
        piece = raw[at]
        at += 1
        if not "0" <= piece[0] <= "9":
            if piece not in _QUOTES:
                found.append(piece)
            continue
        behind = raw[at] if at < end else ""
        if piece.isdigit() and "/" in behind and behind[0] != "/":
            piece, at = f"{piece} {behind}", at + 1
            behind = raw[at] if at < end else ""
        if behind == "'" and raw[at + 1 : at + 2] == ["'"]:
            behind, at = '"', at + 1
        unit = _UNITS.get(behind, "")
        found.append(_measure(piece, unit))
        at += bool(unit)
    return found


def _measure(number: str, unit: str) -> str:
    if not unit and number.isdigit():
        return number
    known = _measures.get((number, unit))
    if known is None:
        if len(_measures) >= _REMEMBERED:
            _measures.clear()
        known = _measures[number, unit] = _canonical(number, unit)
    return known


def _canonical(number: str, unit: str) -> str:
    """One spelling for a number and its unit; the number alone where they do not make sense together."""
    if len(number) > _LONGEST_NUMBER:
        return "0"
    if ":" in number:
        return _clock(number)
    value = _value(number)
    if value is None:
        return "0"
    if unit == "in" or not unit or (unit == "min" and value < 1):
        return _width(number, value, unit)
    return _with_unit(f"{value:g}", value, unit)


def _with_unit(shown: str, value: float, unit: str) -> str:
    if unit == "mm":
        return _TAPE_MM.get(shown, f"{shown}mm")
    if unit == "rpm":
        return f"{int(value)}rpm"
    if unit == "cm":
        return _DISC_CM.get(shown, f"{shown}cm")
    if unit in _SECONDS:
        return f"{round(value * _SECONDS[unit])}{SECONDS}"
    return f"{shown}{unit}"


def _width(number: str, value: float, unit: str) -> str:
    """A width in inches; a fraction without a unit is one too, and 33 1/3 a speed."""
    if value in _COUNTED:
        value -= int(value)
    if unit or ("/" in number and value in _WIDTHS):
        return _WIDTHS.get(value, f"{value:g}in")
    return "33rpm" if int(value) == 33 and "/" in number else number


def _value(number: str) -> float | None:
    """The number; None where it is none (1/0, 3.4.87)."""
    whole, _, last = number.rpartition(" ")
    above, _, below = last.replace(",", ".").partition("/")
    try:
        return float(whole or 0) + float(above) / float(below or 1)
    except (ValueError, ZeroDivisionError):
        return None


def _clock(number: str) -> str:
    parts = [int(part) for part in number.split(":") if part.isascii() and part.isdigit()]
    if len(parts) == 2:
        return f"{parts[0]}:{parts[1]:02d}{CLOCK}"
    return f"{parts[0] * 3600 + parts[1] * 60 + parts[2]}{SECONDS}" if len(parts) > 2 else "0"

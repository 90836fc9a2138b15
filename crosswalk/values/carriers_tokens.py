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
        **dict.fromkeys("→➔➜⇒►▶", ">"),
        "←": " from ",
        **dict.fromkeys("⁄∕", "/"),
        "：": ":",
    }
)
_UNITS = {
    **dict.fromkeys(
        ('"', "''", "inch", "inches", "in", "zoll", "pouce", "pouces", "po", "pulgada", "pulgadas", "pollici", "tum"),
        "in",
    ),
    **dict.fromkeys(
        ("mm", "m/m", "millimeter", "millimeters", "millimetre", "millimetres", "millimètres", "milímetros"), "mm"
    ),
    **dict.fromkeys(("min", "mins", "minute", "minutes", "minuten", "minutos", "minuti", "mn", "'"), "min"),
    **dict.fromkeys(
        ("h", "hr", "hrs", "hour", "hours", "stunde", "stunden", "std", "heure", "heures", "hora", "horas"), "h"
    ),
    **dict.fromkeys(("s", "sec", "secs", "second", "seconds", "sek", "sekunden", "segundos", "secondes"), "s"),
    **dict.fromkeys(("rpm", "u/min", "tours", "upm", "giri", "toeren", "rev", "revoluciones"), "rpm"),
    **dict.fromkeys(("track", "tracks", "trk", "spur", "piste", "pistes", "pista", "pistas"), "track"),
    "ips": "ips",
    "cm": "cm",
    "x": "x",
}
_NUMBER = r"(?:\d{1,2}[ -]\d/\d(?!\d)|\d+(?:[.,:/]\d+)*)"  # a model's number takes no fraction: CV-2000 1/2"
_PARTS = re.compile(rf"({_NUMBER})[ -]*(.*)", re.DOTALL)


def _expression(letter: str, flags: int = 0) -> re.Pattern[str]:
    """Words, numbers with the unit behind them, and signs that mean something."""
    named = sorted(
        (unit for unit in _UNITS if unit[0].isalpha() and (not flags or unit.isascii())), key=len, reverse=True
    )
    first = "".join(sorted({form(unit[0]) for unit in named for form in (str.lower, str.upper)}))
    unit = rf"\"|''|'|(?=[{first}])(?i:{'|'.join(named)})(?!{letter})"
    return re.compile(rf"{letter}+|{_NUMBER}(?: ?-? ?(?:{unit}))?|[,;/+&|?:>]", flags)


_PIECE, _ASCII_PIECE = _expression(r"[^\W\d_]"), _expression("[A-Za-z]", re.ASCII)  # the second is faster by a quarter
_QUOTED = re.compile(r"(?<![\w'\"])\"((?=[^\W\d_])[^\"]{2,60})\"")  # "Hi8": no inch mark
_SECONDS = {"min": 60, "h": 3600, "s": 1}
_WIDTHS = {0.125: "1/8in", 0.25: "1/4in", 0.5: "1/2in", 0.75: "3/4in"}
_FRACTIONS = {"1/8", "1/4", "1/2", "3/4"}  # 2/4 is a part of four, 6/04 a date
_COUNTED = {1.25, 1.5, 1.75, 2.75}  # 1 3/4" is one tape of 3/4 inch
_TAPE_MM = {
    "3.8": "1/8in",
    "3.81": "1/8in",
    "6.25": "1/4in",
    "6.3": "1/4in",
    "6.35": "1/4in",
    "12.5": "1/2in",
    "12.65": "1/2in",
    "12.7": "1/2in",
    "25.4": "1in",
    "50.8": "2in",
}
_DISC_CM = {"12": "4.75in", "17": "7in", "17.5": "7in", "18": "7in", "25": "10in", "30": "12in"}
_LONGEST_NUMBER = 12


def pieces(text: str) -> list[str]:
    """The pieces of a wording: words as they are, widths as `3/4in`, gauges as `16mm`, speeds as `78rpm`, tracks as
    `8track`, lengths of time in seconds as `3600~`, a clock that may be minutes or hours as `58:30^`.

    >>> pieces("¾″ Umatic, 60 min. (16-mm)")
    ['3/4in', 'umatic', ',', '3600~', '16mm']
    """
    return [spelling(piece.lower()) for piece in typed_pieces(text)]


def typed_pieces(text: str) -> list[str]:
    """The pieces as they are typed; in lower case and without accents where the text is not ASCII alone."""
    ascii_only = text.isascii()
    if not ascii_only:
        text = text.translate(_SIGNS)
    if '"' in text and text.count('"') > 1:
        text = _QUOTED.sub(r" \1 ", text)
    return _ASCII_PIECE.findall(text) if ascii_only else _PIECE.findall(plain(text))


def spelling(piece: str) -> str:
    """The one spelling of a piece: numbers with their unit are brought to it, all else stays."""
    if piece[0] > "9" or piece[0] < "0" or piece.isdigit():
        return piece
    found = _PARTS.fullmatch(piece)
    return _canonical(found[1], _UNITS.get(found[2], "")) if found else piece


def _canonical(number: str, unit: str) -> str:
    """One spelling for a number and its unit; the number alone where they do not make sense together."""
    if len(number) > _LONGEST_NUMBER:
        return "0"
    if ":" in number:
        return _clock(number)
    value = _value(number)
    if value is None:
        return "0"
    if unit in _SECONDS and (value >= 1 or unit != "min"):
        return f"{round(value * _SECONDS[unit])}{SECONDS}"
    if unit == "in" or not unit or unit == "min":
        return _width(number, value, unit)
    return _with_unit(f"{value:g}", value, unit)


def _with_unit(shown: str, value: float, unit: str) -> str:
    if unit == "mm":
        return _TAPE_MM.get(shown, f"{shown}mm")
    if unit == "rpm":
        return f"{int(value)}rpm"
    if unit == "cm":
        return _DISC_CM.get(shown, f"{shown}cm")
    return f"{shown}{unit}"


def _width(number: str, value: float, unit: str) -> str:
    """A width in inches; a fraction without a unit is one too, and 33 1/3 a speed."""
    fraction = number[-3:] in _FRACTIONS
    if value in _COUNTED and fraction:
        value -= int(value)
    if unit or (fraction and value in _WIDTHS):
        return _WIDTHS.get(value, f"{value:g}in")
    return "33rpm" if int(value) == 33 and "/" in number else number


def _value(number: str) -> float | None:
    """The number; None where it is none (1/0, 3.4.87)."""
    try:
        return float(number)
    except ValueError:
        return _fraction(number)


def _fraction(number: str) -> float | None:
    whole, _, last = number.replace("-", " ").rpartition(" ")
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

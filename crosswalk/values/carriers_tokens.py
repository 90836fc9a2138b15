"""Carrier wordings in pieces: words, signs, and numbers with their units brought to one spelling."""

from __future__ import annotations

import re

from crosswalk.vocabularies.fold import plain

_SIGNS = str.maketrans(
    {**dict.fromkeys("“”„‟″〃＂˝", '"'), **dict.fromkeys("‘’‚‛′´`ʹʼ", "'"), **dict.fromkeys("‐‑‒–—−", "-"), "×": "x", "：": ":"}
)
_NUMBER = r"(?:\d{1,6}[ -])?\d{1,6}/\d{1,6}|\d{1,12}(?:[.,]\d{1,6})?"
_UNIT = (
    r"\"|''|'|inch(?:es)?|in|zoll|pouces?|pulgadas?|pollici|mm|millimet(?:er|re)s?|cm/s|cm|"
    r"min(?:utes?|s|uten|utos|uti)?|mn|hours?|hrs?|h|stunden?|std|sec(?:onds?|s)?|rpm|r\.p\.m|u/min|tours|ips|i\.p\.s|"
    r"tracks?|trk|spur|pistes?|pistas?|x"
)
_SPELLED = (
    r"(?:three[ -]quarters?|three[ -]fourths?|half|quarter|one|two|eight|sixteen|thirty[ -]?five|ein|zwei|halb|viertel|"
    r"un|une|deux|una|dos|media)[ -]?(?:inch|zoll|pouces?|pulgadas?|millimet(?:er|re)|mm|track)(?![^\W\d_])"
)
TOKEN = re.compile(
    rf"\d{{1,3}}(?::\d\d)+(?:[.,;]\d\d)?|(?:{_NUMBER})(?: ?-? ?(?:{_UNIT})(?![^\W\d_]))?|{_SPELLED}|[^\W\d_]+|[,;/+&|?():\[\]]"
)
_PARTS = re.compile(rf"(?P<number>{_NUMBER}) ?-? ?(?P<unit>.*)", re.DOTALL)
_WORDS = {
    "half": "1/2", "halb": "1/2", "media": "1/2", "quarter": "1/4", "viertel": "1/4", "threequarter": "3/4",
    "threequarters": "3/4", "threefourth": "3/4", "threefourths": "3/4", "one": "1", "ein": "1", "un": "1", "une": "1",
    "una": "1", "two": "2", "zwei": "2", "deux": "2", "dos": "2", "eight": "8", "sixteen": "16", "thirtyfive": "35",
}  # fmt: skip
_SPELLED_PARTS = re.compile(r"(.*?)[ -]?(inch|zoll|pouces?|pulgadas?|millimet(?:er|re)|mm|track)", re.DOTALL)
_WIDTHS = {0.125: "1/8in", 0.25: "1/4in", 0.5: "1/2in", 0.75: "3/4in"}
_TAPE_MM = {3.8: "1/8in", 3.81: "1/8in", 6.25: "1/4in", 6.3: "1/4in", 6.35: "1/4in", 12.65: "1/2in", 12.7: "1/2in", 25.4: "1in", 50.8: "2in"}
_DISC_CM = {12: "4.75in", 17: "7in", 17.5: "7in", 18: "7in", 25: "10in", 30: "12in"}
_LENGTHS = {"m": 60, "h": 3600, "s": 1}


def tokens(text: str) -> list[str]:
    """The pieces of a wording, as they are written, in lower case.

    >>> tokens("1½″ Umatic, 16 mm")
    ['1 1/2"', 'umatic', ',', '16 mm']
    """
    if text.isascii():
        return TOKEN.findall(text.lower())
    return TOKEN.findall(plain(text.translate(_SIGNS)))


def canonical(token: str) -> str:
    """One spelling for a piece: widths as `3/4in`, gauges as `16mm`, speeds as `78rpm`, tracks as `8track`, lengths
    of time in seconds as `3600s`; words as they are.

    >>> [canonical(piece) for piece in ('3/4"', "16 mm", "half-inch", "60 min", "33 1/3 rpm", "umatic")]
    ['3/4in', '16mm', '1/2in', '3600s', '33rpm', 'umatic']
    """
    if token[0].isdigit():
        return _clock(token) if ":" in token else _measured(token)
    spelled = _SPELLED_PARTS.fullmatch(token)
    number = _WORDS.get(re.sub(r"[ -]", "", spelled[1])) if spelled else None
    return _measured(f"{number} {spelled[2]}") if spelled and number else token


def _clock(token: str) -> str:
    parts = [int(part) for part in re.split(r"[:.,;]", token)[:3]]
    if len(parts) == 2 or ":" not in token.partition(":")[2]:
        return f"{parts[0]}:{parts[1]:02d}clock"
    return f"{parts[0] * 3600 + parts[1] * 60 + parts[2]}s"


def _measured(token: str) -> str:
    found = _PARTS.fullmatch(token)
    if found is None:
        return token
    value, unit = _value(found["number"]), found["unit"].replace(".", "")
    if not unit:
        return _bare(found["number"], value)
    if unit in ('"', "''") or (unit == "'" and value < 1) or unit.startswith(("in", "zoll", "pouce", "pulgada", "pollici")):
        return _WIDTHS.get(value, f"{value:g}in")
    return _with_unit(value, unit)


def _with_unit(value: float, unit: str) -> str:
    if unit.startswith(("mm", "milli")):
        return _TAPE_MM.get(value, f"{value:g}mm")
    if unit in ("rpm", "u/min", "tours"):
        return f"{int(value)}rpm"
    if unit in ("ips", "cm/s"):
        return f"{value:g}{unit}"
    if unit.startswith(("track", "trk", "spur", "pist")):
        return f"{value:g}track"
    if unit == "cm":
        return _DISC_CM.get(value, f"{value:g}cm")
    if unit == "x":
        return f"{value:g}x"
    return f"{value * _LENGTHS['m' if unit == chr(39) else 'h' if unit == 'stunden' or unit == 'std' else unit[0]]:g}s"


def _bare(number: str, value: float) -> str:
    """A number without a unit: a fraction of an inch is a width, 33 1/3 a speed."""
    if value in _WIDTHS and "/" in number:
        return _WIDTHS[value]
    return "33rpm" if 33.3 < value < 33.4 else number


def _value(number: str) -> float:
    """The number as a float; 0 where a fraction has no denominator."""
    if "/" not in number:
        return float(number.replace(",", "."))
    whole, _, fraction = number.replace("-", " ").rpartition(" ")
    above, below = fraction.split("/")
    return float(whole or 0) + (int(above) / int(below) if int(below) else 0.0)

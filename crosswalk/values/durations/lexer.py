"""A length as a row of tokens. Every branch of the pattern is bounded, so the work grows with the length only."""

from __future__ import annotations

import re
import unicodedata
from typing import NamedTuple

LONGEST = 400  # a text longer than this is prose, not a length

_TOKEN = re.compile(
    r"""
  (?P<space>\s+)
 |(?P<clock>(?<![\d:;])(?<!\d\.)\d{0,3}(?:[:;]\d{1,2}){1,3}(?:[.,]\d{1,9})?(?!\d|[:;]\d))
 |(?P<dotted>(?<![\d.])\d{1,3}\.\d\d\.\d\d(?:[.:;]\d\d)?(?![\d.:]*\d))
 |(?P<frac>(?<![\d/])(?:\d{1,3}\ )?\d/\d(?![\d/]))
 |(?P<num>\d{1,3}(?:,\d{3})+(?![\d,])|\d{1,9}(?:[.,]\d{1,12})?|(?<![\da-z])[.,]\d{1,4})
 |(?P<word>[^\W\d_]+)
 |(?P<mark>''|['"])
 |(?P<sym>.)
    """,
    re.VERBOSE | re.DOTALL,
)
_PLAIN = str.maketrans(
    {
        **dict.fromkeys("‐‑‒–—−", "-"),
        **dict.fromkeys("‘’‛′ʼ`´ʹ", "'"),
        **dict.fromkeys("“”„‟″ʺ", '"'),
        "×": " x ",
        "½": " 1/2",
        "¼": " 1/4",
        "¾": " 3/4",
        "⅓": " 1/3",
        "⅔": " 2/3",
        "⁄": "/",
        "：": ":",
        "≈": "~",
        "±": "~",
        "？": "?",
        "ß": "ss",
    }
)
_ELISION = re.compile(r"\b([dl])'(?=[a-z])")
_QUARTER_HOUR = re.compile(r"\b((?:drei)?viertel)(?=stunden?\b)")
_SPEED = re.compile(r"\b(u|tr?s?|tours?|cm|in)\.? ?/ ?(min|mn|s|sec|sek|sekunde)\b")  # 45 U/min, 19 cm/s
_OR_SO = re.compile(r"\b(\d{1,3})[- ]?(?:ish|odd)\b ?")
_ABBREVIATED = re.compile(r"\b(r)\. ?(p)\. ?(m)\b\.?|\b(c)/(u)\b")  # cada uno
_FORMAT_WORDS = re.compile(r"\(?\b(?:hh?:mm(?::ss(?:[:;]ff)?)?|mm?[:.]ss?(?:[:;]ff)?|h:m:s|mins?[:.]secs?|h:min)\b\)?")


class Token(NamedTuple):
    """One piece of the text: its kind, its text, whether it touches the piece before it or opens a bracket."""

    kind: str
    text: str
    glued: bool = False
    opens: bool = False


def plain(text: str) -> str:
    """The text in lower case, without accents, with one kind of each mark.

    >>> plain("Durée : 1 h 15′")
    "duree : 1 h 15'"
    """
    text = text.replace("`", "'")
    if not text.isascii():
        text = unicodedata.normalize("NFKC", text.translate(_PLAIN))
        text = "".join(c for c in unicodedata.normalize("NFD", text) if not unicodedata.combining(c))
    text = _QUARTER_HOUR.sub(r"\1 ", _ELISION.sub(r"\1 ", " ".join(text.lower().split())))
    if "ish" in text or "odd " in text:
        text = _OR_SO.sub(r"ca \1 ", text)
    if "/" in text or ". p" in text or ".p" in text:
        text = _ABBREVIATED.sub(lambda match: "".join(part or "" for part in match.groups()), text)
        text = _SPEED.sub(r"\1\2", text)
    return text


def stated_form(text: str) -> tuple[str, str]:
    """The text without a pattern such as `(mm:ss)`, and what that pattern says: "minutes", "hours" or nothing."""
    match = _FORMAT_WORDS.search(text)
    if not match:
        return text, ""
    form = match[0].strip("()")
    said = "minutes" if form[0] == "m" else "hours" if form in ("h:mm", "hh:mm", "h:min") else ""
    return text[: match.start()] + " " + text[match.end() :], said


_RATE = re.compile(
    r"(?:@|\bat\b|\bbei\b|,|\()? ?(\d\d(?:[.,]\d{1,3})?(?:n?df)?) ?(?:fps|f/s|frames?/s|frames per second|i/s)\b\)?"
)
_RATE_ALONE = re.compile(
    r"(?:(?<![a-z])(?:f|fr|frs|frames?)|[:;]\d\d[:;]\d\d[:;]\d\d) ?@ ?"
    r"((?:16|18|23[.,]976|23[.,]98|24|25|29[.,]97|30|50|59[.,]94|60)(?:n?df)?)\)?$"
)


def stated_rate(text: str) -> tuple[str, str]:
    """The text without the rate at which its frames count, and that rate: `01:27:40:12 @ 25 fps`."""
    alone = _RATE_ALONE.search(text)
    if alone:
        return text[: text.rindex("@")].strip(), alone[1].replace(",", ".")
    match = _RATE.search(text)
    if not match or not any(map(str.isdigit, text[: match.start()])):
        return text, ""
    return f"{text[: match.start()]} {text[match.end() :]}".strip(), match[1].replace(",", ".")


def tokens(text: str) -> list[Token]:
    """The tokens of a plain text, without spaces and brackets.

    >>> [token.kind for token in tokens("2 x 28:30 min")]
    ['num', 'word', 'clock', 'word']
    """
    found: list[Token] = []
    glued = opens = False
    for match in _TOKEN.finditer(text):
        kind, piece = str(match.lastgroup), match[0]
        if kind == "space":
            glued = False
        else:
            if not (kind == "sym" and piece in "()[]{}.|_"):
                found.append(Token(kind, piece, glued, opens))
                opens = False
            opens = opens or piece in "([{"
            glued = True
    return found

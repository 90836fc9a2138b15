"""A date text as a row of tokens. Every branch of the pattern is bounded, so the work grows with the length only."""

from __future__ import annotations

import re
import unicodedata
from typing import NamedTuple

from crosswalk.values.dates.rewrites import written_out
from crosswalk.values.dates.words import MONTH, NUMBERED, SHOWN, WEEKDAYS
from crosswalk.values.text import repair

LONGEST = 400  # a text longer than this is prose, not a date


class Token(NamedTuple):
    """One piece of the text: its kind, its text, and whether it touches the piece before it."""

    kind: str
    text: str
    glued: bool = False


_TOKEN = re.compile(
    r"""
  (?P<space>\s+)
 |(?P<iso>(?<!\d)\d{4}-\d\d-\d\d[t\ ]\s?\d\d:\d\d(?::\d\d(?:[.,]\d{1,9})?)?\s?
    (?:z\b|[+-]\d\d(?::?\d\d)?(?!\d))?(?!\s?[ap]\.?m|:?\d))
 |(?P<triple>(?<!\d)(?:\d{4}(?P<s1>[-/.–:])\d\d?(?P=s1)\d\d?(?!\d)|(?:3[2-9]|[4-9]\d)(?P<s3>[-/.])\d\d?(?P=s3)\d\d?(?!\d|(?P=s3)\d)
    |\d\d?(?P<s2>[-/.–])\d\d?(?P=s2)(?:\d{4}|\d\d)(?!\d|(?P=s2)\d)
    |\d\d?\.\ ?\d\d?\.\ ?(?:\d{4}|\d\d)(?![\d.])|\d\d?\ ?/\ ?\d\d?\ ?/\ ?(?:\d{4}|\d\d)(?![\d/])))
 |(?P<gap>(?<![\dx?])(?:\d{4}[-/.](?:\d\d?|\?\??|xx?)[-/.](?:\?\??|xx?)|\d{4}[-/.](?:\?\??|xx?)
    |(?:\d\d?|\?\??|xx?)[-/.](?:\?\??|xx?)[-/.](?:\d{4}|\d\d)|(?:\?\??|xx?)[-/.]\d\d?[-/.](?:\d{4}|\d\d)
    |(?:\?\??|xx?)[-/.](?:\d{4}|\d\d))(?![\w?]|[-/.]\d))
 |(?P<time>(?<![\d.])(?:\d\d?:\d\d(?::\d\d)?(?:\s?[ap]\.?m\b\.?|\s?h(?:rs?|ours)?\b|\s?uhr\b)?|\d\d?\s?[ap]\.?m\b\.?
    |\d\d?(?:\.\d\d)?\s?(?:uhr|hrs)\b|\d\d?\.\d\d\s?h\b|\d\dh\b|\d\d?h\d\d\b)
    (?:\s(?:[ecmp][sd]t|gmt|utc|bst|cet|cest|mez|mesz)\b)?(?:\s[+-]\d{4}\b)?)
 |(?P<decade>(?<![\d])(?:'?\d0'?(?:s|er)(?:\sjahren?)?|\d{3}0'?(?:s|er)(?:\sjahren?)?)(?![a-z\d]))
 |(?P<century>(?<!\d)\d\d?(?:st|nd|rd|th)\s?c\b\.?(?!\s?\d)|(?<!\d)\d\d?(?:st|nd|rd|th|\.|e|eme)?\s?(?:centur(?:y|ies)|cent\b\.?|jahrhunderts?\b|jh\b\.?|siecle\b)
    |\bsiglo\s[xvi]{1,5}\b|\b[xvi]{1,5}e?m?e?\ssiecle\b|\bc(?:19|20|21)(?:th)?\b(?=\Z))
 |(?P<count>(?<!\d)\d{1,3}\s?(?:min(?:ute)?s?|secs?|reels?|tapes?|(?:video|audio)?cassettes?|dis[ck]s?|ft|feet|mm|ips|copies|parts
    |episodes?|slides|photos?|photographs)\b)
 |(?P<ref>(?=[a-z\#]{1,20}\.?\s?(?:no\.?\s?)?\#?\s?\d)(?:(?:NUMBERED)\b\.?\s?(?:no\b\.?\s?|\#\s?)?|\#\s?)(?!(?:1[89]|20)\d\d)\d{1,4}[a-e]?
    (?:\s?(?:of|/|-|&)\s?\d{1,3})?(?!\w|[/.–-]\d|\s?(?:MONTH)\b):?|(?!(?:MONTH)\b)[a-z]{3,20}\s\d{1,3}:(?=\s))
 |(?P<open>(?<!\d)(?:1[5-9]|20)(?:\d[-_?xu–*](?![\d])|--|\?\?|__|xx|uu|––|\*\*|-\s-)(?![\dx]))
 |(?P<num>'?\d{1,2}(?:st|nd|rd|th|er|o|a|°)(?![a-z])|'?\d{1,9})
 |(?P<word>[a-z]+|[^\x00-\x7f–]+)
 |(?P<sym>.)
    """.replace("NUMBERED", "|".join(sorted(NUMBERED | SHOWN, reverse=True))).replace("MONTH", MONTH),
    re.VERBOSE | re.DOTALL | re.ASCII,
)

_DROPPED = ".'\"[](){}*:|\\"

_PLAIN = str.maketrans(
    {
        **dict.fromkeys("‐‑‒−⁃", "-"),
        **dict.fromkeys("—―⸺", "–"),
        **dict.fromkeys("‘’‛′ʼ`´", "'"),
        **dict.fromkeys("“”„‟″", '"'),
        **dict.fromkeys("\u200b\u200e\u200f\ufeff\xad\u2060", ""),
        "⁄": "/",
        "∼": "~",
        "～": "~",
        "≈": "~",
        "±": "~",
        "…": " ",
        "？": "?",
        "¿": "?",
        "©": " copyright ",
        "℗": " copyright ",
        "Þ": " ",
    }
)
_BROKEN = re.compile("[\xc2-\xf4][\x80-\xbf\u0152-\u2122]")
_SUBFIELD = re.compile(r"\\*[$‡ǂ|][a-z0-9](?=[\w\[(<-])")


def plain(text: str) -> str:
    """The text in lower case, without accents, with one kind of each mark, and without MARC subfield codes.

    >>> plain("\\\\$oTaped$d3 Août 1987")
    'taped 3 aout 1987'
    """
    if not text.isascii():
        text = _mended(text).translate(_PLAIN)
        text = "".join(_ascii(c) for c in unicodedata.normalize("NFKD", text) if not unicodedata.combining(c))
    if "$" in text or "‡" in text or "ǂ" in text:
        text = _SUBFIELD.sub(" ", text)
    return written_out(" ".join(text.lower().split()))


def _mended(text: str) -> str:
    """Without the marks of a wrong encoding: `FÃ©vrier`, `1987â€“1989`."""
    return repair(text)[0] if _BROKEN.search(text) else text


def _ascii(char: str) -> str:
    """Figures of other scripts as ours; everything else as it is."""
    return str(unicodedata.decimal(char)) if char.isdecimal() else char


def tokens(text: str) -> list[Token]:
    """The tokens of a plain text, without spaces and brackets, and without the days of the week.

    >>> [token.kind for token in tokens("fri. 3 april '87")]
    ['weekday', 'num', 'word', 'num']
    """
    found: list[Token] = []
    glued = False
    for match in _TOKEN.finditer(text):
        kind, piece = str(match.lastgroup), match[0]
        if kind == "space":
            glued = False
            continue
        if kind == "word" and piece in WEEKDAYS:
            kind = "weekday"
        if not (kind == "sym" and piece in _DROPPED):
            found.append(Token(kind, piece, glued))
        glued = piece not in _DROPPED
    return found

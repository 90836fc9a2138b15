"""Folding: the spelling under which wordings are compared. Case, accents, spaces and most punctuation do not count."""

from __future__ import annotations

import re
import unicodedata

_FRACTIONS = {
    ord(sign): f" {text}" for sign, text in zip("¼½¾⅓⅔⅛", ("1/4", "1/2", "3/4", "1/3", "2/3", "1/8"), strict=True)
}
_LETTERS = {ord("ß"): "ss", ord("ø"): "o", ord("æ"): "ae", ord("œ"): "oe", ord("ł"): "l", ord("đ"): "d"}
_UNMARKED = re.compile(r"(?<=\d)[/.:](?=\d)|[^\W_]+|\+")


def plain(text: str) -> str:
    """The text in lower case, without accents, with vulgar fractions spelled out.

    >>> plain("Vidéo ½ pouce")
    'video  1/2 pouce'
    """
    if text.isascii():
        return text.lower()
    spread = unicodedata.normalize("NFKD", text.translate(_FRACTIONS)).casefold()
    spread = unicodedata.normalize("NFKD", spread)  # folding case may put composed letters back
    return "".join(c for c in spread if not unicodedata.combining(c)).translate(_LETTERS)


def fold(text: str) -> str:
    """What remains when case, accents, spaces and punctuation do not count. Signs inside numbers stay, and so does
    `+`, since 1/2 is not 12, and DVD+R is not DVD-R.

    >>> fold("U-Matic SP"), fold("½ inch"), fold("DVD+R")
    ('umaticsp', '1/2inch', 'dvd+r')
    """
    return "".join(_UNMARKED.findall(plain(text)))

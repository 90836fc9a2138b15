"""Shorthands that are written out before a text is taken apart, so that the grammar knows one form of each.

Every pattern is bounded and is tried once over the plain text (lower case, no accents)."""

from __future__ import annotations

import re
from typing import Final

_Y: Final = r"(\d{4}|\d\d)(?![\d/])"
_D: Final = r"(0?[1-9]|[12]\d|3[01])"
_DASH: Final = r"(\s?[-–&+,]\s?|\s(?:to|and)\s)"

_REWRITES: Final[tuple[tuple[str, re.Pattern[str], str], ...]] = tuple(
    (needle, re.compile(pattern, re.ASCII), replacement)
    for needle, pattern, replacement in (
        # 1917 [i.e. 1971]: the cataloguer corrects what the item says (AACR2 1.4F2, RDA 1.7.9)
        ("i", r"\bi\.\s?e\.?,?(?=\s)", "ie"),
        # [19]87, 198[7], 19[87?]: the part in brackets is supplied
        ("[", r"\[(\d\d)\](?=\d\d\b)", r"\1"),
        ("[", r"\b(\d\d|\d{3})\[(\d{1,2})(\??)\]", r"\1\2\3"),
        # 3/13-14/87, 3/13-3/14/87, 13.-15.4.87: the year, and the month, stand once
        ("/", r"(?<![\d/])(\d\d?)/" + _D + _DASH + _D + "/" + _Y, r"\1/\2/\5 \3 \1/\4/\5"),
        ("/", r"(?<![\d/])(\d\d?)/(\d\d?)" + _DASH + r"(\d\d?)/(\d\d?)/" + _Y, r"\1/\2/\6 \3 \4/\5/\6"),
        (
            ".",
            r"(?<![\d.])(\d\d?)\.(\d\d?)\.?" + _DASH + r"(\d\d?)\.(\d\d?)\.(\d{4}|\d\d)(?!\d)",
            r"\1.\2.\6 \3 \4.\5.\6",
        ),
        (".", r"(?<![\d.])(\d\d?)\.?\s?[-–/]\s?(\d\d?)\.(\d\d?)\.(\d{4}|\d\d)(?!\d)", r"\1.\3.\4 - \2.\3.\4"),
        ("--", r"(?<=\d{4})--+", "–"),
        # 19870403T193000 (ISO 8601 basic format)
        ("t", r"(?<!\d)(\d{4})(\d\d)(\d\d)t(\d\d)(\d\d)(\d\d)(?!\d)", r"\1-\2-\3t\4:\5:\6"),
        # 04.1987, IV.1987, IV/1987: month and year
        (".", r"(?<![\d.])(\d\d?)\.(?=\d{4}(?![\d.]))", r"\1/"),
        (".", r"^(\d\d?)\.(?=(?:3[2-9]|[4-9]\d)$)", r"\1/"),
        # 1987年4月3日
        ("年", r"(\d{4})\s?年\s?(\d\d?)\s?月\s?(\d\d?)\s?日", r"\1-\2-\3"),
        ("年", r"(\d{4})\s?年\s?(\d\d?)\s?月", r"\1-\2"),
        ("年", r"(\d{4})\s?年", r"\1"),
        # title (1987), title [1987]: a comma, as in a title and year statement
        ("(", r"(?<=[a-z])\s?\((?=\d{4}[)?])", ", "),
        ("[", r"(?<=[a-z])\s?\[(?=\d{4}[\]?])", ", "),
        ("--", r"(?<=\d)--(?=\d)", " – "),
        # 1987 - ?: the other end is not known
        ("?", r"(?<=\d{4}) [-–] ?\?+$", " unknown"),
        ("?", r"^\?+ [-–] ?(?=\d{4})", "unknown "),
        # 1987 04 03; 03 04 1987; 1987. 4. 3.
        (" ", r"^(\d{4})\.? (\d\d?)\.? (\d\d?)\.?$", r"\1-\2-\3"),
        (" ", r"^(\d\d?) (\d\d?) (\d{4})$", r"\1/\2/\3"),
        # 19th-20th century
        ("th", r"\b(\d\d?)(?:st|nd|rd|th)?(\s?[-–]\s?| and | to )(?=\d\d?(?:st|nd|rd|th) c)", r"\1th century\2"),
        # title: 1987, title - 1987
        (":", r"(?<=[a-z]) ?: (?=\d{4}\b)", ", "),
        (" ", r"(?<=[a-z]) [-–] (?=\d{4}$)", ", "),
        ("prior", r"\bprior to\b", "before"),
        # from 1987 on; in or before 1987; 1987 or thereabouts
        ("o", r"(?<=\d{4}) (?:and |& )?(?:on|onwards?|forwards?)$", " –"),
        ("or", r"\b(?:in|on|at) or (?=before|after)", ""),
        ("or th", r"\bor thereabouts\b", "or so"),
        # 19870403 inside a text; 1987.04; 7.30pm
        ("", r"(?<![\d.])((?:19|20)\d\d)(0[1-9]|1[0-2])(0[1-9]|[12]\d|3[01])(?![\dt.])", r"\1-\2-\3"),
        (".", r"^(\d{4})\.(\d\d)$", r"\1-\2"),
        ("m", r"(\d\d?)\.(\d\d)\s?(?=[ap]\.?m)", r"\1:\2"),
        ("new y", r"\bnew year'?s?\b(?: eve| day)?", "newyear"),
        # 3\4\87, 1987_04_03
        ("", r"(?<!\d)(\d{1,4})([\\|_])(\d\d?)\2(\d{1,4})(?!\d)", r"\1/\3/\4"),
        # 87-May
        (
            "",
            r"^((?:3[2-9]|[4-9]\d))[-/ ]((?:jan|feb|mar|apr|may|jun|jul|aug|sep|oct|nov|dec)[a-z]*)\.?$",
            r"\2 \1",
        ),
        # cop. 1987, p1987: copyright (AACR2 1.4F6)
        ("cop", r"\bcop(?:r|yr)?\b\.?(?=\s?\d{4})", "copyright "),
        ("(c)", r"\(c\) ?(?=\d{4})", "copyright "),
        ("p", r"\bp(?=(?:19|20)\d\d\b)", "copyright "),
        # up to 1987, no later than 1987
        ("up", r"\bup to\b", "until"),
        ("year", r"\bfiscal year\b", "fiscal"),
    )
)


def written_out(text: str) -> str:
    """The plain text with its shorthands written out.

    >>> written_out("3/13-14/87"), written_out("1917 [i.e. 1971]")
    ('3/13/87 - 3/14/87', '1917 [ie 1971]')
    """
    for needle, pattern, replacement in _REWRITES:
        if needle in text:
            text = pattern.sub(replacement, text)
    return text

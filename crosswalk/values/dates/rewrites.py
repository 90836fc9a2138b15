"""Shorthands that are written out before a text is taken apart, so that the grammar knows one form of each.

Every pattern is bounded and is tried once over the plain text (lower case, no accents)."""

from __future__ import annotations

import re
from collections.abc import Callable
from typing import Final

from crosswalk.values.dates.periods import PERIODS
from crosswalk.values.dates.slips import mended_word, with_figures
from crosswalk.values.dates.words import MONTH, ORDINALS

_ORDINAL: Final = "|".join(sorted(ORDINALS, reverse=True))
_PLAUSIBLE: Final = r"(\d{4}|3[2-9]|[4-9]\d)"  # a year: two figures that are no day
_Y: Final = r"(\d{4}|\d\d)(?![\d/])"
_D: Final = r"(0?[1-9]|[12]\d|3[01])"
_DASH: Final = r"(\s?[-–&+,]\s?|\s(?:to|and|or|thru|through)\s)"

_NAMES: Final = ("jan", "feb", "mar", "apr", "may", "jun", "jul", "aug", "sep", "oct", "nov", "dec")

Replacement = str | Callable[[re.Match[str]], str]


def _days_first(match: re.Match[str]) -> str:
    """`4.-6.9.1987`: the point behind the first day is that of an ordinal, so the day comes first."""
    day, last, month, year = match.groups()
    return _worded(match[0], (day, month, year), (last, month, year))


def _days_and_months(match: re.Match[str]) -> str:
    """`4.9.-6.10.1987`: and so is the point behind the first month."""
    day, month, last, last_month, year = match.groups()
    return _worded(match[0], (day, month, year), (last, last_month, year))


def _worded(text: str, *ends: tuple[str, str, str]) -> str:
    if not all(1 <= int(month) <= len(_NAMES) for _, month, _ in ends):
        return text
    return " - ".join(f"{day} {_NAMES[int(month) - 1]} {year}" for day, month, year in ends)


def _month_of(match: re.Match[str]) -> str:
    return f"{_NAMES[int(match[2]) - 1]} {match[1]}"


def _ordinal(match: re.Match[str]) -> str:
    return f"{ORDINALS[match[0]]}"


_ROWS: tuple[tuple[str | tuple[str, ...], str, Replacement], ...] = (
    # what stands in a text that the pattern can change (any of several), the pattern, and what is put there
    # 1961- [sic], 1961-, : nothing that belongs to the date; 1961-06-13/1961-06-15 inside a text
    ("sic", r" ?[\[(]sic[\])!]*", ""),
    ("-", r"(?<=\d-)[,;.]$", ""),
    ("-", r"(\d{4}-\d\d-\d\d)/(?=\d{4}-\d\d-\d\d)", r"\1 to "),
    # d?cembre, m\ufffdrz: a letter lost in another encoding
    ("?", r"[a-z]{1,12}\?[a-z]{1,12}", mended_word),
    ("\ufffd", r"[a-z]{0,12}\ufffd[a-z]{1,12}", mended_word),
    *PERIODS,
    # 198306--, 19830600, 1983----: what a coded date leaves open; 20091114_1930
    (("--", "00", "uu"), r"^((?:1[89]|20)\d\d)(0[1-9]|1[0-2])(?:--|00|uu)$", _month_of),
    (("--", "00", "uu"), r"^((?:1[89]|20)\d\d)(?:----|0000|uuuu)$", r"\1"),
    ("", r"^((?:19|20)\d\d)(\d\d)(\d\d)[_ -]([01]\d|2[0-3])([0-5]\d)(?:[0-5]\d)?z?$", r"\1-\2-\3 \4:\5"),
    # w/c, w/e: the week that begins or ends there; box: 12 Feb 1974; annees 70-80
    ("w/", r"\bw/[cbe]\b", "week of"),
    ("week ", r"\bweek (?:ending|commencing|beginning|starting)\b", "week of"),
    (":", rf"(?<=[a-z]): (?=\d\d? (?:{MONTH})\b)", ", "),
    ("an", r"\b(?:annees|anos) '?(\d0)(?: ?[-–/] ?| et | y )'?(\d0)\b", r"19\1s - 19\2s"),
    # the Fourth of July 1976, primero de mayo, 4th day of July, 4 th July
    ((" of ", " de "), rf"\b(?:{_ORDINAL})(?= (?:day of |of |de )(?:{MONTH})\b)", _ordinal),
    ("er", rf"\b(?:premier|erster|ersten)(?= (?:{MONTH})\b)", _ordinal),
    (" day of ", r"(?<=\d(?:st|nd|rd|th)) day of ", " of "),
    ((" st", " nd", " rd", " th"), r"\b(\d\d?) (?=(?:st|nd|rd|th)\b)", r"\1"),
    # '3/4/87, as a workbook marks text; 3/4/'87; June 3, 19 87
    ("'", r"^'(?=\d\d?[/.-]\d|\d{4})", ""),
    ("'", r"(?<=[/.-])'(?=\d\d\b)", ""),
    (" ", r"(?<=\d, )(19|20) (\d\d)$", r"\1\2"),
    # 24/9-87, 24/9 1987, 24/09//1987, 24,9,1987, 9-24/87: one mark between all three
    ("", rf"^(\d\d?)([/.]){_D}(?:[ -]|, ?|//|- ){_PLAUSIBLE}$", r"\1\2\3\2\4"),
    (",", r"^(\d\d?),(\d\d?),(\d{4})$", r"\1/\2/\3"),
    ("/", rf"\b({MONTH})\b\.? {_D}(\s?[-–&+]\s?| and | to ){_D}/{_PLAUSIBLE}$", r"\1 \2\3\4, \5"),
    ("-", rf"^(0?[1-9]|1[0-2])-(1[3-9]|2\d|3[01])/{_PLAUSIBLE}$", r"\1/\2/\3"),
    ("-", rf"^(1[3-9]|2\d|3[01])-(0?[1-9]|1[0-2])/{_PLAUSIBLE}$", r"\1/\2/\3"),
    ("/", r"^(\d\d?) ?/ ?(?=\d{4}$)", r"\1/"),
    ("/", r"^(\d{4}) / (?=\d\d$)", r"\1/"),
    # 5/--/91, __/5/91; ?? May 1991, May __, 1991: a part that was left open
    ("/", r"(?:(?<=/)|^)(?:-{1,2}|_{1,2})(?=/)", "?"),
    (("??", "xx", "__", "--"), rf"(?<![\w?])(?:\?\?|xx|__|--) ?({MONTH})\b\.?,? ?(?=\d{{4}})", r"\1 ??, "),
    ("? ", rf"^\? ({MONTH})\b\.? (?=\d{{4}})", r"\1 ? "),
    (("??", "xx", "__"), r"^(\?\?|xx|__)[ /.-]\1[ ,/.-](?=\d{4}$)", r"??/??/"),
    ("_", rf"\b({MONTH})\.? __?(?=,? ?\d{{4}})", r"\1 ??"),
    ("--", rf"\b({MONTH})\.? --(?=, ?\d{{4}})", r"\1 ??"),
    ("--", r"(?<=\w) -{2,3} (?=\w)", " – "),
    # 24/9/87 2100 hrs, TX 24/9/87 2100, 24/9/87 21.00: a time of day behind the date
    ("h", r"\b([01]\d|2[0-3])([0-5]\d) ?(?=(?:h|hrs?|hours|uhr)\b)", r"\1:\2 "),
    (
        "",
        r"^((?:tx|aired?|air ?date|broadcast|transmitted|transmission)\W{1,3}\d\d?([/.-])\d\d?\2(?:\d{4}|\d\d),? )"
        r"([01]\d|2[0-3])([0-5]\d)$",
        r"\1\3:\4",
    ),
    (
        (".0", ".1", ".2", ".3", ".4", ".5"),
        r"([./-]\d\d?[./-](?:\d{4}|\d\d),? (?:at )?)([01]?\d|2[0-3])\.([0-5]\d)(?: ?(?:hrs?|h))?$",
        r"\1\2:\3",
    ),
    (":", r"\b([a-z]{3} \d\d?) (\d\d:\d\d:\d\d)(?: [a-z]{3,4})? (\d{4})$", r"\1 \3 \2"),
    # XII.1975, XII/75, 3.-4.9.1987
    (".", r"^([ivx]{2,4})\.(\d{4}|[4-9]\d)$", r"\1/\2"),
    ("/", r"^([ivx]{1,4})/(?=[4-9]\d$)", r"\1/19"),
    (".", r"(?<![\d.])(\d\d?)\.\s?[-–/]\s?(\d\d?)\.(\d\d?)\.(\d{4}|\d\d)(?!\d)", _days_first),
    (
        ".",
        r"(?<![\d.])(\d\d?)\.(\d\d?)\.\s?[-–]\s?(\d\d?)\.(\d\d?)\.(\d{4}|\d\d)(?!\d)",
        _days_and_months,
    ),
    # s/f, s.f., o.J. beside a date
    (("s.", "s/", "o.", "n/d"), r"\b(?:s[./]\s?f|s/d|n/d|o\.\s?[jd])\b\.?(?=\W*(?:\d|$|c))", " undated "),
    # 1980er- und 1990er-Jahre
    ("er- ", r"(?<=\d0er)-(?= (?:und|bis|oder) )", ""),
    # around 1980: 1980-ish; the twentieth century; the academic year; what RDA says of a missing place
    ("ish", r"\b(\d{4}s?)-?ish\b", r"ca \1"),
    ("th century", r"\b(nineteen|twentie)th(?= century)", lambda match: "19th" if match[1] == "nineteen" else "20th"),
    ("year", r"\b(?:academic|school|calendar) years?\b", "year"),
    (("season", " year"), r"\b(\d{4})/(?=\d{4} (?:season|year)\b)", r"\1-"),
    ("season", r"(?<=\bseason )(\d{4})/(?=\d{4}\b)", r"\1-"),
    ("(s)", r"(?<=[a-z])\(s\)", "s"),
    ("the ", r"\bto the (?=present)", "to "),
    ("not id", r"\b(?:place(?: of [a-z]+)?|publisher|producer|distributor) not identified\b", ""),
    ("c[", r"\bc\[(?=\d{4})", "c"),
    # in or before 1987, au plus tard en 1987, jusqu'en 1987, to 1987
    ("or ", r"\b(?:in|on|at|during) or before\b|\bbefore or (?:in|on|at|during)\b", "atlatest"),
    ("or ", r"\b(?:in|on|at|during) or after\b|\bafter or (?:in|on|at|during)\b", "atearliest"),
    ("plus t", r"\bau plus tard\b(?: en| le)?", "atlatest"),
    ("plus t", r"\bau plus tot\b(?: en| le)?", "atearliest"),
    ("tardar", r"\ba mas tardar\b", "atlatest"),
    ("jusqu", r"\bjusqu'?(?:en|au?)?\b", "until"),
    ("to", r"^to (?=\d{4}$)", "until "),
    # 1917 [i.e. 1971]: the cataloguer corrects what the item says (AACR2 1.4F2, RDA 1.7.9)
    (", i", r", (?=i\.\s?e)", " "),
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
    (".", r"(?<![\d.])(\d\d?)\.(?=\d{4}(?!\.?\d))", r"\1/"),
    (".", r"^(\d\d?)\.(?=(?:3[2-9]|[4-9]\d)$)", r"\1/"),
    # 1987年4月3日
    ("年", r"(\d{4})\s?年\s?(\d\d?)\s?月\s?(\d\d?)\s?日", r"\1-\2-\3"),
    ("年", r"(\d{4})\s?年\s?(\d\d?)\s?月", r"\1-\2"),
    ("年", r"(\d{4})\s?年", r"\1"),
    # title (1987), title [1987]: a comma, as in a title and year statement
    ("(", r"(?<=[a-z\d])\s?\((?=\d{4}[)?])", ", "),
    ("[", r"(?<=[a-z])\s?\[(?=\d{4}[\]?])", ", "),
    ("--", r"(?<=\d)--(?=\d)", " – "),
    # 1987 - ?: the other end is not known
    ("?", r"(?<=\d{4}) [-–] ?\?+$", " unknown"),
    ("?", r"^\?+ [-–] ?(?=\d{4})", "unknown "),
    # 1987 04 03; 03 04 1987; 24 4 87; 1987. 4. 3.
    (" ", r"^(\d{4})\.? (\d\d?)\.? (\d\d?)\.?$", r"\1-\2-\3"),
    (" ", rf"^(\d\d?) (\d\d?) {_PLAUSIBLE}$", r"\1/\2/\3"),
    (" - ", r"^(\d\d?) - (\d\d?) - (?=(?:\d{4}|\d\d)$)", r"\1-\2-"),
    ("-", r"^(\d{4}) ?- ?(\d\d?) ?- ?(?=\d\d?$)", r"\1-\2-"),
    # 19th-20th century
    ("th", r"\b(\d\d?)(?:st|nd|rd|th)?(\s?[-–]\s?| and | to )(?=\d\d?(?:st|nd|rd|th) c)", r"\1th century\2"),
    # title: 1987, title - 1987
    (":", r"(?<=[a-z\d]) ?: (?=\d{4}\b)", ", "),
    (" ", r"(?<=[a-z]) [-–] (?=\d{4}$)", ", "),
    ("prior", r"\bprior to\b", "before"),
    # from 1987 on; in or before 1987; 1987 or thereabouts
    (
        (" on", "ward", "later", "after", "beyond", "since"),
        r"(?<=\d{4}) (?:(?:and |& )?(?:on|onwards?|forwards?)|(?:and|&) (?:later|after|beyond|since))$",
        " –",
    ),
    ("or th", r"\bor thereabouts\b", "or so"),
    # 19870403 inside a text; 1987.04; 7.30pm
    ("", r"(?<![\d.])((?:19|20)\d\d)(0[1-9]|1[0-2])(0[1-9]|[12]\d|3[01])(?![\dt.])", r"\1-\2-\3"),
    (".", r"^(\d{4})\.(\d\d)$", r"\1-\2"),
    ("m", r"(\d\d?)\.(\d\d)\s?(?=[ap]\.?m)", r"\1:\2"),
    ("new y", r"\bnew year'?s?\b(?: eve| day)?", "newyear"),
    # 3\4\87, 1987_04_03
    (("\\", "|", "_"), r"(?<!\d)(\d{1,4})([\\|_])(\d\d?)\2(\d{1,4})(?!\d)", r"\1/\3/\4"),
    # 87-May
    ("", rf"^((?:3[2-9]|[4-9]\d))[-/ ]((?:{'|'.join(_NAMES)})[a-z]*)\.?$", r"\2 \1"),
    # cop. 1987, p1987: copyright (AACR2 1.4F6)
    ("cop", r"\bcop(?:r|yr)?\b\.?(?=\s?\d{4})", "copyright "),
    (("(p)", "(c)"), r"\([pc]\) ?(?:(?:&|and|,) ?\([pc]\) ?)?(?=\d{4})", "copyright "),
    ("copyright", r"\bcopyright ?[&,]? ?(?:c(?=\d{4})|copyright )", "copyright "),
    ("[c]", r"\[c\] ?(?=\d{4})", "c"),
    ("p", r"\bp(?=(?:19|20)\d\d\b)", "copyright "),
    # up to 1987, no later than 1987
    ("up", r"\bup to\b", "until"),
    ("year", r"\bfiscal year\b", "fiscal"),
)


def _finder(pattern: re.Pattern[str]) -> Callable[[str], re.Match[str] | None]:
    return pattern.match if pattern.pattern.startswith("^") else pattern.search  # a search would go on after the start


_REWRITES: Final = tuple(
    (needle, _finder(compiled := re.compile(pattern, re.ASCII)), compiled, replacement)
    for needles, pattern, replacement in _ROWS
    for needle in ([needles] if isinstance(needles, str) else needles)
)


def written_out(text: str) -> str:
    """The plain text with its shorthands written out.

    >>> written_out("3/13-14/87"), written_out("1917 [i.e. 1971]")
    ('3/13/87 - 3/14/87', '1917 [ie 1971]')
    """
    text = with_figures(text)
    for needle, find, pattern, replacement in _REWRITES:
        if needle in text and find(text):
            text = pattern.sub(replacement, text)
    return text

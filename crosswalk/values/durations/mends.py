"""Slips that have one repair only: letters for figures (`3O min`, `l5 min`), and a clock spread out (`28 : 45`)."""

from __future__ import annotations

import re

from crosswalk.values.durations import words

_SLIP = re.compile(r"\d[OoIl]|[OoIl][\d:/]")
_FIGURES = str.maketrans("OoIl", "0011")
_LETTERED = re.compile(
    r"(?<![^\W_xXhHmM])(?=[OoIl:.,/]{0,12}\d)(?=[\d:.,/]{0,12}[OoIl])[\dOoIl]{1,3}(?:[:.,/][\dOoIl]{1,2}){0,3}(?![\dOIl:])"
)
_CLOCK = re.compile(r"[\dOoIl]{1,3}(?::[\dOoIl]{2}){1,3}")
_DOUBTED = re.compile(r"(\d) ?(?:\?|\(\?\))\]? ?((?:min|sec|hr|hour|std|sek|mn)[a-z]{0,4}\b\.?)")
_ONES = re.compile(r"[Il]{1,3}:[\dOoIl]{2}")  # I:30 may be a part and its spot
_UNIT = re.compile(r"\s?[-.]?\s?([^\W\d_]+)|(['\"′″’”])(?=[\dOoIl]|\W|$)")

_SPREAD = re.compile(r"(?<![\w:.,/-])\d{1,3}(?: ?: ?\d\d){1,3}(?!\d| ?:)", re.ASCII)
_NUMBERS = "|".join(filter(str.isalpha, words.NUMBERS))
_SO_OFTEN = re.compile(
    rf"(^|(?<=[(:,;]) ?)(?:({'|'.join(words.SO_OFTEN)})|({_NUMBERS}) ?(?:times|mal|fois|veces)) (?=\d)"
)
_MANY_SPOTS = 24
_SIGN = re.compile(r" ?: ?")
_LAST_WORD = re.compile(r"([^\W\d_]+)\W*$")
_NEXT_WORD = re.compile(r"\W*([^\W\d_]+)")


def figures_for_letters(text: str) -> str:
    """The text with figures for letters beside figures, where the whole is then a clock or has a unit behind it.

    >>> figures_for_letters("3O min"), figures_for_letters("1:O5:30"), figures_for_letters("Tape l5, 28 min")
    ('30 min', '1:05:30', 'Tape l5, 28 min')
    """
    return _LETTERED.sub(_figured, text) if _SLIP.search(text) else text


def _figured(match: re.Match[str]) -> str:
    piece, text, after = match[0], match.string, match.end()
    unit = _UNIT.match(text, after)
    united = bool(unit) and (bool(unit[2]) or unit[1].lower() in words.UNITS) if unit else False
    behind = text[match.start() - 1 : match.start()].lower()
    smaller = bool(behind) and behind in "hm'′’"
    if smaller and not text[match.start() - 2 : match.start() - 1].isdigit():
        return piece
    last = after == len(text) or not text[after].isalnum()
    clock = bool(_CLOCK.fullmatch(piece)) and not _ONES.fullmatch(piece) and (last or united)
    return piece.translate(_FIGURES) if clock or united or (smaller and last and piece.isalnum()) else piece


def times_in_figures(text: str) -> str:
    """The plain text with `2 x` for `twice`, `zweimal` and `two times`.

    >>> times_in_figures("zweimal 30 min"), times_in_figures("two times 30 min"), times_in_figures("four times")
    ('2 x 30 min', '2 x 30 min', 'four times')
    """
    return _SO_OFTEN.sub(lambda match: f"{match[1]}{_count(match)} x ", text)


def _count(match: re.Match[str]) -> int:
    return words.SO_OFTEN.get(match[2] or "") or words.NUMBERS[match[3]]


def drawn_together(text: str) -> str:
    """The plain text with clocks whose signs have spaces around them drawn together, and `28? min` as `28 min ?`.

    >>> drawn_together("28 : 45"), drawn_together("trt: 1 : 02 : 03"), drawn_together("reel 2 : 45 min")
    ('28:45', 'trt: 1:02:03', 'reel 2 : 45 min')
    """
    if "?" in text:
        text = _DOUBTED.sub(r"\1 \2 ?", text)
    return _SPREAD.sub(_drawn, text) if ": " in text or " :" in text else text


def _drawn(match: re.Match[str]) -> str:
    """Not where a word before it names what is numbered, nor `4 :30`, which is four spots, nor `2: 45 min`."""
    signs = _SIGN.findall(match[0])
    before = _LAST_WORD.search(match.string[max(0, match.start() - 30) : match.start()])
    named = before and before[1] not in words.LABELS | words.ABOUT | words.TIMES
    if named or len(set(signs)) > 1 or signs[0] == ":":
        return match[0]
    after = _NEXT_WORD.match(match.string, match.end())
    counted = bool(after) and after[1] in words.UNITS if after else False
    few = signs[0] == " :" and int(match[0].split(" ")[0]) < _MANY_SPOTS
    if len(signs) == 1 and (few or (signs[0] != " : " and counted)):
        return match[0]
    return _SIGN.sub(":", match[0])

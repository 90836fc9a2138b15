"""Episode codes by the house's own pattern: season, episode, and the leading zeros that a spreadsheet ate."""

from __future__ import annotations

import re

from crosswalk.values.reading import Context, Doubt, How, Reading, refused

_PATTERN = re.compile(r"(S*)([^A-Za-z0-9]?)(E+)(?!.*E)")
_SPOKEN = re.compile(
    r"\s*(?:season|series|staffel|saison|temporada|s)[\s.#]*(\d{1,3})[\s,;:./-]*"
    r"(?:episode|ep|folge|episodio|no|nr|e)?[\s.#]*(\d{1,4})\s*",
    re.IGNORECASE,
)
_CROSSED = re.compile(r"\s*(\d{1,2})\s*x\s*(\d{1,3})\s*", re.IGNORECASE)
_NUMBER = re.compile(
    r"\s*(?:episode|ep|folge|show|prog(?:ram(?:me)?)?|no|nr|#)?[\s.#:]*(\d{1,12})(?:\.0+)?\s*", re.IGNORECASE
)


def read_episode(text: str, context: Context) -> Reading:
    """The episode code in the house's own form; `also` has ("season", "4") and ("episode", "23").

    The pattern holds one run of S (digits of the season) and one of E (digits of the episode); what stands before and
    between them is written as it is. Without a pattern a code that names no season stays as it is.

    >>> reading = read_episode("423", Context(episode_pattern="SSEE"))
    >>> reading.value, reading.also
    ('0423', (('season', '4'), ('episode', '23')))
    """
    wording = text.strip()
    if not re.search(r"\d", wording) or len(wording) > 60:
        return refused("ID01", f'"{wording[:40]}" holds no episode number')
    shape = _PATTERN.search(context.episode_pattern)
    named = _SPOKEN.fullmatch(wording) or _CROSSED.fullmatch(wording)
    if named:
        return _shaped(wording, (int(named[1]), int(named[2])), context.episode_pattern, shape)
    if shape is None:
        return _unshaped(wording)
    return _by_pattern(wording, context.episode_pattern, shape)


def _by_pattern(wording: str, pattern: str, shape: re.Match[str]) -> Reading:
    digits = _digits(wording, pattern, shape)
    if digits is None:
        return refused("ID01", f'"{wording}" is not of the house\'s pattern {pattern}')
    season, episode = len(shape[1]), len(shape[3])
    if len(digits) > season + episode:
        return refused("ID01", f'"{wording}" has more digits than the house\'s pattern {pattern}')
    full = digits.zfill(season + episode)
    return _shaped(wording, (int(full[:season] or 0), int(full[season:])), pattern, shape)


def _digits(wording: str, pattern: str, shape: re.Match[str]) -> str | None:
    """The digits of a code, with or without the literal parts of the pattern."""
    prefix = pattern[: shape.start()]
    bare = wording[len(prefix) :] if prefix and wording.casefold().startswith(prefix.casefold()) else wording
    if shape[2] and shape[2] in bare:
        left, _, right = bare.partition(shape[2])
        joined = left.strip() + right.strip().zfill(len(shape[3]))
        return joined if joined.isascii() and joined.isdigit() else None
    number = _NUMBER.fullmatch(bare)
    return number[1] if number and number[1].isascii() else None


def _shaped(wording: str, numbers: tuple[int, int], pattern: str, shape: re.Match[str] | None) -> Reading:
    season, episode = numbers
    also = ((("season", str(season)),) if season else ()) + (("episode", str(episode)),)
    if shape is None:
        return Reading(wording, How.EXACT, also=also)
    code = (str(season).zfill(len(shape[1])) if shape[1] else "") + shape[2] + str(episode).zfill(len(shape[3]))
    value = pattern[: shape.start()] + code + pattern[shape.end() :]
    how = How.EXACT if value == wording else How.PATTERN
    return Reading(
        value,
        how,
        _episode_doubts(wording, numbers, shape),
        "" if value == wording else f"house pattern {pattern}",
        also,
    )


def _episode_doubts(wording: str, numbers: tuple[int, int], shape: re.Match[str]) -> tuple[Doubt, ...]:
    if shape[1] and not numbers[0]:
        return (Doubt("ID02", f'"{wording}" names no season'),)
    if not numbers[1]:
        return (Doubt("ID02", f'"{wording}" would be episode 0'),)
    return ()


def _unshaped(wording: str) -> Reading:
    number = _NUMBER.fullmatch(wording)
    if number is None:
        return Reading(wording, How.EXACT)
    value = number[1]
    how = How.EXACT if value == wording else How.PATTERN
    return Reading(value, how, rule="" if value == wording else "episode number", also=(("episode", str(int(value))),))

"""Identifiers and part numbers: what a spreadsheet did to them is undone where that is certain, and told where not."""

from __future__ import annotations

import re

from crosswalk.values.reading import Context, Doubt, How, Reading, refused

_PLAIN = re.compile(r"[0-9]{1,15}|[A-Za-z][0-9A-Za-z-]{0,99}")  # nothing to mend; most identifiers
_FLOAT = re.compile(r"(\d{1,15})\.0+")
_SCIENTIFIC = re.compile(r"\d(?:[.,]\d+)?[eE]\+?\d{1,3}")
_ERROR = re.compile(r"#(?:REF!|N/A|VALUE!|NAME\?|DIV/0!|NUM!|NULL!)")
_LONGEST = 200


def read_identifier(text: str, context: Context) -> Reading:
    """An identifier as it was meant: without a spreadsheet's `.0`, apostrophe or code-39 asterisks; leading zeros stay.

    >>> read_identifier("31665.0", Context()).value, read_identifier("00117", Context()).value
    ('31665', '00117')
    """
    if is_sound(text):
        return Reading(text, How.EXACT)
    wording = " ".join(text.split())
    if not any(character.isalnum() for character in wording) or len(wording) > _LONGEST or _ERROR.fullmatch(wording):
        return refused("ID03", f'"{wording[:40]}" is no identifier')
    if _SCIENTIFIC.fullmatch(wording):
        return refused("ID04", f'"{wording}" is a number that the spreadsheet shortened; its digits are lost')
    return _mended(text, wording)


def is_sound(text: str) -> bool:
    """Whether there is certainly nothing to mend."""
    return _PLAIN.fullmatch(text) is not None


def _mended(text: str, wording: str) -> Reading:
    value, rule = wording, ""
    number = _FLOAT.fullmatch(wording)
    if number:
        value, rule = number[1], "a spreadsheet's decimal point"
    elif len(wording) > 2 and wording[0] == wording[-1] == "*":
        value, rule = wording[1:-1].strip(), "start and stop signs of a barcode"
    elif wording.startswith("'") and wording[1:].isalnum():
        value, rule = wording[1:], "a spreadsheet's apostrophe"
    how = How.EXACT if value == text else How.PATTERN
    return Reading(value, how, _rounded(value), rule or ("" if value == text else "odd spaces"))


def _rounded(value: str) -> tuple[Doubt, ...]:
    """Spreadsheets keep 15 digits of a number; a longer one that ends in zeros may have lost its last ones."""
    if len(value) > 15 and value.isdigit() and not value.startswith("0") and set(value[15:]) == {"0"}:
        return (Doubt("ID04", f'"{value}" may have lost the digits after the fifteenth'),)
    return ()


_NUMBERS = {word: number for number, group in enumerate(
    ("one first i eins un une uno una", "two second ii zwei deux dos", "three third iii drei trois tres",
     "four fourth iv vier quatre cuatro", "five fifth v fünf cinq cinco", "six sixth vi sechs seis",
     "seven vii sieben sept siete", "eight viii acht huit ocho", "nine ix neun neuf nueve", "ten x zehn dix diez",
     "eleven xi", "twelve xii"), 1) for word in group.split()}  # fmt: skip
_KIND = (
    r"(?P<kind>tape|part|pt|reel|disc|disk|cassette|cass|side|vol|volume|segment|seg|roll|can|no|nr|number|#|teil|band|"
    r"rolle|seite|partie|bobine|parte|cinta|rollo|act|box)"
)
_PART = re.compile(
    rf"(?:{_KIND})?[\s.:#-]*(?P<part>\d{{1,4}}(?:\.0+)?|[a-zäöü]+)"
    r"(?:\s*(?:/|of|von|de|out of|sur)\s*(?P<of>\d{1,4}|[a-zäöü]+))?(?:\s*(?:tapes|parts|reels|discs|cassettes))?",
    re.IGNORECASE,
)


def read_part(text: str, context: Context) -> Reading:
    """A part number: `2 of 3`, or `2` where the number of parts is not said; `also` has part, of, kind.

    >>> read_part("Tape 2 of 3", Context()).value, read_part("Reel II", Context()).value
    ('2 of 3', '2')
    """
    wording = " ".join(text.split()).strip("()[]").strip()
    found = _PART.fullmatch(wording) if len(wording) <= 60 else None
    part = _number(found["part"], found["kind"] is not None) if found else None
    if found is None or part is None:
        return refused("ID05", f'"{wording[:40]}" is no part number')
    whole = _number(found["of"], False) if found["of"] else None
    if found["of"] and whole is None:
        return refused("ID05", f'"{wording[:40]}" is no part number')
    return _part(wording, part, whole, (found["kind"] or "").lower())


def _number(text: str, named: bool) -> str | None:
    """The number as digits; a single letter (`Side A`) stays as it is where the kind of part is named."""
    word = text.lower()
    if word[0].isdigit():
        return str(int(float(word)))
    if named and len(word) == 1 and word not in "ivx":
        return word.upper()
    number = _NUMBERS.get(word)
    return None if number is None else str(number)


def _part(wording: str, part: str, whole: str | None, kind: str) -> Reading:
    also = (("part", part),) + ((("of", whole),) if whole else ()) + ((("kind", kind),) if kind else ())
    if whole and part.isdigit() and int(part) > int(whole):
        return Reading(
            None,
            How.UNREAD,
            (Doubt("ID06", f'"{wording}": part {part} of only {whole}', (f"{whole} of {part}",)),),
            also=also,
        )
    value = f"{part} of {whole}" if whole else part
    how = How.EXACT if value == wording else How.PATTERN
    return Reading(value, how, rule="" if value == wording else "part number", also=also)

"""Free text: what is broken is repaired by rules that can be named; what is merely unusual is left alone."""

from __future__ import annotations

import re
from collections.abc import Callable

from crosswalk.values.reading import NO_CONTEXT, Context, How, Reading, refused

# Nothing to look at in a text without these: any character beyond plain ASCII, control characters, doubled or outer
# spaces, an ampersand (entities), an underscore (workbook escapes). `_is_plain` passes nearly every cell before that.
_SUSPECT = re.compile(r"[^\n -~]|  | \n|\n |\A[ \n]|[ \n]\Z|&[#A-Za-z]|_x[0-9A-Fa-f]{4}_")

# XML 1.0, production 2 (Char): all other control characters, surrogates and the two non-characters are forbidden.
_FORBIDDEN = re.compile("[\x00-\x08\x0b\x0c\x0e-\x1f\ud800-\udfff\ufffe\uffff]")
_BREAKS = re.compile("\r\n?|\x0b|\x0c|\x85|\u2028|\u2029")
_ODD_SPACES = re.compile("[\t\xa0\u1680\u2000-\u200a\u202f\u205f\u3000]")
_INVISIBLE = re.compile("[\u200b\u2060\ufeff\xad]")
_EXTRA_SPACES = re.compile(" {2,}")
_WORKBOOK_ESCAPE = re.compile(r"_x([0-9A-Fa-f]{4})_")
_ENTITY = re.compile(r"&(?:amp;)?(?:#\d{1,6}|#[xX][0-9A-Fa-f]{1,5}|[A-Za-z]{2,8}\d{0,2});")

# UTF-8 read as Windows-1252 or Latin-1 starts each broken character with one of these.
_MOJIBAKE = re.compile("[\xc2-\xf4][\x80-\xbf\u0152-\u2122]")
_CODECS = ("latin-1", "windows-1252", "sloppy-windows-1252")  # with others, a repair is a guess
_C1 = re.compile("[\x80-\x9f]")


def read_text(text: str, context: Context = NO_CONTEXT) -> Reading:
    """The text, repaired where it was broken; `rule` names the repairs, joined by commas.

    >>> read_text("Tide tables").how.value
    'exact'
    >>> reading = read_text("CafÃ© at the quay ")
    >>> reading.value, reading.rule
    ('Café at the quay', 'mojibake,outer-spaces')
    """
    if is_sound(text):
        return Reading(text, How.EXACT)
    repaired, rules = repair(text)
    if not repaired:
        return refused("TX01", "there is no text here")
    return Reading(repaired, How.PATTERN if rules else How.EXACT, (), ",".join(rules))


def is_sound(text: str) -> bool:
    """Whether there is certainly nothing to mend; so it is with every piece of such a text."""
    return bool(text) and (_is_plain(text) or not _SUSPECT.search(text))


def _is_plain(text: str) -> bool:
    """Whether there is certainly nothing to look at. Asking so takes an eighth of the time of the search."""
    if not (text.isascii() and text.isprintable()) or "  " in text or "&" in text or "_x" in text:
        return False
    return text[0] != " " and text[-1] != " "


def repair(text: str) -> tuple[str, tuple[str, ...]]:
    """The repaired text and the names of the rules that changed it, in the order they were applied.

    Nothing changes without a name, and repairing twice changes nothing more.

    >>> repair("salt\\u00a0marsh;  waders")
    ('salt marsh; waders', ('odd-space', 'doubled-space'))
    """
    applied: list[str] = []
    for _ in range(4):  # a repair can lay bare another; what is still broken after four is left as it is
        before = text
        for name, rule in RULES.items():
            changed = rule(text)
            if changed != text:
                text = changed
                applied += [name] if name not in applied else []
        if text == before:
            break
    return text, tuple(applied)


def _workbook_escape(text: str) -> str:
    """`_x000D_` is how XLSX stores a control character (ECMA-376, 22.9.2.19); the escape is not what was typed."""
    return _WORKBOOK_ESCAPE.sub(_unescaped, text) if "_x" in text else text


def _unescaped(match: re.Match[str]) -> str:
    char = chr(int(match[1], 16))
    return char if char == "_" or not char.isprintable() else match[0]


def _entity(text: str) -> str:
    """`&amp;` and `&#233;` left by a web page or an earlier export."""
    from html import unescape

    return _ENTITY.sub(lambda match: unescape(match[0]), text) if "&" in text else text


def _mojibake(text: str) -> str:
    """UTF-8 that was read in another encoding, once or twice over; only where it makes the text shorter and cleaner."""
    if text.isascii() or not (_MOJIBAKE.search(text) or _C1.search(text)):
        return text
    import ftfy

    mended, steps = ftfy.fix_encoding_and_explain(text)
    trusted = all(codec in _CODECS for action, codec in steps or () if action == "encode")
    return str(mended) if steps and trusted and len(mended) <= len(text) else text


def _trim(text: str) -> str:
    return "\n".join(line.strip(" ") for line in text.strip(" \n").split("\n"))


RULES: dict[str, Callable[[str], str]] = {
    "workbook-escape": _workbook_escape,
    "mojibake": _mojibake,
    "entity": _entity,
    "line-break": lambda text: _BREAKS.sub("\n", text),
    "forbidden-character": lambda text: _FORBIDDEN.sub("", text),
    "odd-space": lambda text: _ODD_SPACES.sub(" ", text),
    "invisible-character": lambda text: _INVISIBLE.sub("", text),
    "doubled-space": lambda text: _EXTRA_SPACES.sub(" ", text),
    "outer-spaces": _trim,
}

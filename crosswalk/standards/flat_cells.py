r"""Values in the cells of flat tables: several in one cell, told apart from none and from an empty one.

Values are joined by ` | `. A backslash makes what follows it plain (`\|`, `\\`) or stands for what tables spoil
(`\r`, `\t`); `\e` is a value without text, `\0` a place without a value. A value that a spreadsheet would take for a
formula gets a backslash before its first character.
"""

from __future__ import annotations

import re
from collections.abc import Sequence

JOIN = " | "
_EMPTY, _ABSENT = r"\e", r"\0"
_SPOILT = re.compile(r"[\\|\r\t]|(?<=_)x(?=[0-9A-Fa-f]{4}_)|^[=+\-@]")  # _x000D_ is an escape of workbooks
_WRITTEN = {"\r": r"\r", "\t": r"\t"}
_ESCAPE = re.compile(r"\\(.)", re.S)
_READ = {"r": "\r", "t": "\t"}


def write_cell(values: Sequence[str | None]) -> str:
    r"""The values of one field as the text of one cell.

    >>> write_cell(["salt marsh", None, "", "a|b", "=1"])
    'salt marsh | \\0 | \\e | a\\|b | \\=1'
    >>> write_cell([]), write_cell([None]), write_cell([""])
    ('', '', '\\e')
    """
    if all(value is None for value in values):
        return ""
    return JOIN.join(_ABSENT if value is None else escape(value) for value in values)


def read_cell(text: str) -> list[str | None]:
    r"""The values in a cell.

    >>> read_cell("salt marsh | \\0 | \\e | a\\|b | \\=1")
    ['salt marsh', None, '', 'a|b', '=1']
    >>> read_cell("")
    []
    """
    return [_value(piece) for piece in text.split(JOIN)] if text else []


def escape(value: str) -> str:
    """One value as it stands in a cell."""
    return _SPOILT.sub(lambda found: _WRITTEN.get(found.group(), "\\" + found.group()), value) if value else _EMPTY


def _value(piece: str) -> str | None:
    if piece == _ABSENT:
        return None
    return "" if piece == _EMPTY else _ESCAPE.sub(lambda found: _READ.get(found.group(1), found.group(1)), piece)

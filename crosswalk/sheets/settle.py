"""What openpyxl leaves open in a workbook that it saves: the stored values of formulas, and the moments of saving."""

from __future__ import annotations

import io
import re
import zipfile
from collections.abc import Callable, Iterator
from datetime import date, datetime, time, timedelta
from typing import Any
from xml.sax.saxutils import escape

FIXED_MOMENT = (1980, 1, 1, 0, 0, 0)  # the first that a ZIP knows
UNSTORED = re.compile(rb'<c r="([A-Z]+\d+)"([^>]*)>(<f[^>]*>(?:[^<]*</f>)?)<v ?/?>(?:</v>)?</c>')
TYPE = re.compile(rb' t="[^"]*"')

Stored = dict[str, dict[bytes, tuple[bytes, bytes]]]  # by part name and cell: the type and text of a stored value


def stored_values(formulas: Any, values: Any) -> Stored:
    """The stored values of the cells of a workbook that are formulas, from the same workbook opened for values."""
    return {
        f"xl/worksheets/sheet{number}.xml": dict(_stored(sheet, values[sheet.title]))
        for number, sheet in enumerate(formulas.worksheets, 1)
    }


def _stored(formulas: Any, values: Any) -> Iterator[tuple[bytes, tuple[bytes, bytes]]]:
    for row in formulas.iter_rows():
        for cell in row:
            if cell.data_type == "f":
                value = values[cell.coordinate]
                found = _typed(value.value, value.data_type, values.parent.epoch)
                if found is not None:
                    yield cell.coordinate.encode(), found


def _typed(value: Any, data_type: str, epoch: datetime) -> tuple[bytes, bytes] | None:
    """Type and text of a stored value as a cell of the XML has them (ECMA-376 Part 1, 18.18.11)."""
    from openpyxl.utils.datetime import to_excel

    if value is None:
        return None
    if data_type == "e":
        return b"e", escape(str(value)).encode()
    if isinstance(value, bool):
        return b"b", b"%d" % value
    if isinstance(value, date | time | timedelta):
        return b"n", repr(to_excel(value, epoch)).encode()  # type: ignore[no-untyped-call]
    if isinstance(value, int | float):
        return b"n", repr(value).encode()
    return b"str", escape(str(value)).encode()


def settle(content: bytes, stored: Stored, properties: bytes) -> bytes:
    """The workbook with stored values in its formulas and with the moments that the original's properties name, so that
    the same marks give the same bytes."""
    settled = io.BytesIO()
    with zipfile.ZipFile(io.BytesIO(content)) as old, zipfile.ZipFile(settled, "w", zipfile.ZIP_DEFLATED) as new:
        for info in old.infolist():
            part = old.read(info)
            if info.filename == "docProps/core.xml":
                part = _with_moments(part, properties)
            elif stored.get(info.filename):
                part = UNSTORED.sub(_filling(stored[info.filename]), part)
            new.writestr(zipfile.ZipInfo(info.filename, FIXED_MOMENT), part, zipfile.ZIP_DEFLATED)
    return settled.getvalue()


def _filling(values: dict[bytes, tuple[bytes, bytes]]) -> Callable[[re.Match[bytes]], bytes]:
    def fill(match: re.Match[bytes]) -> bytes:
        if match[1] not in values:
            return match[0]
        kind, text = values[match[1]]
        return b'<c r="%s"%s t="%s">%s<v>%s</v></c>' % (match[1], TYPE.sub(b"", match[2]), kind, match[3], text)

    return fill


def _with_moments(part: bytes, properties: bytes) -> bytes:
    for name in (b"created", b"modified"):
        pattern = re.compile(rb"(<dcterms:%s[^>]*>)([^<]*)" % name)
        original = pattern.search(properties)
        moment = original[2] if original else b"2000-01-01T00:00:00Z"
        part = pattern.sub(lambda match, moment=moment: match[1] + moment, part)  # type: ignore[misc]
    return part

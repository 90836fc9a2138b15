"""What other standards can carry of an EDTF string, with what they lose."""

from __future__ import annotations

import re

from crosswalk.values.dates.partly import certain_part

Losses = tuple[str, ...]

_PARTS = re.compile(
    r"(?P<date>\d{4}(?:-(?:0[1-9]|1[0-2])(?:-\d\d)?)?)(?P<open>-XX(?:-XX)?|-2[1-4])?"
    r"(?:T(?P<time>\d\d:\d\d:\d\d)(?P<zone>Z|[+-]\d\d(?::\d\d)?)?)?(?P<mark>[?~%])?",
    re.ASCII,
)
_MARKS = {"?": ("uncertain",), "~": ("approximate",), "%": ("uncertain", "approximate")}
_DATATYPES = {4: "xsd:gYear", 7: "xsd:gYearMonth", 10: "xsd:date"}


def to_w3cdtf(edtf: str) -> tuple[str | None, Losses]:
    """The W3CDTF string (W3C note of 1997-09-15) and what it leaves out; None where no single date can stand for it.

    >>> to_w3cdtf("1987-04~")
    ('1987-04', ('approximate',))
    >>> to_w3cdtf("197X")
    (None, ('decade',))
    """
    match = _PARTS.fullmatch(edtf)
    if not match:
        part, lost = certain_part(edtf)
        return (part, lost) if part else (None, (_kind(edtf),))
    losses = list(_MARKS.get(match["mark"] or "", ()))
    if match["open"]:
        losses.append("season" if match["open"] in ("-21", "-22", "-23", "-24") else "unspecified part")
    if match["time"] and match["zone"]:
        return f"{match['date']}T{match['time']}{_zone(match['zone'])}", tuple(losses)
    if match["time"]:
        losses.append("time of day (W3CDTF wants its zone)")
    return match["date"], tuple(losses)


def to_xsd(edtf: str) -> tuple[str, str, Losses]:
    """The RDF datatype, the literal and the losses: an XML Schema type where one fits, otherwise `edtf:EDTF`, whole.

    >>> to_xsd("1987-04")
    ('xsd:gYearMonth', '1987-04', ())
    >>> to_xsd("1987~")
    ('edtf:EDTF', '1987~', ())
    """
    match = _PARTS.fullmatch(edtf)
    if not match or match["mark"] or match["open"]:
        return "edtf:EDTF", edtf, ()
    if match["time"]:
        return "xsd:dateTime", f"{match['date']}T{match['time']}{_zone(match['zone'] or '')}", ()
    return _DATATYPES[len(match["date"])], match["date"], ()


def to_pbcore(edtf: str) -> tuple[str, Losses]:
    """PBCore 2.1 declares its dates as plain text, so that the EDTF string goes in whole.

    >>> to_pbcore("[..1984]")
    ('[..1984]', ())
    """
    return edtf, ()


def _zone(zone: str) -> str:
    return zone if len(zone) != 3 else f"{zone}:00"


def _kind(edtf: str) -> str:
    if "/" in edtf:
        return "interval"
    if edtf[:1] in ("[", "{"):
        return "one of several dates" if edtf[0] == "[" else "several dates"
    if "XX" in edtf[:4]:
        return "century"
    return "decade" if "X" in edtf[:4] else "year of another length"

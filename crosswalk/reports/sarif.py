"""The report as SARIF 2.1.0 (OASIS), which code-review services show beside the lines of a file."""

from __future__ import annotations

import hashlib
from typing import Any
from urllib.parse import quote

from crosswalk.findings import Finding, Origin, codes
from crosswalk.reports.model import Report, as_json_text

SCHEMA = "https://docs.oasis-open.org/sarif/sarif/v2.1.0/errata01/os/schemas/sarif-schema-2.1.0.json"


def as_sarif(report: Report) -> str:
    """The report as a SARIF log with one run.

    >>> '"version": "2.1.0"' in as_sarif(Report())
    True
    """
    used = sorted({found.code for found in report.findings})
    index = {code: number for number, code in enumerate(used)}
    run = {
        "tool": {"driver": _driver(report.version, used)},
        "artifacts": [{"location": {"uri": _uri(file)}} for file in report.files],
        "columnKind": "unicodeCodePoints",
        "results": [_result(found, index[found.code]) for found in report.findings],
    }
    log = {"$schema": SCHEMA, "version": "2.1.0", "runs": [run]}
    return as_json_text(log)


def _driver(version: str, used: list[str]) -> dict[str, Any]:
    return {"name": "crosswalk", **({"version": version} if version else {}), "rules": [_rule(code) for code in used]}


def _rule(code: str) -> dict[str, Any]:
    row = codes()[code]
    return {
        "id": code,
        "name": row.name,
        "shortDescription": {"text": row.name},
        "fullDescription": {"text": row.why},
        "help": {"text": f"Not so: {row.bad}\nBut so: {row.good}\nTo mend: {row.mend}\nSource: {row.source}"},
        "defaultConfiguration": {"level": row.severity},
    }


def _result(found: Finding, rule: int) -> dict[str, Any]:
    step = f"; {found.next_step}" if found.next_step else ""
    location = _location(found.origin)
    return {
        "ruleId": found.code,
        "ruleIndex": rule,
        "level": found.severity.word,
        "message": {"text": found.message + step},
        **({"locations": [location]} if location else {}),
        "partialFingerprints": {"crosswalk/v1": fingerprint(found)},
    }


def _location(origin: Origin) -> dict[str, Any]:
    region = {name: number for name, number in (("startLine", origin.line), ("startColumn", origin.column)) if number}
    physical: dict[str, Any] = {"artifactLocation": {"uri": _uri(origin.file)}} if origin.file else {}
    if physical and "startLine" in region:
        physical["region"] = region
    names = [("element", origin.path), ("member", origin.cell), ("object", origin.record)]
    logical = [{"kind": kind, "fullyQualifiedName": name} for kind, name in names if name]
    return {
        **({"physicalLocation": physical} if physical else {}),
        **({"logicalLocations": logical} if logical else {}),
    }


def _uri(path: str) -> str:
    """A path as a URI reference. A drive letter is not taken for a scheme.

    >>> _uri("in put/ä.xml")
    'in%20put/%C3%A4.xml'
    """
    text = path.replace("\\", "/")
    if len(text) > 1 and text[1] == ":":
        text = f"/{text}"
    return quote(_bytes(text), safe="/!$&'()*+,;=@~-._")


def fingerprint(found: Finding) -> str:
    """What stays the same when lines move: code, file, record, path and value, as a digest."""
    origin = found.origin
    parts = (found.code, origin.file, origin.record or origin.cell, origin.path, found.value)
    return hashlib.sha256(_bytes("\x1f".join(parts))).hexdigest()[:32]


def _bytes(text: str) -> bytes:
    """The bytes of a text; those of a file name that is no UTF-8 as they stand on the disk."""
    try:
        return text.encode("utf-8", "surrogateescape")
    except UnicodeEncodeError:
        return text.encode("utf-8", "surrogatepass")

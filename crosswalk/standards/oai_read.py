"""Reading what a harvest brought (OAI-PMH 2.0): the records in it, whichever payload that is read here they carry, and
a finding for each that is not read. A withdrawn record is told and never read, whatever it carries."""

from __future__ import annotations

import re
from collections.abc import Iterator
from pathlib import Path
from typing import Any

from lxml import etree

from crosswalk.findings import Finding, Origin, Severity, finding
from crosswalk.records import NAMESPACE, ROOTS, Record
from crosswalk.standards import dcterms, dublin_core
from crosswalk.standards.base import ReadOptions
from crosswalk.standards.pbcore_read import read_element
from crosswalk.standards.tables.flat_xml import Reader, ended
from crosswalk.xmlio import Source, sources

_TAGS = ("{*}record", "{*}error", "{*}resumptionToken")
_NOTHING_FITS = "noRecordsMatch"  # an empty list, and no fault (OAI-PMH 2.0, 3.6)
_FLAT = {format_.tag: format_ for format_ in (dublin_core.FORMAT, dcterms.FORMAT)}
_SPACES = re.compile(r"\s+")


def read(path: Path, options: ReadOptions) -> Iterator[Record | Finding]:
    """The records in a file, and what there is to say about those that are none."""
    for source in sources(path):
        yield from _Harvest(source, options).read()


class _Harvest:
    """One answer of the protocol, one static repository, or one record out of either."""

    def __init__(self, source: Source, options: ReadOptions) -> None:
        self._source, self._options, self._told = source, options, False
        self._readers: dict[str, Reader] = {}

    def read(self) -> Iterator[Record | Finding]:
        """Everything in it that is a record, an error or a sign that more is to come."""
        kinds = {"record": self._record, "error": self._error, "resumptionToken": self._token}
        for element in ended(self._source, self._options, _TAGS):
            if _is_ours(element):
                yield from kinds[_local(element)](element)
                element.clear(keep_tail=True)
        if not self._told:
            yield self._finding("OA06", None, "there is no record in it")
        for reader in self._readers.values():
            yield from reader.languages(self._source)

    def _record(self, record: Any) -> Iterator[Record | Finding]:
        self._told = True
        name, payloads = _identifier(record), _payloads(record)
        status = "".join(header.get("status", "") for header in _children(record, "header")).strip()
        if status.lower() == "deleted":
            yield self._withdrawn(record, name, bool(payloads))
        elif status:
            yield self._unread(record, f"{name} has the status {status}, which the protocol does not know")
        elif not payloads:
            yield self._unread(record, f"{name} carries no metadata")
        else:
            for payload in payloads:
                yield from self._payload(payload, name)

    def _withdrawn(self, record: Any, name: str, carries: bool) -> Finding:
        if carries:
            message = f"{name} is withdrawn and carries metadata all the same; none of it is read"
            return self._finding("OA01", record, message, name)
        return self._finding("OA02", record, f"{name} is withdrawn", name)

    def _payload(self, payload: Any, name: str) -> Iterator[Record | Finding]:
        found = etree.QName(payload)
        if payload.tag in _FLAT:
            yield from self._flat(str(payload.tag)).record(payload, self._source.name)
        elif found.localname in ROOTS and found.namespace == NAMESPACE:
            yield from read_element(payload, self._source.name, self._options)
        else:
            what = f"{found.localname} in the namespace {found.namespace or 'without a name'}"
            yield self._unread(payload, f"{name} is {what}, which is not read here")

    def _flat(self, tag: str) -> Reader:
        if tag not in self._readers:
            self._readers[tag] = Reader(_FLAT[tag], self._options)
        return self._readers[tag]

    def _unread(self, element: Any, message: str) -> Finding:
        return self._finding("OA03", element, message)

    def _error(self, error: Any) -> Iterator[Finding]:
        self._told = True
        code, said = error.get("code", ""), _text(error)
        severity = Severity.WARNING if code == _NOTHING_FITS else None
        message = f"the repository answered {code or 'with an error'}" + (f": {said}" if said else "")
        yield self._finding("OA04", error, message, code, severity)

    def _token(self, token: Any) -> Iterator[Finding]:
        if said := _text(token):
            yield self._finding("OA05", token, "the list goes on in a further answer", said)

    def _finding(
        self, code: str, element: Any, message: str, value: str = "", severity: Severity | None = None
    ) -> Finding:
        line = 0 if element is None else int(element.sourceline or 0)
        return finding(code, Origin(file=self._source.name, line=line), message, value=value[:200], severity=severity)


def _is_ours(element: Any) -> bool:
    """Whether an element is the protocol's; a payload may have elements of the same names. A record is known by its
    header, so that one without the namespace is not taken for a live one, or for nothing."""
    if any(_local(above) == "metadata" for above in element.iterancestors()):
        return False
    return _local(element) != "record" or bool(_children(element, "header") or _children(element, "metadata"))


def _children(element: Any, name: str) -> list[Any]:
    return [child for child in element.iterchildren(etree.Element) if _local(child) == name]


def _payloads(record: Any) -> list[Any]:
    return [payload for metadata in _children(record, "metadata") for payload in metadata.iterchildren(etree.Element)]


def _identifier(record: Any) -> str:
    found = [_text(each) for header in _children(record, "header") for each in _children(header, "identifier")]
    return next(filter(None, found), "a record without identifier")


def _text(element: Any) -> str:
    return _SPACES.sub(" ", "".join(element.itertext())).strip()


def _local(element: Any) -> str:
    return str(etree.QName(element).localname)

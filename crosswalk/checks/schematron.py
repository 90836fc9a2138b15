"""Profiles in ISO Schematron: a user's `.sch` works as it is, through lxml's own implementation (XSLT 1.0).

Each record is checked as a document of its own, so that a collection of any size streams; a rule whose context is the
collection therefore never fires.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from pathlib import Path
from typing import Any, cast

from lxml import etree

from crosswalk.checks.place import Place
from crosswalk.checks.stream import line_of
from crosswalk.checks.tree import tree_of
from crosswalk.errors import MappingError
from crosswalk.findings import Finding, Origin, Severity, finding

SVRL = "http://purl.oclc.org/dsdl/svrl"
_STEP = re.compile(r"/\*\[local-name\(\)='([^']*)'(?: and namespace-uri\(\)='([^']*)')?\](?:\[(\d+)\])?")
SCHEMATRON = "http://purl.oclc.org/dsdl/schematron"
_ROLES = {  # what `role` or `flag` of an assert may say; common practice, no source
    "fatal": Severity.ERROR,
    "error": Severity.ERROR,
    "warning": Severity.WARNING,
    "warn": Severity.WARNING,
    "caution": Severity.WARNING,
    "info": Severity.NOTE,
    "information": Severity.NOTE,
    "note": Severity.NOTE,
    "hint": Severity.NOTE,
}


class Schematron:
    """One Schematron schema, compiled. Not shared between threads or processes: each makes its own.

    `phase` names the phase to check; "" checks all patterns. Raises MappingError where the file does not compile.
    The rules may read neither files nor the network."""

    def __init__(self, path: Path, phase: str = "") -> None:
        document = _parsed(path)
        self.title = (document.getroot().findtext(f"{{{SCHEMATRON}}}title") or path.name).strip()
        self._transform = _compiled(document, path, phase)

    def check(self, place: Place) -> list[Finding]:
        """What the rules find in the element of a place. Where an XPath fails on it, that is the one finding."""
        if place.element is None:
            return []
        try:
            report = self._transform(place.element).getroot()
        except (etree.XSLTApplyError, etree.XPathError) as error:
            return [finding("PF08", place.at(), f"a rule could not be evaluated: {_sentence(error)}")]
        return list(_findings(report, place))


def _parsed(path: Path) -> Any:
    try:
        return etree.parse(str(path), etree.XMLParser(resolve_entities=False, no_network=True, load_dtd=False))
    except OSError as error:
        raise MappingError(path, "cannot be read", "check the name") from error
    except etree.XMLSyntaxError as error:
        raise MappingError(
            f"{path}:{error.lineno}", f"is not well-formed XML: {error.msg}", "mend this line"
        ) from error


def _compiled(document: Any, path: Path, phase: str) -> etree.XSLT:
    from lxml import isoschematron  # type: ignore[attr-defined]  # late: it loads four stylesheets

    binding = document.getroot().get("queryBinding", "xslt")
    if binding not in ("xslt", "xpath"):
        raise MappingError(
            path, f'its query binding is "{binding}"', "write the rules in XPath 1.0 (queryBinding xslt)"
        )
    for number, pattern in enumerate(document.iter(f"{{{SCHEMATRON}}}pattern")):
        if pattern.get("is-a") and not pattern.get("id"):
            pattern.set("id", f"instance-{number}")  # or lxml's stylesheet leaves its parameters unexpanded
    options: dict[str, Any] = {"phase": phase} if phase else {}
    try:
        made = isoschematron.Schematron(document, store_xslt=True, **options)
        return etree.XSLT(made.validator_xslt, access_control=cast(Any, etree.XSLTAccessControl).DENY_ALL)
    except (etree.XSLTError, etree.SchematronError) as error:
        raise MappingError(path, f"does not compile: {_sentence(error)}", "mend the rule that it names") from error


def _sentence(error: Exception) -> str:
    """What an engine says, on one line."""
    log = getattr(error, "error_log", None)
    words = [str(entry.message) for entry in log or ()][:2]
    return " ".join("; ".join(words or [str(error)]).split())[:300]


def _findings(report: etree._Element, place: Place) -> Iterator[Finding]:
    for result in report.iter(f"{{{SVRL}}}failed-assert", f"{{{SVRL}}}successful-report"):
        code = "PF06" if str(result.tag).endswith("failed-assert") else "PF07"
        steps = [_text(step) for step in result.iter(f"{{{SVRL}}}diagnostic-reference")]
        word = (result.get("role") or result.get("flag") or "").lower()
        test = result.get("id") or result.get("test") or ""
        text = _text(result.find(f"{{{SVRL}}}text")) or f"the rule {test} is not met"
        origin = _origin(place, result.get("location") or "")
        yield finding(code, origin, text, value=test[:200], next_step=" ".join(steps), severity=_ROLES.get(word))


def _text(element: etree._Element | None) -> str:
    return "" if element is None else " ".join("".join(map(str, element.itertext())).split())


def _origin(place: Place, location: str) -> Origin:
    """The origin of what a location of the report points to, which counts from the record as the root."""
    element = place.element
    assert element is not None  # `check` has looked
    node = element
    for name, namespace, number in _STEP.findall(location)[1:]:
        alike = list(node.iterchildren(f"{{{namespace}}}{name}" if namespace else name))
        if int(number or 1) > len(alike):
            break
        node = alike[int(number or 1) - 1]
    path = place.whole(tree_of(element).path(node))
    return Origin(file=place.file, line=line_of(node), path=path, record=place.record)

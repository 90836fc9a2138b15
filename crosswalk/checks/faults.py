"""What two engines say about a schema fault, as one thing: libxml2 judges all records, xmlschema explains failures."""

from __future__ import annotations

import re
from functools import cache, lru_cache
from typing import Any

import msgspec
from lxml import etree

from crosswalk.checks.stream import line_of
from crosswalk.records import ROOTS, shape

_QUALIFIED = re.compile(r"\{[A-Za-z][\w+.-]*:[^{}\s]*\}")  # a namespace, not a quantifier of a pattern
_VALUE = re.compile(r"(?:The value |: )'(.*?)' is not ", re.DOTALL)
_ATTRIBUTE = re.compile(r"attribute '([^']+)'")
_EXPECTED = re.compile(r"Expected is (?:one of )?\( (.*?) \)\.", re.DOTALL)

LIBXML2 = {  # the rule of XML Schema part 1 that an error names, and the code it means here
    "SCHEMAV_ELEMENT_CONTENT": "SC02",
    "SCHEMAV_CVC_COMPLEX_TYPE_4": "SC04",
    "SCHEMAV_CVC_COMPLEX_TYPE_3_2_1": "SC05",
    "SCHEMAV_CVC_COMPLEX_TYPE_3_2_2": "SC05",
    "SCHEMAV_CVC_ELT_1": "SC07",
    "SCHEMAV_CVC_COMPLEX_TYPE_2_1": "SC08",
    "SCHEMAV_CVC_COMPLEX_TYPE_2_2": "SC08",
    "SCHEMAV_CVC_COMPLEX_TYPE_2_3": "SC08",
    "SCHEMAV_CVC_TYPE_3_1_2": "SC08",
}
XMLSCHEMA = (  # what a reason of xmlschema says, and the code it means here
    (re.compile(r"missing required attribute '([^']+)'"), "SC04"),
    (re.compile(r"'([^']+)' attribute not allowed"), "SC05"),
    (re.compile(r"is not an element of the schema"), "SC07"),
    (re.compile(r"character data between|simple content element can't have child|empty content|must be empty"), "SC08"),
)


class Fault(msgspec.Struct, frozen=True):
    """One fault: its code, the element that it is about, and an attribute, a value, what was wanted."""

    code: str
    element: etree._Element
    attribute: str = ""
    value: str = ""
    wanted: tuple[str, ...] = ()
    said: str = ""  # the engine's own words, where none of ours fit

    @property
    def line(self) -> int:
        """The line of the element."""
        return line_of(self.element)

    @property
    def key(self) -> tuple[str, str, str]:
        """What makes two faults the same one, whichever engine found them."""
        about = "content" if self.code in ("SC02", "SC03") else self.code
        return about, positions(self.element), self.attribute


@lru_cache(maxsize=4096)
def local(tag: object) -> str:
    """The name without its namespace.

    >>> local("{http://example.org/}title")
    'title'
    """
    return _QUALIFIED.sub("", str(tag))


def path_of(element: etree._Element, record: etree._Element) -> str:
    """The path of an element below the record that holds it, with a number where there are several of the name.

    >>> root = etree.fromstring("<a><b/><b><c/></b></a>")
    >>> path_of(root[1][0], root)
    'b[2]/c'
    """
    steps: list[str] = []
    here: etree._Element | None = element
    while here is not None and here is not record:
        steps.append(local(here.tag) + _number(here))
        here = here.getparent()
    return "/".join(reversed(steps))


def _number(element: etree._Element) -> str:
    before = sum(1 for _ in element.itersiblings(element.tag, preceding=True))
    several = before or next(element.itersiblings(element.tag), None) is not None
    return f"[{before + 1}]" if several else ""


def positions(element: etree._Element) -> str:
    """Where an element stands in its tree, as numbers."""
    steps = [str(sum(1 for _ in step.itersiblings(preceding=True))) for step in (element, *element.iterancestors())]
    return "/".join(steps)


def from_libxml2(record: etree._Element, error: etree._LogEntry) -> Fault:
    """The fault that an entry of libxml2's log about this record means."""
    element = _walk(record, error.path or "")
    message = error.message or ""
    attribute = _first(_ATTRIBUTE, message)
    code = LIBXML2.get(error.type_name, "SC06" if _first(_VALUE, message) else "SC09")
    wanted = tuple(local(name.strip()) for name in _first(_EXPECTED, message).split(",") if name.strip())
    if code == "SC02":
        code, wanted = _content(element, wanted, is_end="Missing child" in message)
    return Fault(code, element, attribute, _first(_VALUE, message), wanted, local(message))


def from_xmlschema(error: Any) -> Fault:  # xmlschema has no types of its own that mypy can follow
    """The fault that an error of xmlschema about an lxml element means."""
    reason, element = str(error.reason), error.elem
    if hasattr(error, "expected"):
        return _children(error)
    for pattern, code in XMLSCHEMA:
        if found := pattern.search(reason):
            return Fault(code, element, local(found[1]) if pattern.groups else "", said=reason)
    attribute = _first(_ATTRIBUTE, reason)
    value = error.obj if isinstance(error.obj, str) else str(element.text or "")
    return Fault("SC06", element, attribute, value, said=reason)


def _children(error: Any) -> Fault:
    wanted = tuple(local(particle.name) for particle in error.expected or () if getattr(particle, "name", None))
    children = [child for child in error.elem if isinstance(child.tag, str)]
    if error.invalid_tag and error.index < len(children):
        code, wanted = _content(children[error.index], wanted, is_end=False)
        return Fault(code, children[error.index], wanted=wanted, said=str(error.reason))
    return Fault("SC03", error.elem, wanted=wanted, said=str(error.reason))


def _content(element: etree._Element, wanted: tuple[str, ...], is_end: bool) -> tuple[str, tuple[str, ...]]:
    """Whether an element is missing (SC03, and which) or one stands where it may not (SC02, and what may)."""
    if is_end:
        return "SC03", wanted
    parent = element.getparent()
    there = {local(child.tag) for child in parent} if parent is not None else set()
    missing = tuple(name for name in wanted if name in _needed() and name not in there)
    return ("SC03", missing) if missing else ("SC02", wanted)


@cache
def _needed() -> frozenset[str]:
    """The elements of PBCore that something cannot be without."""
    classes, needed = list(ROOTS.values()), set()
    for cls in classes:
        for child in shape(cls).children:
            needed |= {child.element} if child.least else set()
            classes += [child.cls] if child.cls not in classes else []
    return frozenset(needed)


def _walk(record: etree._Element, path: str) -> etree._Element:
    """The element at a path such as `/*/*[4]`, which counts elements only, whatever namespace they are in."""
    here = record
    for step in re.findall(r"/[^/\[]+(?:\[(\d+)\])?", path)[1:]:
        children = [child for child in here if isinstance(child.tag, str)]
        index = int(step or 1) - 1
        if index >= len(children):
            return here
        here = children[index]
    return here


def _first(pattern: re.Pattern[str], text: str) -> str:
    found = pattern.search(text)
    return found[1] if found else ""

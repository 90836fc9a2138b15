"""What two engines say about a schema fault, as one thing: libxml2 judges all records, xmlschema explains failures."""

from __future__ import annotations

import re
from functools import cache, partial
from typing import Any

import msgspec
from lxml import etree

from crosswalk.checks.stream import line_of
from crosswalk.checks.tree import Tree, local
from crosswalk.records import ROOTS, shape

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
    def key(self) -> tuple[str, etree._Element, str]:
        """What makes two faults the same one, whichever engine found them."""
        about = "content" if self.code in ("SC02", "SC03") else self.code
        return about, self.element, self.attribute


def from_libxml2(tree: Tree, error: etree._LogEntry) -> Fault:
    """The fault that an entry of libxml2's log about this record means."""
    element = tree.noted(error.path or "")
    message = error.message or ""
    attribute = _first(_ATTRIBUTE, message)
    code = LIBXML2.get(error.type_name, "SC06" if _first(_VALUE, message) else "SC09")
    wanted = tuple(local(name.strip()) for name in _first(_EXPECTED, message).split(",") if name.strip())
    if code == "SC02":
        code, wanted = _content(tree, element, wanted, is_end="Missing child" in message)
    return Fault(code, element, attribute, _first(_VALUE, message), wanted, local(message))


def from_xmlschema(tree: Tree, error: Any) -> Fault:  # xmlschema has no types of its own that mypy can follow
    """The fault that an error of xmlschema about an lxml element means."""
    reason, element = str(error.reason), error.elem
    if hasattr(error, "expected"):
        return _children(tree, error)
    for pattern, code in XMLSCHEMA:
        if found := pattern.search(reason):
            return Fault(code, element, local(found[1]) if pattern.groups else "", said=reason)
    attribute = _first(_ATTRIBUTE, reason)
    value = error.obj if isinstance(error.obj, str) else str(element.text or "")
    return Fault("SC06", element, attribute, value, said=reason)


def _children(tree: Tree, error: Any) -> Fault:
    wanted = tuple(local(particle.name) for particle in error.expected or () if getattr(particle, "name", None))
    children = tree.children(error.elem)
    if error.invalid_tag and error.index < len(children):
        code, wanted = _content(tree, children[error.index], wanted, is_end=False)
        return Fault(code, children[error.index], wanted=wanted, said=str(error.reason))
    return Fault("SC03", error.elem, wanted=wanted, said=str(error.reason))


def _content(
    tree: Tree, element: etree._Element, wanted: tuple[str, ...], is_end: bool
) -> tuple[str, tuple[str, ...]]:
    """Whether an element is missing (SC03, and which) or one stands where it may not (SC02, and what may)."""
    if is_end:
        return "SC03", wanted
    parent = element.getparent()
    there = parent is not None and partial(tree.has, parent)
    missing = tuple(name for name in wanted if name in _needed() and not (there and there(name)))
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


def _first(pattern: re.Pattern[str], text: str) -> str:
    found = pattern.search(text)
    return found[1] if found else ""

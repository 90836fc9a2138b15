"""The thorough way to read a record: node by node, with a finding for whatever PBCore does not allow or the model
cannot hold. In repair mode the same faults are mended, and each finding says how."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass, field
from functools import cache
from typing import Any

from lxml import etree

from crosswalk.findings import Finding, Origin, Severity, finding
from crosswalk.records import Annotation, Attribute, Child, Embedded, Evidence, Extension, Node, Shape, shape
from crosswalk.standards.pbcore_embedded import inner, is_comment, is_element, outer
from crosswalk.standards.pbcore_mend import filled, form_of, mended_text, split
from crosswalk.standards.pbcore_stream import Place

_XSI = "{http://www.w3.org/2001/XMLSchema-instance}"
_SHOWN = 200  # characters of a value in a finding


@dataclass
class Walk:
    """One record being read. `path` is that of its element; `places` gives the place of every node in it."""

    element: etree._Element
    file: str
    path: str
    places: Callable[[], list[Place]]
    strict: bool = False
    repair: bool = False
    evidence: bool = False
    namespace: str = ""
    findings: list[Finding] = field(default_factory=list)
    _kept: list[tuple[list[Extension], list[Annotation]]] = field(default_factory=list)
    _order: dict[etree._Element, int] = field(default_factory=dict)

    def read(self, element: etree._Element, cls: type[Node]) -> Node:
        """The node that an element holds; what is odd about it is in `findings`."""
        form = shape(cls)
        holder = _holds(cls)
        if holder:
            self._kept.append(([], []))
        values = self._attributes(element, form)
        if form.content == "text":
            values["text"] = self._text(element, cls)
        elif form.content == "xml":
            values["xml"] = inner(element)
        else:
            values |= self._children(element, form)
        if self.evidence and form.content != "children":
            values["evidence"] = Evidence(element.text or "", file=self.file, row=self._place(element)[0])
        if holder:
            _keep(values, *self._kept.pop())
        return cls(**values)

    def fault(self, code: str, element: etree._Element, message: str, value: str = "", repaired: str = "") -> None:
        """Notes what is odd at an element: as a repair where it is repaired, as an error in a strict read."""
        line, column = self._place(element)
        origin = Origin(file=self.file, line=line, column=column, path=self._path(element))
        if self.repair and repaired:
            found = finding("PB20", origin, f"{message}; {repaired}", value=value[:_SHOWN])
        else:
            found = finding(code, origin, message, value=value[:_SHOWN])
        if self.strict and found.severity == Severity.WARNING:
            found = finding(code, origin, message, value=value[:_SHOWN], severity=Severity.ERROR)
        self.findings.append(found)

    def _attributes(self, element: etree._Element, form: Shape) -> dict[str, Any]:
        known = _known_attributes(form.cls)
        values: dict[str, Any] = {}
        for key, value in ((str(key), str(value)) for key, value in element.attrib.items()):
            if key in known:
                values[known[key].field] = value
            elif key.startswith(_XSI):
                self.fault("PB12", element, f"{key.replace(_XSI, 'xsi:')} is not kept in a record", value)
            else:
                self._keep_text(element, f"attribute {key} of {_local(element)}", value)
                message = f"{_local(element)} has the attribute {key}, which PBCore does not know"
                self.fault("PB03", element, message, f'{key}="{value}"', "kept as an annotation")
        for attribute in form.attributes:
            if attribute.required and attribute.field not in values:
                message = f"{_local(element)} lacks the attribute {attribute.name}, which it must have"
                self.fault("PB07", element, message, repaired="written empty")
                values |= {attribute.field: ""} if self.repair else {}
        return values

    def _text(self, element: etree._Element, cls: type[Node]) -> str:
        pieces = [element.text or ""]
        for child in element:
            self.unknown(child, f"may not stand in {_local(element)}")
            pieces.append(child.tail or "")
        text = "".join(pieces)
        form = form_of(cls, _local(element))
        if form is None or form.fullmatch(text):
            return text
        mended = mended_text(text, cls, _local(element))
        repaired = f"written {mended!r}" if mended != text else ""
        self.fault("PB11", element, f"{text!r} is not in the form that PBCore asks for", text, repaired)
        return mended if self.repair else text

    def _children(self, element: etree._Element, form: Shape) -> dict[str, Any]:
        known = _known_children(form.cls)
        values: dict[str, Any] = {}
        last, latest = 0, ""
        self.stray(element, element.text, "in")
        for node in element:
            order, child = known.get(self._name(node), (0, None))
            if child is None:
                self.unknown(node, f"is no element of {_local(element)}")
            else:
                if order < last:
                    message = f"{child.element} stands after {latest}, and should stand before it"
                    self.fault("PB05", node, message, repaired="put in its place")
                last, latest = max((last, latest), (order, child.element))
                self._add(values, node, child, form)
            self.stray(node, node.tail, "after")
        self._missing(element, form, values)
        return {name: tuple(value) if isinstance(value, list) else value for name, value in values.items()}

    def _add(self, values: dict[str, Any], node: etree._Element, child: Child, form: Shape) -> None:
        if not child.many and child.field in values:
            message = f"{child.element} stands here again, and may stand once only"
            self._keep_xml(node)
            self.fault("PB08", node, message, _content(node), "the second kept as an extension")
            return
        if form.choice and values.keys() & {other.field for other in form.children} - {child.field}:
            message = f"{child.element} stands beside another kind, and only one kind may stand here"
            self.fault("PB09", node, message, _content(node), "each kind written by itself")
        value = self.read(node, child.cls)
        if not child.many:
            values[child.field] = value
            return
        values.setdefault(child.field, []).extend(split(value) if self.repair else [value])

    def _missing(self, element: etree._Element, form: Shape, values: dict[str, Any]) -> None:
        for child in form.children:
            if child.least and child.field not in values:
                filling = filled(child) if self.repair else None
                message = f"{_local(element)} has no {child.element}, and must have one"
                self.fault("PB06", element, message, repaired="written empty" if filling else "")
                values |= {child.field: [filling] if child.many else filling} if filling else {}

    def stray(self, node: etree._Element, text: str | None, where: str) -> None:
        """Notes text that stands between elements."""
        if text and text.strip(" \t\r\n"):
            what = f"text {where} {_local(node)}"
            self._keep_text(node, what, text)
            self.fault("PB04", node, f"there is {what}", text.strip(), "kept as an annotation" if self._kept else "")

    def unknown(self, node: etree._Element, problem: str) -> None:
        """Notes a node that may not stand where it stands, or that a record has no place for."""
        if not is_element(node):
            kind = "a comment" if is_comment(node) else "a processing instruction"
            self.fault("PB01", node, f"{kind} is not kept in a record", str(node))
            return
        self._keep_xml(node)
        self.fault(
            "PB02", node, f"{_local(node)} {problem}", _content(node), "kept as an extension" if self._kept else ""
        )

    def _keep_xml(self, node: etree._Element) -> None:
        if self.repair and self._kept:
            self._kept[-1][0].append(Extension(embedded=(Embedded(outer(node)),)))

    def _keep_text(self, node: etree._Element, what: str, text: str) -> None:
        if self.repair and self._kept:
            self._kept[-1][1].append(Annotation(text, annotation_type=what))

    def _name(self, node: etree._Element) -> str:
        """The name of a child of PBCore's namespace (or of the one that stands in for it); "" for any other node."""
        if not is_element(node):
            return ""
        namespace, _, name = node.tag.rpartition("}")
        return name if namespace.lstrip("{") == self.namespace else ""

    def _place(self, element: etree._Element) -> Place:
        if not self._order:
            self._order = {node: number for number, node in enumerate(self.element.iter())}
        places, number = self.places(), self._order.get(element, 0)
        return places[min(number, len(places) - 1)]

    def _path(self, element: etree._Element) -> str:
        steps = []
        while element is not self.element:
            parent = element.getparent()
            if parent is None:
                break
            alike = [node for node in parent if node.tag == element.tag]
            steps.append(_local(element) + (f"[{alike.index(element) + 1}]" if len(alike) > 1 else ""))
            element = parent
        return "/".join([self.path, *reversed(steps)])


@cache
def _holds(cls: type[Node]) -> bool:
    """Whether a repair can keep something in a class."""
    return {child.field for child in shape(cls).children} >= {"extensions", "annotations"}


@cache
def _known_attributes(cls: type[Node]) -> dict[str, Attribute]:
    return {attribute.name: attribute for attribute in shape(cls).attributes}


@cache
def _known_children(cls: type[Node]) -> dict[str, tuple[int, Child]]:
    return {child.element: (order, child) for order, child in enumerate(shape(cls).children)}


def _keep(values: dict[str, Any], extensions: list[Extension], annotations: list[Annotation]) -> None:
    """Puts what was set aside in a repair behind what was there."""
    for name, more in (("extensions", extensions), ("annotations", annotations)):
        if more:
            values[name] = (*values.get(name, ()), *more)


def _local(element: etree._Element) -> str:
    if not is_element(element):
        return "comment()" if is_comment(element) else "processing-instruction()"
    return etree.QName(element).localname


def _content(element: etree._Element) -> str:
    return " ".join(_words(element))


def _words(element: etree._Element) -> Iterator[str]:
    for text in element.itertext():
        if str(text).strip():
            yield str(text).strip()

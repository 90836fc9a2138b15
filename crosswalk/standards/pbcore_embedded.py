"""Foreign XML inside a record, as text that stands on its own: every namespace it needs is declared in it."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

from lxml import etree

from crosswalk.xmlio import escape_attribute, escape_text

_XML = "http://www.w3.org/XML/1998/namespace"
Scope = dict[str | None, str]


def is_element(node: Any) -> bool:
    """Whether a node is an element, and no comment or instruction; the types of lxml say that all are elements."""
    return isinstance(node.tag, str)


def is_comment(node: Any) -> bool:
    """Whether a node is a comment."""
    return node.tag is etree.Comment


def inner(element: etree._Element) -> str:
    """The content of an element; white space at its two ends aside.

    >>> inner(etree.fromstring('<a xmlns:m="urn:m"><m:b n="1"/>  <c>x</c> </a>'))
    '<m:b xmlns:m="urn:m" n="1"/>  <c xmlns="">x</c>'
    """
    pieces = [escape_text(element.text or "")]
    for child in element:
        pieces.append(outer(child))
        pieces.append(escape_text(child.tail or ""))
    return "".join(pieces).strip(" \t\r\n")


def outer(element: etree._Element) -> str:
    """An element, comment or instruction with all that is in it, without the text after it."""
    return "".join(_pieces(element, {}))


def _pieces(element: etree._Element, scope: Scope) -> Iterator[str]:
    if not is_element(element):
        yield etree.tostring(element, encoding="unicode", with_tail=False)
        return
    name = f"{element.prefix}:{etree.QName(element).localname}" if element.prefix else etree.QName(element).localname
    attributes = [(_attribute_name(element, place, str(key)), str(value)) for place, (key, value) in _numbered(element)]
    needed = _needed(element, attributes)
    fresh = {prefix: uri for prefix, uri in needed.items() if scope.get(prefix) != uri}
    yield f"<{name}" + "".join(map(_declaration, fresh.items()))
    yield "".join(f' {key}="{escape_attribute(value)}"' for key, value in attributes)
    if not len(element) and not element.text:
        yield "/>"
        return
    yield ">" + escape_text(element.text or "")
    for child in element:
        yield from _pieces(child, scope | needed)
        yield escape_text(child.tail or "")
    yield f"</{name}>"


def _numbered(element: etree._Element) -> Iterator[tuple[int, tuple[object, object]]]:
    return enumerate(element.attrib.items(), 1)


def _declaration(pair: tuple[str | None, str]) -> str:
    prefix, uri = pair
    return f' xmlns:{prefix}="{escape_attribute(uri)}"' if prefix else f' xmlns="{escape_attribute(uri)}"'


def _needed(element: etree._Element, attributes: list[tuple[str, str]]) -> Scope:
    """The namespaces that an element uses: in its name, its attributes' names, and as `prefix:` in its values."""
    values = " ".join(value for _, value in attributes) + " " + (element.text or "")
    names = {key.partition(":")[0] for key, _ in attributes if ":" in key}
    spelt = {prefix for prefix in element.nsmap if prefix and f"{prefix}:" in values}
    wanted = {prefix for prefix in names | spelt | {element.prefix} if prefix not in (None, "xml")}
    scope: Scope = {} if element.prefix else {None: etree.QName(element).namespace or ""}
    return scope | {prefix: element.nsmap[prefix] for prefix in sorted(wanted, key=str)}


def _attribute_name(element: etree._Element, place: int, key: str) -> str:
    """The name of an attribute as it was written; lxml keeps the namespace only."""
    name = etree.QName(key)
    if not name.namespace:
        return name.localname
    if name.namespace == _XML:
        return f"xml:{name.localname}"
    prefixes = [prefix for prefix, uri in element.nsmap.items() if prefix and uri == name.namespace]
    return f"{prefixes[0]}:{name.localname}" if len(prefixes) == 1 else str(element.xpath(f"name(@*[{place}])"))

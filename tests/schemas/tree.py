"""A document as a small immutable tree, and its bytes: lxml would refuse to build some of the broken ones."""

from __future__ import annotations

from dataclasses import dataclass, replace
from xml.sax.saxutils import escape, quoteattr

FOREIGN = "urn:example:foreign"
XSI = "http://www.w3.org/2001/XMLSchema-instance"
PREFIXES = {
    "http://www.pbcore.org/PBCore/PBCoreNamespace.html": "pb",
    "http://purl.org/dc/elements/1.1/": "dc",
    "http://purl.org/dc/terms/": "dcterms",
    "http://www.openarchives.org/OAI/2.0/": "oai",
    "http://www.openarchives.org/OAI/2.0/oai_dc/": "oai_dc",
    "http://www.openarchives.org/OAI/2.0/static-repository": "sr",
    "http://www.w3.org/2001/XMLSchema": "xs",
    "urn:x-crosswalk:dcterms-record": "rec",
    FOREIGN: "f",
    XSI: "xsi",
}
_ALWAYS = {"http://www.w3.org/XML/1998/namespace": "xml"}
DECLARED = "".join(f' xmlns:{prefix}="{uri}"' for uri, prefix in PREFIXES.items())


@dataclass(frozen=True, slots=True)
class Node:
    """An element: its name as `{namespace}local`, its attributes in order, its texts and children in order."""

    tag: str
    attributes: tuple[tuple[str, str], ...] = ()
    content: tuple[Node | str, ...] = ()

    def holding(self, *content: Node | str) -> Node:
        """The same element with other content."""
        return replace(self, content=content)

    def having(self, *attributes: tuple[str, str]) -> Node:
        """The same element with other attributes."""
        return replace(self, attributes=attributes)

    def called(self, tag: str) -> Node:
        """The same element under another name."""
        return replace(self, tag=tag)


def split(tag: str) -> tuple[str, str]:
    """Namespace and local name.

    >>> split("{urn:example:foreign}note")
    ('urn:example:foreign', 'note')
    """
    namespace, _, local = tag.rpartition("}")
    return namespace.lstrip("{"), local


def to_bytes(root: Node) -> bytes:
    """The document.

    >>> to_bytes(Node("a", (("b", "1"),), ("x", Node("c"))))[-19:]
    b' b="1">x<c></c></a>'
    """
    return markup(root, DECLARED).encode()


def markup(node: Node, declarations: str = "") -> str:
    """The element as text; only the outermost needs the declarations of the prefixes."""
    name = qualified(node.tag)
    attributes = "".join(f" {qualified(key)}={quoteattr(value)}" for key, value in node.attributes)
    inside = "".join(escape(part) if isinstance(part, str) else markup(part) for part in node.content)
    return f"<{name}{declarations}{attributes}>{inside}</{name}>"


def qualified(tag: str) -> str:
    """The name with its usual prefix."""
    namespace, local = split(tag)
    if not namespace:
        return local
    return f"{PREFIXES.get(namespace) or _ALWAYS[namespace]}:{local}"

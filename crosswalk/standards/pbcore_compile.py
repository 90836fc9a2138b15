"""The PBCore writer, compiled from the record model: one function a class, made of the templates below.

lxml would build a tree only to print it; escaped strings are several times as fast (tests/benchmarks/bench_pbcore.py).
No markup is written by hand: names, order and attributes come from `records.shape`, and every document is validated
after. A function takes the node, the indentation, the element's name, attributes to put first, and the list that
receives the text.
"""

from __future__ import annotations

from collections.abc import Callable
from functools import cache
from textwrap import indent
from typing import Any

from crosswalk.errors import UnreadableInput
from crosswalk.records import Child, Node, shape
from crosswalk.xmlio import escape_attribute, escape_text, parse_tree

Writer = Callable[[Any, str, str, str, list[str]], None]
_CACHED = 20_000

_ATTRIBUTE = """
x = {node}.{field}
if x is not None:
    a += f' {name}="{{attribute[x]}}"'"""
_TEXT = """
a = ""{attributes}
t = each.text
if "&" in t or "<" in t or ">" in t or "\\r" in t:
    t = escape_text(t)
append(f"{{inner}}<{element}{{a}}>{{t}}</{element}>\\n")"""
_XML = """
a = ""{attributes}
append(f"{{inner}}<{element}{{a}}>{{whole(each.xml)}}</{element}>\\n")"""
_BRANCH = """
write_{cls}(each, inner, "{element}", "", out)"""
_MANY = """
for each in node.{field}:{written}"""
_ONE = """
each = node.{field}
if each is not None:{written}"""
_FUNCTION = """
def write_{cls}(node, pad, name, a, out):{attributes}
    append, inner, own = out.append, pad + "  ", a
    append(f"{{pad}}<{{name}}{{own}}>\\n")
    start = len(out){children}
    if len(out) == start:
        out[-1] = f"{{pad}}<{{name}}{{own}}></{{name}}>\\n"
    else:
        append(f"{{pad}}</{{name}}>\\n")
"""


class _Escaped(dict[str, str]):
    """Attribute values as they are written: an archive uses a few hundred of them over and over."""

    def __missing__(self, text: str) -> str:
        if len(self) >= _CACHED:
            self.clear()
        self[text] = escaped = escape_attribute(text)
        return escaped


def whole(xml: str) -> str:
    """Embedded XML, once it is certain that it closes what it opens: it must not break out of its element.

    >>> whole("<a/>")
    '<a/>'
    """
    try:
        parse_tree(f"<x>{xml}</x>".encode())
    except (UnreadableInput, UnicodeEncodeError) as error:
        raise UnreadableInput("embedded XML", f"cannot be written: {error}", "mend the embedded XML") from error
    return xml


@cache
def writer(cls: type[Node]) -> Writer:
    """The function that writes nodes of that class, which has children.

    >>> from crosswalk.records import Plain, Coverage, TimedText
    >>> out = []
    >>> writer(Coverage)(Coverage(coverage=TimedText("Merrow Sound")), "", "pbcoreCoverage", "", out)
    >>> print("".join(out), end="")
    <pbcoreCoverage>
      <coverage>Merrow Sound</coverage>
    </pbcoreCoverage>
    """
    sources: dict[type[Node], str] = {}
    _collect(cls, sources)
    names: dict[str, Any] = {"attribute": _Escaped(), "escape_text": escape_text, "whole": whole}
    exec("".join(sources.values()), names)  # noqa: S102 - made of the templates above and the model, of nothing else
    made: Writer = names[f"write_{cls.__name__}"]
    return made


def _collect(cls: type[Node], sources: dict[type[Node], str]) -> None:
    """Adds the function of a class that has children, and those that it calls."""
    if cls in sources or shape(cls).content != "children":
        return
    attributes, children = _attributes(cls, "node"), "".join(map(_child, shape(cls).children))
    sources[cls] = _FUNCTION.format(
        cls=cls.__name__, attributes=indent(attributes, "    "), children=indent(children, "    ")
    )
    for child in shape(cls).children:
        _collect(child.cls, sources)


def _child(child: Child) -> str:
    """Writing one child: a call where it has children, in place where it is a value, which saves a call a value."""
    template = {"children": _BRANCH, "text": _TEXT, "xml": _XML}[shape(child.cls).content]
    attributes = "" if template is _BRANCH else _attributes(child.cls, "each")
    written = template.format(cls=child.cls.__name__, element=child.element, attributes=attributes)
    return (_MANY if child.many else _ONE).format(field=child.field, written=indent(written, "    "))


def _attributes(cls: type[Node], node: str) -> str:
    found = shape(cls).attributes
    return "".join(_ATTRIBUTE.format(node=node, field=attribute.field, name=attribute.name) for attribute in found)

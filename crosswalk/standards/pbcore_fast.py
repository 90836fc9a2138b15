"""The quick way to read a record: for one without anything odd, which nearly all are. `pbcore_tree` reads the others,
and says what is odd about them; a test holds both to the same result.

Walking lxml's tree from Python costs more than all the rest of reading. So the record's tree is printed, which libxml2
does in a tenth of the time, and the text is cut at every `<`: what then lies there is a tag with the text after it.
A tag is understood once and remembered, since a collection has few different ones; so are the first few hundred texts
of each class, since an archive says the same terms over and over and a value, once made, never changes.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from functools import lru_cache
from itertools import islice
from typing import Any, NamedTuple, cast

from lxml import etree

from crosswalk.records import Child, Node, Record, shape
from crosswalk.standards.pbcore_mend import form_of

_REMEMBERED = 2_000  # tags of one class; those with a note of their own are rarely seen again
_TEXTS = 400  # whole values of one class
_PIECES = 20_000  # of one record; joining so many repeated fields would be slow
_NAME = re.compile(r"[^ />]+")
_ATTRIBUTE = re.compile(r' ([A-Za-z]+)="([^"]*)"')
_REFERENCE = re.compile(r"&(#\d+|lt|gt|amp|quot);")
_blanks: set[str] = set()
_CHARACTERS = {"lt": "<", "gt": ">", "amp": "&", "quot": '"'}


class Odd(Exception):
    """The record holds something that is not read the quick way."""


class Tag(NamedTuple):
    """An opening tag, understood: the child it is, its attributes, and what may stand in it."""

    order: int
    field: str
    many: bool
    kind: int  # 0: has children; 1: has text; 2: is empty, where text might be; 3: has text of a certain form
    cls: type[Node]
    attributes: dict[str, str]
    inside: Tags
    ending: str


class Tags(dict[str, Tag]):
    """The opening tags that may stand in one class, by all that is written between `<` and `>`."""

    def __init__(self, cls: type[Node], prefix: str) -> None:
        super().__init__()
        self._prefix = prefix
        self._children = {prefix + child.element: (index, child) for index, child in enumerate(shape(cls).children)}
        self.needed = {child.field for child in shape(cls).children if child.least}
        self.choice = {child.field for child in shape(cls).children if shape(cls).choice}
        self.closings: set[str] = set()
        self.texts: dict[str, tuple[int, str, bool, Node, str]] = {}

    def __missing__(self, written: str) -> Tag:
        found = _NAME.match(written)
        if found is None or found.group() not in self._children:
            raise Odd(written)
        index, child = self._children[found.group()]
        tag = self._tag(index, child, found.group(), written[found.end() :])
        if len(self) >= _REMEMBERED:
            self.clear()
        self[written] = tag
        return tag

    def _tag(self, index: int, child: Child, name: str, rest: str) -> Tag:
        form = shape(child.cls)
        kind = {"children": 0, "text": 2 if rest.endswith("/") else 1}.get(form.content)
        if kind is None:
            raise Odd(name)
        if form_of(child.cls, child.element):
            kind = 3
        attributes = attributes_of(rest.removesuffix("/") if kind >= 2 else rest, child.cls)
        inside = tags(child.cls, self._prefix)
        return Tag(index, child.field, child.many, kind, child.cls, attributes, inside, f"/{name}>")

    def close(self, ending: str, written: str) -> None:
        """Makes sure that a text ends with its own closing tag and white space, and remembers that it does."""
        if not written.startswith(ending) or written[len(ending) :].strip(" \t\r\n"):
            raise Odd(written)
        if len(self.closings) >= _REMEMBERED:
            self.closings.clear()
        self.closings.add(written)


@lru_cache(maxsize=500)  # a class and a prefix each; a document may invent prefixes without end
def tags(cls: type[Node], prefix: str) -> Tags:
    """What may stand in a class, where PBCore's names are written with that prefix (`pb:`, or "")."""
    return Tags(cls, prefix)


def attributes_of(written: str, cls: type[Node]) -> dict[str, str]:
    """Attributes as printed, by field; Odd where one is unknown, or one that a class must have is not there."""
    pairs = _ATTRIBUTE.findall(written)
    known = {attribute.name: attribute.field for attribute in shape(cls).attributes}
    if any(name not in known for name, _ in pairs) or sum(len(n) + len(v) + 4 for n, v in pairs) != len(written):
        raise Odd(written)
    if any(attribute.required and attribute.name not in dict(pairs) for attribute in shape(cls).attributes):
        raise Odd(written)
    return {known[name]: plain(value) for name, value in pairs}


def plain(text: str) -> str:
    """Text without the references that libxml2 prints.

    >>> plain("fish &amp;amp; chips&#13;")
    'fish &amp; chips\\r'
    """
    return _REFERENCE.sub(_character, text) if "&" in text else text


def _character(found: re.Match[str]) -> str:
    name = found.group(1)
    return chr(int(name[1:])) if name[0] == "#" else _CHARACTERS[name]


def read(element: etree._Element, cls: type[Record]) -> Record:
    """The record that an element in PBCore's namespace holds. Raises Odd where `pbcore_tree` must read it."""
    pieces = etree.tostring(element, encoding="unicode", with_tail=False).split("<")
    if len(pieces) > _PIECES:
        raise Odd(element.tag)
    own = _own(element, cls) if element.keys() else {}
    _see_blank(pieces[1].rpartition(">")[2])
    rest = islice(pieces, 2, None)  # nothing stands before the first tag, and the first tag is the record's own
    values = _values(rest, tags(cls, f"{element.prefix}:" if element.prefix else ""), own)
    record: Record = cls(**values)
    return record


def _own(element: etree._Element, cls: type[Record]) -> dict[str, Any]:
    known = {attribute.name: attribute.field for attribute in shape(cls).attributes}
    if not known.keys() >= set(element.attrib):
        raise Odd(element.tag)
    return {known[str(name)]: str(value) for name, value in element.attrib.items()}


def _values(pieces: Iterator[str], inside: Tags, values: dict[str, Any]) -> dict[str, Any]:
    """What the pieces of a record say, by field. One loop with a stack of its own, since a call a tag is too dear."""
    last, value = 0, cast("Any", None)
    open_: Tag | None = None
    stack: list[tuple[Tags, dict[str, Any], int, Tag | None]] = []
    for piece in pieces:
        known = inside.texts.get(piece)
        if known is not None:
            order, field, many, value, ending = known
            if order < last:
                raise Odd(piece)
            last = order
            closing = next(pieces)
            if closing not in inside.closings:
                inside.close(ending, closing)
        else:
            written, _, text = piece.partition(">")
            if written[0] == "/":
                if open_ is None:
                    break
                if text not in _blanks:
                    _see_blank(text)
                value, field, many = open_.cls(**_complete(values, inside)), open_.field, open_.many
                inside, values, last, open_ = stack.pop()
            else:
                tag = order, field, many, kind, cls, attributes, within, ending = inside[written]
                if order < last:
                    raise Odd(piece)
                last = order
                if kind == 1 or (kind == 3 and written[-1] != "/"):
                    if kind == 3 and not _has_form(tag, text):
                        raise Odd(piece)
                    closing = next(pieces)
                    if closing not in inside.closings:
                        inside.close(ending, closing)
                    if "&" in text:
                        text = plain(text)
                    value = cls(text, **attributes) if attributes else cls(text)
                    if len(inside.texts) < _TEXTS:
                        inside.texts[piece] = order, field, many, value, ending
                else:
                    if text not in _blanks:
                        _see_blank(text)
                    if kind == 0:
                        stack.append((inside, values, last, open_))
                        inside, values, last, open_ = within, attributes.copy(), 0, tag
                        continue
                    if kind == 3 and not _has_form(tag, ""):
                        raise Odd(piece)
                    value = cls("", **attributes)
        if not many:
            if field in values:
                raise Odd(piece)
            values[field] = value
        elif field in values:
            values[field] += (value,)
        else:
            values[field] = (value,)
    return _complete(values, inside)


def _has_form(tag: Tag, text: str) -> bool:
    form = form_of(tag.cls, tag.ending[1:-1].rpartition(":")[2])
    return form is not None and form.fullmatch(plain(text)) is not None


def _see_blank(text: str) -> None:
    """Makes sure that what stands between two tags is white space, and remembers it."""
    if text.strip(" \t\r\n"):
        raise Odd(text)
    if len(_blanks) >= _REMEMBERED:
        _blanks.clear()
    _blanks.add(text)


def _complete(values: dict[str, Any], inside: Tags) -> dict[str, Any]:
    """The values, once it is certain that nothing is wanting or chosen twice."""
    if not inside.needed <= values.keys() or (inside.choice and len(inside.choice & values.keys()) > 1):
        raise Odd(values)
    return values

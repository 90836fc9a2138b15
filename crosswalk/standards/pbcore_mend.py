"""What a repair makes of a fault. Nothing is invented: what must be there and is not is written empty."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator
from typing import Any

import msgspec

from crosswalk.records import Child, Extension, Language, Node, Rights, Text, shape

# An empty identifier would make two records seem one, so a record without one stays a fault.
_NEVER_EMPTY = ("identifiers",)
_FORMS = {"coverageType": re.compile("Spatial|Temporal")}
_LANGUAGES = re.compile("([a-z]{3}((;[a-z]{3})?)*)?")  # PBCore 2.1 schema, threeLetterCode
_CODES = re.compile(r"[A-Za-z]{3}([;,/ ]+[A-Za-z]{3})*[;,/ ]*")


def filled(child: Child) -> Node | None:
    """The empty node that stands where one must, or None where none may be made up.

    >>> from crosswalk.records import Asset, Title
    >>> filled(shape(Asset).child("title")) == Title(""), filled(shape(Asset).child("identifier"))
    (True, None)
    """
    if child.field in _NEVER_EMPTY or not issubclass(child.cls, Text):
        return None
    return child.cls("")


def completed(node: Node, name: str, told: Callable[[str, bool], None]) -> Node:
    """The node `name` with all that PBCore asks for written empty, as far as that may be; `told` hears of each gap,
    and whether it is filled.

    >>> from crosswalk.records import Identifier
    >>> completed(Identifier("0117"), "pbcoreIdentifier", lambda message, filled: print(message)).source
    pbcoreIdentifier lacks the attribute source, which it must have
    ''
    """
    values: dict[str, Any] = {}
    for attribute in shape(type(node)).attributes:
        if attribute.required and getattr(node, attribute.field) is None:
            told(f"{name} lacks the attribute {attribute.name}, which it must have", True)
            values[attribute.field] = ""
    for child in shape(type(node)).children:
        values |= _completed_child(node, name, child, told)
    return msgspec.structs.replace(node, **values) if values else node


def _completed_child(node: Node, name: str, child: Child, told: Callable[[str, bool], None]) -> dict[str, Any]:
    held = getattr(node, child.field)
    if held:
        made = [completed(each, child.element, told) for each in (held if child.many else (held,))]
    elif child.least:
        filling = filled(child)
        told(f"{name} has no {child.element}, and must have one", filling is not None)
        made = [] if filling is None else [filling]
    else:
        return {}
    return {child.field: tuple(made) if child.many else next(iter(made), held)}


def form_of(cls: type[Node], element: str) -> re.Pattern[str] | None:
    """The form that the schema asks of the texts of an element, where it asks for any.

    >>> bool(form_of(Language, "instantiationLanguage").fullmatch("eng;fra"))
    True
    """
    return _LANGUAGES if issubclass(cls, Language) else _FORMS.get(element)


def mended_text(text: str, cls: type[Node], element: str) -> str:
    """Text in the form that the schema asks for, where it is only the form that differs.

    >>> mended_text("spatial", Text, "coverageType"), mended_text("ENG, fre", Language, "essenceTrackLanguage")
    ('Spatial', 'eng;fre')
    """
    plain = text.strip()
    if element == "coverageType" and plain.capitalize() in ("Spatial", "Temporal"):
        return plain.capitalize()
    if issubclass(cls, Language) and _CODES.fullmatch(plain):
        return ";".join(re.findall("[a-z]{3}", plain.lower()))
    return text


def split(node: Node) -> Iterator[Node]:
    """A node that mixes kinds of which only one may stand, as one node for each kind; any other as it is."""
    kinds = [child for child in shape(type(node)).children if getattr(node, child.field)]
    if not isinstance(node, Rights | Extension) or len(kinds) < 2:
        yield node
        return
    for kind in kinds:
        others = {other.field: () if other.many else None for other in kinds if other is not kind}
        yield msgspec.structs.replace(node, **others)

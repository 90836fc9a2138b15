"""The maximal record: every field of the model filled, parts in parts to depth 3. What a standard cannot carry of it,
the standard has to declare."""

from __future__ import annotations

from typing import Any

from crosswalk.records import Asset, Child, Instantiation, Language, Link, Node, Shape, shape

DEPTH = 3
DATE, LENGTH = "1987-04-03", "00:58:30"
# Elements whose values have a form of their own, by the end of their name.
FORMS = {
    "Date": DATE,
    "Duration": LENGTH,
    "TimeStart": "00:00:00",
    "coverageType": "Spatial",
    "AuthorityUsed": "https://example.org/terms",
    "FileSize": "1048576",
    "DataRate": "50",
    "FrameRate": "25",
    "SamplingRate": "48000",
    "BitDepth": "24",
    "FrameSize": "720x576",
    "AspectRatio": "4:3",
    "PlaybackSpeed": "7.5",
    "Physical": "U-matic",
    "Digital": "video/mp4",
    "MediaType": "Moving Image",
    "Generations": "Master",
    "Colors": "Color",
}
EMBEDDED = '<note xmlns="urn:merrow:note" kind="shelf">kept <b>apart</b> &amp; dry</note>'


def maximal(cls: type[Node] = Asset, start: int = 0) -> Any:
    """One node of a class with everything in it that can be in it at once; texts are numbered from `start`.

    >>> maximal().parts[0].parts[0].parts
    ()
    """
    return _Making(start).one(cls, cls.__name__.lower(), DEPTH)


class _Making:
    """Counts what it makes, so that no two values are the same unless their form allows no other."""

    def __init__(self, start: int) -> None:
        self.count = start

    def one(self, cls: type[Node], element: str, depth: int) -> Any:
        form = shape(cls)
        values = {attribute.field: self.text(attribute.name) for attribute in form.attributes}
        if form.content == "text":
            values["text"] = self.value(cls, element)
        elif form.content == "xml":
            values["xml"] = EMBEDDED
        return cls(**values, **self.children(form, depth))

    def children(self, form: Shape, depth: int) -> dict[str, Any]:
        made: dict[str, Any] = {}
        for child in form.children:
            nodes = [] if form.choice else self.nodes(child, depth)
            made[child.field] = tuple(nodes) if child.many else next(iter(nodes), None)
        return made

    def nodes(self, child: Child, depth: int) -> list[Any]:
        if issubclass(child.cls, Asset | Instantiation) and child.element.endswith("Part"):
            return [self.one(child.cls, child.element, depth - 1)] if depth > 1 else []
        if shape(child.cls).choice:
            return [self.kind(child, kind) for kind in shape(child.cls).children]
        many = 2 if child.many and shape(child.cls).content == "text" else 1
        return [self.one(child.cls, child.element, depth) for _ in range(many)]

    def kind(self, child: Child, kind: Child) -> Any:
        """A node of which only one kind of child may stand in it, with that kind."""
        attributes = {attribute.field: self.text(attribute.name) for attribute in shape(child.cls).attributes}
        value = self.one(kind.cls, kind.element, 1)
        return child.cls(**attributes, **{kind.field: (value,) if kind.many else value})

    def value(self, cls: type[Node], element: str) -> str:
        if issubclass(cls, Language):
            return "eng;fra"
        if issubclass(cls, Link):
            return "https://example.org/rights"
        form = next((form for end, form in FORMS.items() if element.endswith(end)), None)
        return form or self.text(element)

    def text(self, name: str) -> str:
        self.count += 1
        if name.endswith(("Ref", "ref")):
            return f"https://example.org/{name}/{self.count}"
        return f"{name} {self.count} & é"

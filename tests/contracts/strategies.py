"""Any record that the model can express and PBCore allows, for property tests."""

from __future__ import annotations

from typing import Any

from hypothesis import strategies as st

from crosswalk.records import Asset, Child, Instantiation, Language, Link, Node, shape

# XML 1.0, 2.2: every character but these. The first few are those that writers get wrong.
TEXTS = st.text(
    st.one_of(
        st.sampled_from("&<>\"'\r\n\t |\\=+-@;_x000D_ "),
        st.characters(exclude_categories=("Cs", "Cc"), exclude_characters="\ufffe\uffff"),
    ),
    max_size=12,
)
LANGUAGES = st.lists(st.sampled_from(["eng", "fra", "cym", "cor"]), max_size=2).map(";".join)
LINKS = st.sampled_from(["https://example.org/rights/1", "urn:merrow:rights", ""])
EMBEDDED = st.sampled_from(
    [
        "",
        '<a xmlns="urn:merrow:a"/>',
        '<m:a xmlns:m="urn:merrow:m" m:n="1" o="&lt;2&amp;">t <m:b>u</m:b>\n v</m:a><c xmlns=""/>',
        "<!-- kept --><?kept too?>",
        '<x xmlns="" xmlns:q="urn:merrow:q" type="q:kind">q:value</x>',
    ]
)


def nodes(cls: type[Node], element: str = "", depth: int = 2) -> st.SearchStrategy[Any]:
    """Nodes of a class, with what it must have and a few of the things that it may have."""
    return st.composite(_node)(cls, element, depth)


def records() -> st.SearchStrategy[Any]:
    """Assets, and now and then an instantiation by itself."""
    return st.one_of(nodes(Asset), nodes(Asset), nodes(Instantiation))


def _node(draw: st.DrawFn, cls: type[Node], element: str, depth: int) -> Any:
    form = shape(cls)
    optional = [attribute.field for attribute in form.attributes if not attribute.required]
    fields = draw(st.lists(st.sampled_from(optional), max_size=2, unique=True)) if optional else []
    required = [attribute.field for attribute in form.attributes if attribute.required]
    values: dict[str, Any] = {field: draw(TEXTS) for field in (*required, *fields)}
    if form.content == "text":
        values["text"] = draw(_texts(cls, element))
    elif form.content == "xml":
        values["xml"] = draw(EMBEDDED)
    for child in draw(_chosen(cls, depth)):
        made = draw(st.lists(nodes(child.cls, child.element, depth - 1), min_size=1, max_size=2 if child.many else 1))
        values[child.field] = tuple(made) if child.many else made[0]
    return cls(**values)


def _texts(cls: type[Node], element: str) -> st.SearchStrategy[str]:
    if issubclass(cls, Language):
        return LANGUAGES
    if issubclass(cls, Link) or element == "extensionAuthorityUsed":
        return LINKS
    return st.sampled_from(["Spatial", "Temporal"]) if element == "coverageType" else TEXTS


def _chosen(cls: type[Node], depth: int) -> st.SearchStrategy[list[Child]]:
    children = shape(cls).children
    if shape(cls).choice:  # an extension must hold one kind, a statement of rights may hold none
        fewest = 0 if cls.__name__ == "Rights" else 1
        return st.lists(st.sampled_from(children), min_size=fewest, max_size=1)
    needed = [child for child in children if child.least]
    free = [child for child in children if not child.least and (depth > 0 or shape(child.cls).content != "children")]
    if not free:
        return st.just(needed)
    return st.lists(st.sampled_from(free), max_size=4, unique=True).map(lambda more: needed + more)

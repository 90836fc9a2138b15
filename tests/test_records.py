"""The record model against the schema: every element, attribute, cardinality and order, both ways."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest
import xmlschema
from lxml import etree

from crosswalk.records import ROOTS, Node, shape
from crosswalk.resources import resource

PUBLISHED = Path(__file__).parents[2] / "shared" / "standards" / "pbcore-2.1.xsd"


def declared(path: Path) -> dict[str, Any]:
    """What a schema says of every class of the model, walked from the three roots."""
    schema = xmlschema.XMLSchema(path)
    said: dict[str, Any] = {}
    for root, cls in ROOTS.items():
        _walk(schema.elements[root], root, cls, said)
    return said


def _walk(element: Any, name: str, cls: type[Node], said: dict[str, Any]) -> None:
    if name in said:
        return
    kind = element.type
    own = {} if kind.is_simple() else kind.attributes  # a simple type has none
    attributes = {(key, own[key].use == "required") for key in own if key}
    children = [] if kind.has_simple_content() or kind.is_simple() else list(kind.content.iter_elements())
    known = [child for child in children if child.name]
    choice = bool(known) and kind.content.model == "choice"
    content = "children" if known else "xml" if children else "text"
    rows = [(child.local_name, 0 if choice else child.min_occurs, child.max_occurs is None) for child in known]
    said[name] = (content, choice, frozenset(attributes), tuple(rows))
    for child in known:
        found = next((c for c in shape(cls).children if c.element == child.local_name), None)
        if found is not None:
            _walk(child, child.local_name, found.cls, said)


def modelled() -> dict[str, Any]:
    """The same of the model."""
    said: dict[str, Any] = {}
    for root, cls in ROOTS.items():
        _walk_model(root, cls, said)
    return said


def _walk_model(name: str, cls: type[Node], said: dict[str, Any]) -> None:
    if name in said:
        return
    form = shape(cls)
    attributes = {(attribute.name, attribute.required) for attribute in form.attributes}
    rows = [(child.element, child.least, child.many) for child in form.children]
    said[name] = (form.content, form.choice, frozenset(attributes), tuple(rows))
    for child in form.children:
        _walk_model(child.element, child.cls, said)


SCHEMAS = [
    pytest.param(resource("schemas", "pbcore-2.1.xsd"), id="ours"),
    pytest.param(
        PUBLISHED,
        id="published",
        marks=[pytest.mark.live, pytest.mark.skipif(not PUBLISHED.exists(), reason="the published schema is not here")],
    ),
]


@pytest.mark.parametrize("path", SCHEMAS)
def test_the_model_is_what_the_schema_says(path: Path) -> None:
    expected, found = declared(path), modelled()
    assert found.keys() == expected.keys()
    for name, said in expected.items():
        assert found[name] == said, name


@pytest.mark.parametrize("path", SCHEMAS)
def test_the_walk_reaches_every_element(path: Path) -> None:
    elements = etree.parse(path).iter("{http://www.w3.org/2001/XMLSchema}element")
    assert modelled().keys() == {name_of(element) for element in elements}


def name_of(element: etree._Element) -> str:
    return str(element.get("name") or element.get("ref")).rpartition(":")[2]

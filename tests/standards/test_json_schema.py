"""The JSON Schema of a line is the record model's own, and jsonschema, which knows nothing of the model, agrees."""

from __future__ import annotations

import json

import jsonschema
import pytest

from crosswalk.records import Asset, Instantiation
from crosswalk.resources import resource
from crosswalk.standards.jsonl import encode, line_schema
from tests.contracts.maximal import maximal

SHIPPED = json.loads(resource("schemas", "records.schema.json").read_text(encoding="utf-8"))


def test_the_shipped_schema_has_not_drifted() -> None:
    """Write it anew with `python -m crosswalk.standards.jsonl > schemas/records.schema.json`."""
    assert json.loads(json.dumps(line_schema())) == SHIPPED


@pytest.mark.parametrize("cls", [Asset, Instantiation])
def test_the_maximal_record_is_valid(cls: type) -> None:
    jsonschema.Draft202012Validator(SHIPPED).validate(json.loads(encode(maximal(cls))))


@pytest.mark.parametrize(
    "line", [{"asset": {"titels": []}}, {"asset": {"titles": "x"}}, {"record": {}}, {"asset": {"titles": [{}]}}]
)
def test_what_is_no_record_is_invalid(line: object) -> None:
    assert not jsonschema.Draft202012Validator(SHIPPED).is_valid(line)

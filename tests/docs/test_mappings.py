"""docs/mappings.md names every key that files of mappings and jobs may have, and its snippets work."""

from __future__ import annotations

import re
from pathlib import Path
from typing import Any

import msgspec
import pytest

from crosswalk.delivery import job
from crosswalk.mapping import model
from crosswalk.tomlio import FILLED
from tests.mapping.make import Mapped, column, sheet, toml

PAGE = (Path(__file__).parents[2] / "docs" / "mappings.md").read_text(encoding="utf-8")
SHORTEST, *_ = re.findall(r"^```toml\n(.*?)^```$", PAGE, re.DOTALL | re.MULTILINE)
PROSE = re.sub(r"^```.*?^```$|<!-- generated.*?<!-- end -->", "", PAGE, flags=re.DOTALL | re.MULTILINE)
DESCRIBED = {word for span in re.findall(r"`([^`\n]+)`", PROSE) for word in re.split(r"[\s,={}\[\]]+", span)}
MODELS: list[Any] = [
    model.Mapping, model.Column, model.Constant, model.MarkRule, model.Skip, model.Example, model.Lookup,
    job.Job, job.Sheets, job.Review, job.Output,
]  # fmt: skip
KEYS = sorted({field.encode_name for kind in MODELS for field in msgspec.structs.fields(kind)} - {FILLED})


@pytest.mark.parametrize("key", KEYS)
def test_every_key_is_described(key: str) -> None:
    assert key in DESCRIBED


def test_the_shortest_mapping_does_what_the_page_says(tmp_path: Path) -> None:
    rows = [["Tape", "Title", "Format", "Date"], ["0117", "Dusk", '3/4" Umatic', "3/4/87"]]
    found = Mapped([sheet(tmp_path, rows)], [toml(tmp_path, SHORTEST)])
    assert found.codes() == []
    assert found.texts("asset.identifier") == ["MC-0117"]
    assert found.texts("instantiation.physical") == ["U-matic"]
    assert found.texts("instantiation.date") == ["1987-04-03"]


def test_the_converter_of_the_page_reads_what_the_page_says(tmp_path: Path) -> None:
    (module,) = re.findall(r"^```python\n(.*?)^```$", PAGE, re.DOTALL | re.MULTILINE)
    (tmp_path / "own.py").write_text(module, encoding="utf-8")
    mapping = 'converters = "own.py"\n' + column("Shelf", 'to = "instantiation.location"\nread = "shelf"')
    found = Mapped([sheet(tmp_path, [["Shelf"], ["V-214"], ["cellar"]])], [toml(tmp_path, mapping)])
    assert found.texts("instantiation.location") == ["214"]
    assert (found.account("tapes.csv:2:1"), found.account("tapes.csv:3:1")) == ("delivered", "refused")
    assert found.codes() == ["MP07"]

"""Comparing files: a field to ignore must be one."""

from __future__ import annotations

from pathlib import Path

import pytest

from crosswalk.delivery.differences import Equivalences
from crosswalk.errors import CannotContinue
from crosswalk.pipeline.comparing import compare
from crosswalk.records import Asset, Identifier, Title
from crosswalk.standards.base import WriteOptions, standards


def written(folder: Path, title: str) -> Path:
    write = standards()["pbcore"].write
    assert write is not None
    (document,) = write([Asset(identifiers=(Identifier("7", source="s"),), titles=(Title(title),))], WriteOptions())
    path = folder / f"{title}.xml"
    path.write_bytes(document.content)
    return path


@pytest.mark.parametrize(
    ("name", "told"),
    [
        ("foo.bar", '"foo" is none of asset, instantiation, track'),
        ("asset.titel", 'asset has no field "titel"; perhaps title'),
        ("asset.title@kind", 'asset.title has no attribute "kind"; it has source, '),
    ],
)
def test_a_field_to_ignore_that_is_none_is_refused(tmp_path: Path, name: str, told: str) -> None:
    left, right = written(tmp_path, "Dusk"), written(tmp_path, "Dawn")
    with pytest.raises(CannotContinue) as raised:
        compare(left, right, Equivalences(ignore=(name,)))
    assert f"--ignore {name}: {told}" in str(raised.value)
    assert not compare(left, right, Equivalences(ignore=("asset.title",))).differ

"""Where the shipped folders are, in a checkout and in an installed wheel."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import pytest

from crosswalk import resources
from crosswalk.errors import CannotContinue


@pytest.fixture(autouse=True)
def fresh() -> Iterator[None]:
    """The folders are looked for once a process; here each test looks for itself."""
    resources.folder.cache_clear()
    yield
    resources.folder.cache_clear()


def test_a_checkout_has_its_folders_beside_the_package() -> None:
    beside = Path(resources.__file__).parents[1]
    assert resources.schemas_dir() == beside / "schemas"
    assert resources.mappings_dir() == beside / "mappings"
    assert resources.samples_dir() == beside / "samples"


@pytest.fixture
def wheel(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """An installed package with its data inside, and a foreign `schemas` beside it, as site-packages may have."""
    package = tmp_path / "site-packages" / "crosswalk"
    (package / "_data" / "schemas").mkdir(parents=True)
    (package / "_data" / "schemas" / "own.xsd").touch()
    (package.parent / "schemas").mkdir()
    monkeypatch.setattr(resources, "_PACKAGE", package)
    return package


def test_a_wheel_has_its_folders_inside(wheel: Path) -> None:
    assert resources.schema_path("own.xsd") == wheel / "_data" / "schemas" / "own.xsd"


def test_a_missing_folder_stops_the_run(wheel: Path) -> None:
    with pytest.raises(CannotContinue, match="mappings: this folder of the installation is missing"):
        resources.mappings_dir()


def test_a_missing_file_is_named_with_what_there_is(wheel: Path) -> None:
    with pytest.raises(CannotContinue, match=r"schemas/other.xsd: no such file in this installation; there is own.xsd"):
        resources.schema_path("other.xsd")

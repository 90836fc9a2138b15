"""The floors: imports run downwards only, and siblings never import each other."""

from __future__ import annotations

import os
import shutil
import subprocess
import sys
from pathlib import Path

import pytest

import crosswalk

ROOT = Path(crosswalk.__file__).parents[1]
LINT = "import sys; from importlinter.cli import lint_imports; sys.exit(lint_imports())"

pytest.importorskip("importlinter")
pytestmark = pytest.mark.skipif(not (ROOT / "pyproject.toml").is_file(), reason="the contract stands in the checkout")


def linted(folder: Path) -> subprocess.CompletedProcess[str]:
    """import-linter over the package in a folder, which comes first on the path."""
    return subprocess.run(
        [sys.executable, "-c", LINT], cwd=folder, capture_output=True, text=True, check=False,
        env={**os.environ, "PYTHONPATH": str(folder)},
    )  # fmt: skip


def copied(folder: Path) -> Path:
    shutil.copytree(ROOT / "crosswalk", folder / "crosswalk", ignore=shutil.ignore_patterns("__pycache__", "_data"))
    shutil.copy(ROOT / "pyproject.toml", folder)
    return folder


def test_imports_run_downwards_only(tmp_path: Path) -> None:
    ended = linted(copied(tmp_path))
    assert ended.returncode == 0, ended.stdout + ended.stderr


@pytest.mark.parametrize(
    ("module", "line"),
    [
        ("crosswalk/mapping/model.py", "from crosswalk.sheets import cells"),
        ("crosswalk/values/folding.py", "from crosswalk.mapping import store"),
        ("crosswalk/errors.py", "import crosswalk.findings"),
    ],
    ids=["sideways", "upwards", "from the ground"],
)
def test_an_import_that_is_not_downwards_is_refused(tmp_path: Path, module: str, line: str) -> None:
    folder = copied(tmp_path)
    with (folder / module).open("a", encoding="utf-8") as file:
        file.write(f"\n{line}\n")
    ended = linted(folder)
    assert ended.returncode == 1, ended.stdout + ended.stderr
    assert "BROKEN" in ended.stdout

"""An installed wheel works as well as a checkout: schemas, mappings and the sample travel in it."""

from __future__ import annotations

import os
import subprocess
import sys
import zipfile
from pathlib import Path

import pytest

ROOT = Path(__file__).resolve().parents[2]
WHEEL = [sys.executable, "-m", "pip", "wheel", str(ROOT), "--no-deps", "--no-build-isolation", "--quiet"]


@pytest.fixture(scope="module")
def installed(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The unpacked wheel, as an installer would lay it out."""
    built = tmp_path_factory.mktemp("wheel")
    subprocess.run([*WHEEL, "--wheel-dir", str(built)], check=True, capture_output=True)
    place = tmp_path_factory.mktemp("site")
    with zipfile.ZipFile(next(built.glob("*.whl"))) as wheel:
        wheel.extractall(place)
    return place


def run(installed: Path, folder: Path, *words: str) -> subprocess.CompletedProcess[str]:
    """The command line of the wheel, far from the checkout."""
    environment = {**os.environ, "PYTHONPATH": str(installed), "PYTHONSAFEPATH": "1"}
    return subprocess.run([sys.executable, *words], cwd=folder, env=environment, capture_output=True, text=True)


def test_the_wheel_is_what_runs(installed: Path, tmp_path: Path) -> None:
    told = run(installed, tmp_path, "-c", "import crosswalk; print(crosswalk.__file__)")
    assert Path(told.stdout.strip()).is_relative_to(installed)


def test_the_demo_runs_from_the_wheel(installed: Path, tmp_path: Path) -> None:
    done = run(installed, tmp_path, "-m", "crosswalk", "demo", "--out", "demo")
    assert done.returncode == 0, done.stderr
    assert "190 records" in done.stdout
    assert (tmp_path / "demo" / "public" / "pbcore" / "records-0001.xml").is_file()


def test_what_the_wheel_wrote_is_valid(installed: Path, tmp_path: Path) -> None:
    run(installed, tmp_path, "-m", "crosswalk", "demo", "--out", "demo")
    done = run(installed, tmp_path, "-m", "crosswalk", "validate", "demo/public/pbcore", "--layer", "schema")
    assert done.returncode == 0, done.stdout + done.stderr


def test_vocabularies_and_schemas_are_found_in_the_wheel(installed: Path, tmp_path: Path) -> None:
    assert "Betacam: SP" in run(installed, tmp_path, "-m", "crosswalk", "term", "BetaSP").stdout
    assert "pbcore-2.1.xsd" in run(installed, tmp_path, "-m", "crosswalk", "schemas").stdout

"""However many processes take part, and wherever the rows wait, the same comes out, byte for byte."""

from __future__ import annotations

import multiprocessing
import os
import signal
import subprocess
import sys
from functools import partial
from pathlib import Path
from typing import Any, NamedTuple

import msgspec
import pytest

from crosswalk.errors import CannotContinue, UnreadableInput
from crosswalk.mapping.store import RowStore
from crosswalk.pipeline import blocks, converting
from crosswalk.pipeline.converting import convert
from crosswalk.pipeline.run import Options, Outcome
from crosswalk.resources import samples_dir

MERROW = samples_dir() / "merrow"
needs_fork = pytest.mark.skipif(
    "fork" not in multiprocessing.get_all_start_methods(), reason="processes cannot be forked on this system"
)
pytestmark = needs_fork
NAMES_THE_FOLDER = {"account/report.html", "account/files.json"}


HOUSE = """asset-key = ["Asset"]
[[column]]
heading = "Asset"
to = "asset.identifier"
source = "Merrow"
[[column]]
heading = "Title"
to = "asset.title"
[[column]]
heading = "About"
to = "asset.description"
[[column]]
heading = "Tape"
to = "instantiation.identifier"
source = "Merrow shelf"
[[column]]
heading = "Format"
to = "instantiation.physical"
read = "carrier"
[[column]]
heading = "Place"
to = "instantiation.location"
"""


def with_troubles(folder: Path) -> Path:
    """A sheet in which records lack a title, numbers occur twice, and a column is named by no entry."""
    folder.mkdir(parents=True, exist_ok=True)
    (folder / "house.toml").write_text(HOUSE, encoding="utf-8")
    lines = ["Asset,Title,About,Tape,Format,Place,Colour of the box"]
    for number in range(200):
        title = "" if number // 2 % 9 == 5 else f"Tide table {number}"
        colour = "red" if number > 150 else ""
        carrier = "Betacam SP" if number % 4 else f"lantern {number}"
        lines.append(f"MC-{number // 2},{title},Tides.,{number % 170},{carrier},Vault 2,{colour}")
    (folder / "tapes.csv").write_text("\n".join(lines) + "\n", encoding="utf-8")
    return folder


def converted(out: Path, workers: int, house: Path | None = None, **more: Any) -> Outcome:
    """The sample's sheets, or those of a house, in documents so small that there are many."""
    options = Options(out=out, workers=workers, batch=7, decisions=str(MERROW / "decisions.csv"), **more)
    names = ("merrow-programmes", "merrow-video", "merrow-radio") if house is None else (str(house / "house.toml"),)
    sheets = [MERROW / "tape-library.xlsx", MERROW / "radio-ferry-hour.csv"] if house is None else [house / "tapes.csv"]
    return convert(sheets, msgspec.structs.replace(options, mappings=names))


def files(out: Path) -> dict[str, bytes]:
    return {path.relative_to(out).as_posix(): path.read_bytes() for path in sorted(out.rglob("*")) if path.is_file()}


class Alone(NamedTuple):
    """What one process makes of some sheets."""

    house: Path | None
    outcome: Outcome
    files: dict[str, bytes]


@pytest.fixture(scope="module", params=["sample", "troubles"])
def alone(request: pytest.FixtureRequest, tmp_path_factory: pytest.TempPathFactory) -> Alone:
    folder = tmp_path_factory.mktemp("alone")
    house = with_troubles(folder / "house") if request.param == "troubles" else None
    return Alone(house, converted(folder / "out", 1, house), files(folder / "out"))


@pytest.mark.parametrize("workers", [2, 3, 64])
@pytest.mark.parametrize("in_memory_bytes", [10_000_000, 20_000], ids=["in memory", "in a file"])
def test_the_output_is_the_same(
    workers: int,
    in_memory_bytes: int,
    alone: Alone,
    tmp_path: Path,
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    monkeypatch.setattr(converting, "RowStore", partial(RowStore, in_memory_bytes))
    found = converted(tmp_path / "out", workers, alone.house)
    written = files(tmp_path / "out")
    assert written.keys() == alone.files.keys()
    differing = {name for name, content in written.items() if content != alone.files[name]}
    assert differing <= NAMES_THE_FOLDER
    assert msgspec.structs.replace(found, out="") == msgspec.structs.replace(alone.outcome, out="")


def test_the_troubles_are_there(alone: Alone) -> None:
    assert len(alone.outcome.documents) > 10
    if alone.house is not None:
        assert alone.outcome.held
        assert {"MP01", "RC01", "RC11"} <= alone.outcome.counts.keys()
        assert alone.outcome.counts["MP01"] == 1


def test_without_a_ledger_there_is_none(tmp_path: Path) -> None:
    found = converted(tmp_path / "out", 2, ledger=False)
    assert sum(found.sums.values()) == found.cells_read > 0
    assert not (tmp_path / "out" / "account" / "ledger.csv").exists()


def _in_the_third_block(monkeypatch: pytest.MonkeyPatch, happens: Any) -> None:
    write = blocks.Work.write

    def writing(self: blocks.Work, block: Any, number: int, *rest: Any) -> None:
        if number == 3:
            happens()
        write(self, block, number, *rest)

    monkeypatch.setattr(blocks.Work, "write", writing)


@pytest.mark.parametrize("workers", [1, 2])
def test_what_stops_a_process_stops_the_run(workers: int, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    def stop() -> None:
        raise UnreadableInput("tapes.csv:9", "holds a character that XML forbids", "clean the text first")

    _in_the_third_block(monkeypatch, stop)
    with pytest.raises(UnreadableInput, match=r"tapes\.csv:9: holds a character") as caught:
        converted(tmp_path / "out", workers)
    assert caught.value.next_step == "clean the text first"
    assert list(tmp_path.iterdir()) == []


def test_a_process_that_is_killed_stops_the_run(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    _in_the_third_block(monkeypatch, lambda: os._exit(9))
    with pytest.raises(CannotContinue, match="ended before its work was done"):
        converted(tmp_path / "out", 2)
    assert list(tmp_path.iterdir()) == []
    assert multiprocessing.active_children() == []


ENDED = """
import os, signal, sys
from pathlib import Path
from crosswalk.cli import main
from crosswalk.pipeline import blocks

write = blocks.Work.write

def writing(self, block, number, *rest):
    if number == 3:
        os.kill({whom}, signal.{sign})
    write(self, block, number, *rest)

blocks.Work.write = writing
house, out, workers = sys.argv[1:]
sys.argv[1:] = ["convert", house + "/tapes.csv", "--mapping", house + "/house.toml", "--out", out, "--batch", "7",
                "--workers", workers]
main()
"""


@pytest.mark.parametrize(
    ("whom", "sign", "workers", "status"),
    [
        ("os.getppid()", "SIGKILL", 2, -signal.SIGKILL),
        ("os.getppid()", "SIGTERM", 2, 143),
        ("os.getpid()", "SIGTERM", 1, 143),
        ("os.getpid()", "SIGINT", 1, 130),
    ],
)
def test_a_run_that_is_ended_leaves_no_process_and_no_output(
    whom: str, sign: str, workers: int, status: int, tmp_path: Path
) -> None:
    """What the run says comes through a pipe, which closes when its last process has ended."""
    house = with_troubles(tmp_path / "house")
    script = ENDED.format(whom=whom, sign=sign)
    command = [sys.executable, "-c", script, str(house), str(tmp_path / "out"), str(workers)]
    ended = subprocess.run(command, capture_output=True, check=False, timeout=120)
    assert ended.returncode == status, ended.stderr.decode()
    assert not (tmp_path / "out").exists()
    if status > 0:
        assert [path.name for path in tmp_path.iterdir()] == ["house"]

"""Output folders: put in place whole, never over what no run of ours wrote, never outside themselves."""

from __future__ import annotations

import errno
import json
import sys
from pathlib import Path

import pytest

from crosswalk.delivery.folder import MANIFEST, OutputFolder
from crosswalk.errors import UnwritableOutput


class CutOff(BaseException):
    """Stands for whatever ends a run."""


def run(target: Path, files: dict[str, str], stop: BaseException | None = None) -> None:
    with OutputFolder(target) as folder:
        for name, content in files.items():
            folder.write(name, content.encode())
        if stop is not None:
            raise stop


def content(target: Path) -> dict[str, str]:
    files = {path.relative_to(target).as_posix(): path.read_text() for path in target.rglob("*") if path.is_file()}
    return {name: text for name, text in files.items() if name != MANIFEST}


def test_a_run_is_put_in_place_whole(tmp_path: Path) -> None:
    run(tmp_path / "a" / "out", {"x.xml": "1", "public/y.xml": "2"})
    assert content(tmp_path / "a" / "out") == {"x.xml": "1", "public/y.xml": "2"}
    assert list(json.loads((tmp_path / "a" / "out" / MANIFEST).read_text())) == ["public/y.xml", "x.xml"]
    assert [path.name for path in (tmp_path / "a").iterdir()] == ["out"]


def test_an_earlier_run_is_replaced_whole(tmp_path: Path) -> None:
    run(tmp_path / "out", {"x.xml": "1", "old.xml": "1"})
    run(tmp_path / "out", {"x.xml": "2"})
    assert content(tmp_path / "out") == {"x.xml": "2"}
    assert [path.name for path in tmp_path.iterdir()] == ["out"]


@pytest.mark.parametrize("stop", [CutOff(), KeyboardInterrupt(), ValueError()], ids=["cut off", "interrupted", "error"])
def test_a_run_that_ends_early_leaves_the_last_good_output(tmp_path: Path, stop: BaseException) -> None:
    run(tmp_path / "out", {"x.xml": "1"})
    with pytest.raises(type(stop)):
        run(tmp_path / "out", {"x.xml": "2", "y.xml": "2"}, stop)
    assert content(tmp_path / "out") == {"x.xml": "1"}
    assert [path.name for path in tmp_path.iterdir()] == ["out"]


def test_what_a_killed_run_left_is_cleared_away(tmp_path: Path) -> None:
    (tmp_path / ".out.unfinished").mkdir()
    (tmp_path / ".out.unfinished" / "half.xml").write_text("<half")
    run(tmp_path / "out", {"x.xml": "1"})
    assert content(tmp_path / "out") == {"x.xml": "1"}
    assert [path.name for path in tmp_path.iterdir()] == ["out"]


@pytest.mark.parametrize(
    "has_new", [True, False], ids=["killed before the old one was removed", "killed between the two"]
)
def test_a_run_that_was_killed_while_it_put_its_output_in_place_is_mended(tmp_path: Path, has_new: bool) -> None:
    run(tmp_path / "out", {"x.xml": "1"})
    (tmp_path / "out").rename(tmp_path / ".out.former")
    if has_new:
        run(tmp_path / "new", {"x.xml": "2"})
        (tmp_path / "new").rename(tmp_path / "out")
    with pytest.raises(CutOff):
        run(tmp_path / "out", {"x.xml": "3"}, CutOff())
    assert content(tmp_path / "out") == {"x.xml": "2" if has_new else "1"}
    run(tmp_path / "out", {"x.xml": "4"})
    assert content(tmp_path / "out") == {"x.xml": "4"}
    assert [path.name for path in tmp_path.iterdir()] == ["out"]


@pytest.mark.parametrize(
    "manifest",
    [None, "{}", '{"x.xml": [1]}', '["x.xml"]', "3", "not json"],
    ids=["none", "empty", "other files", "names of other files", "a number", "damaged"],
)
def test_a_folder_with_files_of_another_is_never_replaced(tmp_path: Path, manifest: str | None) -> None:
    out = tmp_path / "out"
    out.mkdir()
    (out / "thesis.odt").write_text("the only copy")
    if manifest is not None:
        (out / MANIFEST).parent.mkdir()
        (out / MANIFEST).write_text(manifest)
    with pytest.raises(UnwritableOutput, match=r"holds files that no earlier run wrote there: .*thesis\.odt"):
        run(out, {"x.xml": "1"})
    assert (out / "thesis.odt").read_text() == "the only copy"


def test_a_file_laid_among_our_own_is_kept_safe(tmp_path: Path) -> None:
    run(tmp_path / "out", {"x.xml": "1"})
    (tmp_path / "out" / "deep").mkdir()
    (tmp_path / "out" / "deep" / "notes.txt").write_text("mine")
    with pytest.raises(UnwritableOutput, match=r"deep/notes\.txt"):
        run(tmp_path / "out", {"x.xml": "2"})
    assert content(tmp_path / "out") == {"x.xml": "1", "deep/notes.txt": "mine"}


@pytest.mark.parametrize("edited", ["12345", "2"], ids=["another size", "the same size"])
@pytest.mark.parametrize("streamed", [True, False], ids=["streamed", "written at once"])
def test_a_file_that_was_changed_by_hand_is_kept_safe(tmp_path: Path, edited: str, streamed: bool) -> None:
    with OutputFolder(tmp_path / "out") as folder:
        folder.write("same.xml", b"1")
        if streamed:
            folder.path("public/x.xml").write_text("1")
        else:
            folder.write("public/x.xml", b"1")
    (tmp_path / "out/public/x.xml").write_text(edited)
    with pytest.raises(UnwritableOutput, match=r"changed since .*: public/x\.xml; move these files away"):
        run(tmp_path / "out", {"public/x.xml": "3"})
    assert content(tmp_path / "out") == {"same.xml": "1", "public/x.xml": edited}
    (tmp_path / "out/public/x.xml").rename(tmp_path / "kept.xml")
    run(tmp_path / "out", {"public/x.xml": "3"})
    assert content(tmp_path / "out") == {"public/x.xml": "3"}
    assert (tmp_path / "kept.xml").read_text() == edited


def test_a_large_file_is_known_by_its_size(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("crosswalk.delivery.folder.CHECKED_BYTES", 3)
    with OutputFolder(tmp_path / "out") as folder:
        folder.path("ledger.csv").write_text("12345")
    (tmp_path / "out" / "ledger.csv").write_text("123456")
    with pytest.raises(UnwritableOutput, match=r"ledger\.csv"):
        run(tmp_path / "out", {"x.xml": "1"})


def test_an_empty_folder_is_taken(tmp_path: Path) -> None:
    (tmp_path / "out").mkdir()
    run(tmp_path / "out", {"x.xml": "1"})
    assert content(tmp_path / "out") == {"x.xml": "1"}


@pytest.mark.parametrize("name", ["../x.xml", "a/../../x.xml", "/etc/x.xml", "..", "a/../../out.xml"])
def test_no_file_is_written_outside(tmp_path: Path, name: str) -> None:
    with pytest.raises(UnwritableOutput, match="outside the output folder"):
        run(tmp_path / "out", {name: "1"})
    assert not (tmp_path / "x.xml").exists()
    assert list(tmp_path.iterdir()) == []


def test_a_file_in_the_place_of_the_folder_is_said(tmp_path: Path) -> None:
    (tmp_path / "out").write_text("x")
    with pytest.raises(UnwritableOutput, match="is a file; give the name of a folder"):
        run(tmp_path / "out", {})
    assert (tmp_path / "out").read_text() == "x"


def test_a_folder_that_cannot_be_made_is_said(tmp_path: Path) -> None:
    (tmp_path / "file").write_text("x")
    with pytest.raises(UnwritableOutput, match=r"file/out: cannot be written \(Not a directory\)"):
        run(tmp_path / "file" / "out", {})


def test_the_root_is_no_place_for_an_output() -> None:
    with pytest.raises(UnwritableOutput, match="no place for an output"):
        OutputFolder(Path("/"))


def test_the_working_folder_itself_may_be_the_output(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    (tmp_path / "here").mkdir()
    monkeypatch.chdir(tmp_path / "here")
    run(Path(), {"x.xml": "1"})
    assert content(tmp_path / "here") == {"x.xml": "1"}


def test_a_full_disk_is_said_and_leaves_the_last_good_output(tmp_path: Path) -> None:
    run(tmp_path / "out", {"x.xml": "1"})
    with pytest.raises(UnwritableOutput, match="cannot be written"):
        run(tmp_path / "out", {"x.xml": "2"}, OSError(errno.ENOSPC, "No space left on device"))
    assert content(tmp_path / "out") == {"x.xml": "1"}


def test_an_input_that_fails_is_not_taken_for_the_output(tmp_path: Path) -> None:
    with pytest.raises(FileNotFoundError):
        run(tmp_path / "out", {}, FileNotFoundError(errno.ENOENT, "No such file", str(tmp_path / "in.csv")))


def test_a_link_to_a_folder_stays_a_link(tmp_path: Path) -> None:
    (tmp_path / "real").mkdir()
    (tmp_path / "link").symlink_to(tmp_path / "real")
    run(tmp_path / "link", {"x.xml": "1"})
    run(tmp_path / "link", {"x.xml": "2"})
    assert (tmp_path / "link").is_symlink()
    assert content(tmp_path / "real") == {"x.xml": "2"}


def test_the_files_of_a_run_are_listed_in_order(tmp_path: Path) -> None:
    with OutputFolder(tmp_path / "out") as folder:
        folder.write("b", b"")
        folder.write("a/c", b"")
        assert folder.files() == ["a/c", "b"]


@pytest.mark.skipif(sys.platform == "win32", reason="there is no lock on this system")
def test_two_runs_do_not_write_into_one_folder(tmp_path: Path) -> None:
    with OutputFolder(tmp_path / "out") as first:
        first.write("a.xml", b"first")
        with pytest.raises(UnwritableOutput, match="another run is writing there"), OutputFolder(tmp_path / "out"):
            pass
    assert (tmp_path / "out" / "a.xml").read_bytes() == b"first"
    with OutputFolder(tmp_path / "out") as again:
        again.write("b.xml", b"second")
    assert [path.name for path in tmp_path.iterdir()] == ["out"]

"""An output folder that is put in place whole: a run that is cut off leaves the last good output as it was.

All files are written into a folder beside the target. At the end the former output is moved out of the way, the new one
takes its place, and only then is the former one removed. A folder that holds anything which no run of ours wrote, or
that somebody changed since, is never replaced.
"""

from __future__ import annotations

import errno
import json
import shutil
import zlib
from contextlib import ExitStack
from pathlib import Path
from typing import TypeAlias

from crosswalk.delivery.lock import locked
from crosswalk.errors import UnwritableOutput

ACCOUNT = "account"  # what a run says of itself, apart from its documents
MANIFEST = f"{ACCOUNT}/files.json"  # every file that the run wrote, with its size in bytes and its CRC-32
CHECKED_BYTES = 64_000_000  # a larger file that was not written at once is known by its size alone: it costs nothing

Mark: TypeAlias = list[int]  # size in bytes, and CRC-32 where that was taken


class OutputFolder:
    """Use as a context: leaving it without an exception puts the folder in place."""

    def __init__(self, target: Path) -> None:
        self.target = target
        self._place = target.resolve()
        if not self._place.name:
            raise UnwritableOutput(target, "is no place for an output", "give the name of a folder")
        self._stage = self._place.with_name(f".{self._place.name}.unfinished")
        self._former = self._place.with_name(f".{self._place.name}.former")
        self._files: dict[str, Mark] = {}
        self._held = ExitStack()

    def __enter__(self) -> OutputFolder:
        with ExitStack() as held:
            try:
                if not self._place.parent.exists():
                    self._place.parent.mkdir(parents=True)
                held.enter_context(locked(self._place.with_name(f".{self._place.name}.lock")))
                self._recover()
                self._refuse_foreign()
                self._refuse_changed()
                shutil.rmtree(self._stage, ignore_errors=True)
                self._stage.mkdir()
            except BlockingIOError:
                step = "wait until it has ended, or choose another folder"
                raise UnwritableOutput(self.target, "another run is writing there", step) from None
            except OSError as error:
                raise _unwritable(self.target, error) from error
            self._held = held.pop_all()
        return self

    def __exit__(self, kind: type[BaseException] | None, error: BaseException | None, *_: object) -> None:
        try:
            if kind is None:
                self._put_in_place()
        except OSError as problem:
            raise _unwritable(self.target, problem) from problem
        finally:
            shutil.rmtree(self._stage, ignore_errors=True)
            self._held.close()
        if isinstance(error, OSError) and self._is_ours(error):
            raise _unwritable(self.target, error) from error

    def path(self, name: str) -> Path:
        """Where to write a file of that name (`/` between folders) until the folder is put in place."""
        path = self._stage / name
        if not path.resolve().is_relative_to(self._stage.resolve()):
            raise UnwritableOutput(self.target / name, "would stand outside the output folder", "choose another name")
        path.parent.mkdir(parents=True, exist_ok=True)
        self._files[name] = []
        return path

    def write(self, name: str, content: bytes) -> None:
        """Writes one file."""
        try:
            self.path(name).write_bytes(content)
            self._files[name] = _mark(content)
        except OSError as error:
            raise _unwritable(self.target / name, error) from error

    def written(self, name: str) -> None:
        """Notes a file that another process has written with this folder's `write`."""
        self._files[name] = []

    def files(self) -> list[str]:
        """The names of all files written so far, sorted."""
        return sorted(self._files)

    def _put_in_place(self) -> None:
        (self._stage / ACCOUNT).mkdir(exist_ok=True)
        marks = {name: self._files[name] or _mark_of(self._stage / name) for name in self.files()}
        (self._stage / MANIFEST).write_text(_listed(marks), encoding="utf-8")
        if self._place.exists():
            self._place.rename(self._former)
        self._stage.rename(self._place)
        shutil.rmtree(self._former, ignore_errors=True)

    def _is_ours(self, error: OSError) -> bool:
        """Whether an error of writing is about this folder: it names a file in it, or, as a full disk does, none."""
        return error.filename is None or Path(str(error.filename)).is_relative_to(self._stage)

    def _recover(self) -> None:
        """Mends what a run left that was cut off while it put its output in place."""
        if not self._former.exists():
            return
        if self._place.exists():
            shutil.rmtree(self._former)
        else:
            self._former.rename(self._place)

    def _refuse_foreign(self) -> None:
        if not self._place.exists():
            return
        if not self._place.is_dir():
            raise UnwritableOutput(self.target, "is a file", "give the name of a folder")
        present = {p.relative_to(self._place).as_posix() for p in self._place.rglob("*") if not p.is_dir()}
        foreign = sorted(present - self._written_before())
        if foreign:
            what = ", ".join(foreign[:3]) + (f" and {len(foreign) - 3} more" if len(foreign) > 3 else "")
            step = "choose another folder, or move these files away"
            raise UnwritableOutput(self.target, f"holds files that no earlier run wrote there: {what}", step)

    def _refuse_changed(self) -> None:
        """What a person changed in a former output would be gone: it is theirs to move away."""
        written = self._marks()
        changed = [name for name in sorted(written) if not _is_as_written(self._place / name, written[name])]
        if changed:
            what = ", ".join(changed[:3]) + (f" and {len(changed) - 3} more" if len(changed) > 3 else "")
            step = "move these files away to keep the changes, or delete them, or choose another folder"
            raise UnwritableOutput(self.target, f"holds files that were changed since they were written: {what}", step)

    def _written_before(self) -> set[str]:
        marks = self._marks()
        return {MANIFEST, *marks} if marks else set()

    def _marks(self) -> dict[str, Mark]:
        """What the former run wrote; nothing where no run of ours did."""
        try:
            marks = json.loads((self._place / MANIFEST).read_text(encoding="utf-8"))
        except (OSError, ValueError):
            return {}
        if isinstance(marks, list):  # as runs wrote it at first: names alone
            return {str(name): [] for name in marks}
        return marks if isinstance(marks, dict) else {}


def _mark(content: bytes) -> Mark:
    return [len(content), zlib.crc32(content)]


def _mark_of(path: Path) -> Mark:
    size = path.stat().st_size
    return [size] if size > CHECKED_BYTES else _mark(path.read_bytes())


def _is_as_written(path: Path, mark: Mark) -> bool:
    """Whether a file, if it is still there, has the size and the CRC-32 that it was written with."""
    if not mark or not path.is_file():
        return True
    size = path.stat().st_size
    return mark[:1] == [size] and (len(mark) == 1 or mark == _mark(path.read_bytes()))


def _listed(marks: dict[str, Mark]) -> str:
    """The manifest: a line a file."""
    lines = ",\n".join(f" {json.dumps(name)}: {json.dumps(mark)}" for name, mark in marks.items())
    return f"{{\n{lines}\n}}\n"


def _unwritable(path: Path, error: OSError) -> UnwritableOutput:
    full = error.errno in (errno.ENOSPC, errno.EDQUOT)
    step = "free some space, or choose another folder" if full else "choose a folder that can be written to"
    return UnwritableOutput(path, f"cannot be written ({error.strerror})", step)

"""An output folder that is put in place whole: a run that is cut off leaves the last good output as it was.

All files are written into a folder beside the target. At the end the former output is moved out of the way, the new one
takes its place, and only then is the former one removed. A folder that holds anything which no run of ours wrote is
never replaced.
"""

from __future__ import annotations

import json
import shutil
from pathlib import Path

from crosswalk.errors import UnwritableOutput

ACCOUNT = "account"  # what a run says of itself, apart from its documents
MANIFEST = f"{ACCOUNT}/files.json"  # names every file that the run wrote


class OutputFolder:
    """Use as a context: leaving it without an exception puts the folder in place."""

    def __init__(self, target: Path) -> None:
        self.target = target
        self._place = target.resolve()
        if not self._place.name:
            raise UnwritableOutput(target, "is no place for an output", "give the name of a folder")
        self._stage = self._place.with_name(f".{self._place.name}.unfinished")
        self._former = self._place.with_name(f".{self._place.name}.former")
        self._files: set[str] = set()

    def __enter__(self) -> OutputFolder:
        try:
            self._recover()
            self._refuse_foreign()
            shutil.rmtree(self._stage, ignore_errors=True)
            self._stage.mkdir(parents=True)
        except OSError as error:
            raise _unwritable(self.target, error) from error
        return self

    def __exit__(self, kind: type[BaseException] | None, error: BaseException | None, *_: object) -> None:
        try:
            if kind is None:
                self._put_in_place()
        except OSError as problem:
            raise _unwritable(self.target, problem) from problem
        finally:
            shutil.rmtree(self._stage, ignore_errors=True)
        if isinstance(error, OSError) and self._is_ours(error):
            raise _unwritable(self.target, error) from error

    def path(self, name: str) -> Path:
        """Where to write a file of that name (`/` between folders) until the folder is put in place."""
        path = self._stage / name
        if not path.resolve().is_relative_to(self._stage.resolve()):
            raise UnwritableOutput(self.target / name, "would stand outside the output folder", "choose another name")
        path.parent.mkdir(parents=True, exist_ok=True)
        self._files.add(name)
        return path

    def write(self, name: str, content: bytes) -> None:
        """Writes one file."""
        try:
            self.path(name).write_bytes(content)
        except OSError as error:
            raise _unwritable(self.target / name, error) from error

    def files(self) -> list[str]:
        """The names of all files written so far, sorted."""
        return sorted(self._files)

    def _put_in_place(self) -> None:
        (self._stage / ACCOUNT).mkdir(exist_ok=True)
        (self._stage / MANIFEST).write_text(json.dumps(self.files(), indent=1) + "\n", encoding="utf-8")
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

    def _written_before(self) -> set[str]:
        try:
            names = json.loads((self._place / MANIFEST).read_text(encoding="utf-8"))
        except (OSError, ValueError):
            return set()
        return {MANIFEST, *(str(name) for name in names)} if isinstance(names, list) else set()


def _unwritable(path: Path, error: OSError) -> UnwritableOutput:
    return UnwritableOutput(path, f"cannot be written ({error.strerror})", "free some space, or choose another folder")

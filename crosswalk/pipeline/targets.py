"""Where a run may write: over nothing that it reads."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from contextlib import suppress
from pathlib import Path

import msgspec

from crosswalk.checks.accepted import KnownFile
from crosswalk.delivery.folder import ACCOUNT, MANIFEST
from crosswalk.errors import UnwritableOutput
from crosswalk.pipeline.walking import STDIN, files_in


def refuse_overwriting(
    targets: Iterable[str | Path], inputs: Iterable[str | Path], others: Iterable[str | Path] = ()
) -> None:
    """Raises `UnwritableOutput` where a target is one of the inputs, another file that is read (mappings, profiles), or
    a file in an input folder that no run of ours wrote. What is no regular file is written into and loses nothing."""
    read = [Path(path) for path in inputs if str(path) != STDIN]
    beside = [Path(path) for path in others if path]
    for target in filter(Path.is_file, map(Path, targets)):
        if any(target.samefile(path) for path in beside if path.is_file()):
            raise UnwritableOutput(target, "is read by this run, and would be overwritten", "choose another place")
        if not _ours(target) and any(_holds(path, target) for path in read):
            raise UnwritableOutput(target, "is among the inputs, and would be overwritten", "choose another place")


def _holds(path: Path, target: Path) -> bool:
    if path.is_dir() and target.resolve().is_relative_to(path.resolve()):
        return True
    with suppress(OSError):
        return any(isinstance(file, Path) and target.samefile(file) for file in files_in([path]))
    return False


def _ours(target: Path) -> bool:
    """Whether a file can only be a run's: a list of known findings, or part of its account."""
    if target.parent.name == ACCOUNT and (target.parent.parent / MANIFEST).is_file():
        return True
    try:
        msgspec.json.decode(target.read_bytes(), type=KnownFile)
    except (OSError, msgspec.MsgspecError, UnicodeDecodeError):
        return False
    return True


def refuse_within(out: Path, inputs: Iterable[Path], files: Iterable[str], walks: bool = True) -> None:
    """Raises `UnwritableOutput` where an output folder lies in an input folder, since the next run would read it, or
    holds an input or a further file, which would go when it is replaced."""
    place = out.resolve()
    for path in (path.resolve() for path in inputs if str(path) != STDIN):
        if walks and place.is_relative_to(path):
            problem = f"lies in the input folder {path}, and the next run would read it"
            raise UnwritableOutput(out, problem, "choose a folder beside it")
        if path.is_relative_to(place):
            raise UnwritableOutput(out, f"holds the input {path}, and is replaced whole", "choose another folder")
    for file in files:
        if file and Path(file).resolve().is_relative_to(place):
            raise UnwritableOutput(file, f"would stand in {out}, which is replaced whole", "choose another place")


def files_read(options: object) -> Iterator[str]:
    """The files that options name beside the inputs."""
    for name in ("profile", "waivers", "decisions", "table", "template"):
        yield getattr(options, name, "")
    yield from getattr(options, "mappings", ())

"""The files at some paths: folders gone through in the order of names, links that loop met once."""

from __future__ import annotations

import os
from collections.abc import Iterable, Iterator
from pathlib import Path

from crosswalk.delivery.folder import ACCOUNT, MANIFEST
from crosswalk.errors import UnreadableInput
from crosswalk.findings import Finding, Origin, finding

STDIN = "-"
LOADED = "pbcore.xml"  # a record of a load set


def listed(paths: str | Path | Iterable[str | Path]) -> list[Path]:
    """Paths as a list, where there may be one alone."""
    return [Path(paths)] if isinstance(paths, str | Path) else [Path(path) for path in paths]


def files_in(paths: Iterable[str | Path]) -> Iterator[Path | Finding]:
    """The files, and a finding for each folder that cannot be opened. What a run says of itself (`account`), hidden
    files and the listings of a load set are passed over. Raises `UnreadableInput` where there is no such path."""
    for path in map(Path, paths):
        if str(path) == STDIN or _is_file(path):
            yield path
        elif os.path.isdir(path):  # noqa: PTH112
            yield from _folder(path)
        else:
            raise UnreadableInput(path, "there is no such file or folder", "check the name and its rights")


def _is_file(path: Path) -> bool:
    return os.path.isfile(path)  # noqa: PTH113  (Path.is_file raises where a folder may not be entered)


def _listings(place: Path, folders: list[str], names: list[str]) -> set[str]:
    """The files of a load set that list its records and their files, and describe none."""
    loaded = LOADED in names or any(_is_file(place / folder / LOADED) for folder in folders)
    return {name for name in names if name.endswith(".csv")} if loaded else set()


def _folder(folder: Path) -> Iterator[Path | Finding]:
    seen: set[tuple[int, int]] = set()
    troubles: list[Finding] = []

    def trouble(error: OSError) -> None:
        why = error.strerror or "cannot be opened"
        place = Origin(file=str(error.filename))
        troubles.append(finding("SC12", place, f"could not be read: {why}", value=str(error.filename)))

    for place, folders, names in os.walk(folder, followlinks=True, onerror=trouble):
        state = Path(place).stat()
        if (state.st_dev, state.st_ino) in seen:
            folders.clear()
            continue
        seen.add((state.st_dev, state.st_ino))
        account = (Path(place) / MANIFEST).is_file()
        folders[:] = sorted(n for n in folders if not n.startswith(".") and not (account and n == ACCOUNT))
        listings = _listings(Path(place), folders, names)
        yield from (Path(place, name) for name in sorted(names) if not name.startswith(".") and name not in listings)
    yield from troubles

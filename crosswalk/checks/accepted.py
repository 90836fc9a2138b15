"""Findings that are accepted: a list of known ones, so that only new ones fail, and waivers for single records."""

from __future__ import annotations

import csv
import os
from collections import Counter
from collections.abc import Iterable, Iterator
from functools import lru_cache
from pathlib import Path
from typing import Any

import msgspec

from crosswalk.errors import MappingError
from crosswalk.findings import Finding, Origin, codes, finding
from crosswalk.writing import shown

FORMAT = 3  # 3: files by their way from the list; 2: from the working folder, as they were named; 1: without `path`

NO_FILE = ("", "standard input")


class KnownFinding(msgspec.Struct, frozen=True, omit_defaults=True):
    """What tells one finding from another, however the lines of a file move: never the line or the message."""

    code: str
    file: str = ""
    record: str = ""
    path: str = ""
    value: str = ""


class KnownFile(msgspec.Struct, frozen=True):
    """The list as it is written: one line a finding, with how often it occurs."""

    format: int
    findings: list[dict[str, Any]]


def key_of(found: Finding) -> KnownFinding:
    """What a finding is known by: code, file (from the root), record (or else its cell), path and value."""
    origin = found.origin
    place = origin.record or origin.cell
    file = _from_root(shown(origin.file), Path.cwd())
    return KnownFinding(found.code, file, place, _numberless(origin.path), found.value)


@lru_cache(maxsize=4096)
def _from_root(file: str, folder: Path) -> str:
    """The name of a file that is named from a folder, from the root: one file has one name, however it is given."""
    return os.path.realpath(folder / file).replace("\\", "/") if file not in NO_FILE else file


def _from_folder(file: str, folder: Path) -> str:
    return os.path.relpath(file, folder.resolve()).replace("\\", "/") if file not in NO_FILE else file


def _numberless(path: str) -> str:
    """The path without the number of the record in its collection, which changes as records come and go."""
    before, mark, rest = path.partition("]/")
    return rest if mark and before.startswith("/pbcoreCollection") else path


def write_known(findings: Iterable[Finding], folder: Path) -> bytes:
    """The list of known findings as JSON, sorted, one finding a line, so that a change shows in a comparison. Files are
    named from the folder that the list will stand in."""
    counts = Counter(key_of(found) for found in findings)
    rows = []
    for known, times in sorted(counts.items(), key=lambda item: msgspec.structs.astuple(item[0])):
        known = msgspec.structs.replace(known, file=_from_folder(known.file, folder))
        row = msgspec.to_builtins(known) | ({"times": times} if times > 1 else {})
        rows.append(msgspec.json.encode(row).decode())
    return f'{{"format": {FORMAT}, "findings": [\n{",".join(f"{row}{chr(10)}" for row in rows)}]}}\n'.encode()


class Known:
    """A list of known findings in use: takes them out of the stream, and knows which no longer occur."""

    def __init__(self, left: Counter[KnownFinding], file: str = "", loose: bool = False) -> None:
        self._left = left
        self._file = file
        self._loose = loose  # an older list knows no paths
        self.count = 0

    def unknown(self, findings: Iterable[Finding]) -> Iterator[Finding]:
        """The findings that are not on the list; each entry covers as many as it counts."""
        for found in findings:
            known = key_of(found)
            if self._loose:
                known = msgspec.structs.replace(known, path="")
            if self._left[known] > 0:
                self._left[known] -= 1
                self.count += 1
            else:
                yield found

    def gone(self) -> Iterator[Finding]:
        """One note for each entry that no longer occurs, so that the list shrinks. Asked after the last finding."""
        for known, times in self._left.items():
            if times > 0:
                origin = Origin(file=_from_folder(known.file, Path.cwd()), record=known.record, path=known.path)
                text = f"{known.code} is on the list of known findings and no longer occurs"
                yield finding(
                    "KN01", origin, text, value=known.value, next_step=f"take it off {self._file or 'the list'}"
                )


def read_known(path: Path) -> Known:
    """The list in a file; raises MappingError where it is none, or was written by a newer version."""
    try:
        made = msgspec.json.decode(path.read_bytes(), type=KnownFile)
        if made.format > FORMAT:
            raise MappingError(
                path, f"is of format {made.format}", f"this version reads up to {FORMAT}: install a newer one"
            )
        folder = path.absolute().parent if made.format > 2 else Path.cwd()
        left: Counter[KnownFinding] = Counter()
        for row in made.findings:
            times = int(row.pop("times", 1))
            known = msgspec.convert(row, KnownFinding)
            left[msgspec.structs.replace(known, file=_from_root(known.file, folder))] += times
    except OSError as error:
        raise MappingError(path, "cannot be read", "check the name, or make it with --write-known") from error
    except (msgspec.MsgspecError, UnicodeDecodeError, ValueError) as error:
        raise MappingError(path, f"is no list of known findings: {error}", "make it anew with --write-known") from error
    return Known(left, str(path), loose=made.format < 2)


class Waivers:
    """What a house has decided to let pass, record by record: rows of its decisions of the kind `waiver`."""

    def __init__(self, waived: dict[tuple[str, str], int], file: str = "") -> None:
        self._waived = waived  # (record, code or family): line in the file
        self._used: set[tuple[str, str]] = set()
        self._file = file

    def left(self, findings: Iterable[Finding]) -> Iterator[Finding]:
        """The findings that no waiver covers."""
        for found in findings:
            record = found.origin.record
            key = next((k for k in ((record, found.code), (record, found.family)) if k in self._waived), None)
            if key is None:
                yield found
            else:
                self._used.add(key)

    def unused(self) -> Iterator[Finding]:
        """One note for each waiver that nothing needed. Asked after the last finding."""
        for (record, code), line in self._waived.items():
            if (record, code) not in self._used:
                origin = Origin(file=self._file, line=line, record=record)
                yield finding("KN02", origin, f"{record} has a waiver for {code}, and nothing to waive", value=code)


def read_waivers(path: Path) -> Waivers:
    """The waivers in a decisions file (columns kind, text, decided; text is the record's identifier, decided the code).

    Raises MappingError, with the line, where a waiver names no code."""
    waived: dict[tuple[str, str], int] = {}
    known = set(codes()) | {code[:2] for code in codes()}
    try:
        with path.open(encoding="utf-8-sig", newline="") as stream:
            reader = csv.DictReader(stream)
            for row in reader:
                if (row.get("kind") or "").strip() == "waiver":
                    code = (row.get("decided") or row.get("value") or "").strip()
                    if code not in known:
                        raise MappingError(f"{path}:{reader.line_num}", f'"{code}" is no code and no family', "mend it")
                    waived[(row.get("text") or "").strip(), code] = reader.line_num
    except (OSError, UnicodeDecodeError, csv.Error) as error:
        raise MappingError(path, f"cannot be read ({error})", "check the name; save it as UTF-8") from error
    return Waivers(waived, str(path))

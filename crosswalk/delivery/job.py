"""The job file: the sheets, mappings, rights review and outputs of one recurring piece of work."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import permutations
from pathlib import Path, PurePosixPath, PureWindowsPath

import msgspec

from crosswalk.errors import MappingError, raise_all
from crosswalk.tomlio import Mistake, complaint, read_toml


class Sheets(msgspec.Struct, frozen=True, forbid_unknown_fields=True, rename="kebab"):
    """One file of sheets and the mappings that read it (names of shipped ones, or files beside the job)."""

    file: str
    mapping: list[str]


class Review(msgspec.Struct, frozen=True, forbid_unknown_fields=True, rename="kebab", kw_only=True):
    """Where the rights review stands and which of its words mean what. A word that is not named here holds."""

    file: str
    sheet: str = ""
    asset: str  # the heading of the column with the asset's identifier
    decision: str
    reason: str = ""
    open: tuple[str, ...] = ("open",)
    in_house: tuple[str, ...] = ("in-house only",)
    hold: tuple[str, ...] = ("hold",)


class Output(msgspec.Struct, frozen=True, forbid_unknown_fields=True, rename="kebab", kw_only=True):
    """One output: a standard, whom it is for (public or house), and the folder below the job's output folder."""

    standard: str
    folder: str
    audience: str = "public"
    one_each: bool = False
    batch: int = 500


class Job(msgspec.Struct, frozen=True, forbid_unknown_fields=True, rename="kebab", kw_only=True):
    """One job file."""

    title: str
    holder: str
    sheets: list[Sheets]
    output: list[Output]
    review: Review | None = None
    decisions: str = ""
    profile: str = ""
    collection_title: str = ""
    base_uri: str = "https://example.org/"
    path: str = ""  # filled by the loader

    @property
    def folder(self) -> Path:
        """The folder that the names in the job are relative to."""
        return Path(self.path).parent


MAX_BATCH = 500  # libxml2's log of errors grows with the square of the errors in one document
AUDIENCES = ("public", "house")


def load_job(path: str | Path) -> Job:
    """The job in a file. Raises one `MappingError` that names all mistakes, each with file, line and key."""
    job, mistakes = read_toml(path, Job)
    told = {one.table for one in mistakes}
    if job is not None:
        mistakes += [one for one in _mistakes(path, job) if one.table not in told]
    raise_all(one.error for one in mistakes)
    assert job is not None
    placed = [msgspec.structs.replace(output, folder=_one_spelling(output.folder)) for output in job.output]
    return msgspec.structs.replace(job, output=placed, path=str(path))


def _mistakes(path: str | Path, job: Job) -> Iterator[Mistake]:
    """What makes no sense in a job of the right form."""
    for number, output in enumerate(job.output):
        yield from (Mistake(f"output[{number}]", error) for error in _of_output(path, output, f"output[{number}]"))
    yield from _stacked(path, job.output)
    if job.review is None and any(output.audience == "public" for output in job.output):
        error = MappingError(path, "has an output for the public and no rights review", "add a [review]")
        yield Mistake("review", error)


def _of_output(path: str | Path, output: Output, table: str) -> Iterator[MappingError]:
    if output.audience not in AUDIENCES:
        problem = f'"{output.audience}" is no audience'
        yield complaint(path, output.audience, problem, f"use {' or '.join(AUDIENCES)}", table)
    if _escapes(output.folder):
        problem = f'"{output.folder}" is no folder below the job\'s output folder'
        step = f'write something like "{output.audience}/pbcore"'
        yield complaint(path, output.folder or "folder", problem, step, table)
    if not 1 <= output.batch <= MAX_BATCH:
        yield complaint(path, "batch", f"{output.batch} is no size of a batch", f"use 1 to {MAX_BATCH}", table)


def _one_spelling(folder: str) -> str:
    return str(PurePosixPath(folder.replace("\\", "/")))


def _escapes(folder: str) -> bool:
    """Whether it is no folder below. The job's own folder is for lists that the public must not see."""
    path = PurePosixPath(_one_spelling(folder))
    return not path.parts or path.is_absolute() or ".." in path.parts or bool(PureWindowsPath(folder).drive)


def _stacked(path: str | Path, outputs: list[Output]) -> Iterator[Mistake]:
    """Outputs inside another: what is for the house alone must not stand in a folder that is handed out."""
    plain = [PurePosixPath(_one_spelling(output.folder).casefold()) for output in outputs]
    folders = [(number, output.folder, plain[number]) for number, output in enumerate(outputs)]
    for (number, name, folder), (_, other, around) in permutations(folders, 2):
        if not _escapes(name) and not _escapes(other) and folder.is_relative_to(around):
            problem, table = f'the output "{name}" stands in the output "{other}"', f"output[{number}]"
            yield Mistake(table, complaint(path, name, problem, "give each output a folder of its own", table))

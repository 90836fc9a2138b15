"""The job file: the sheets, mappings, rights review and outputs of one recurring piece of work."""

from __future__ import annotations

from itertools import permutations
from pathlib import Path, PurePosixPath, PureWindowsPath

import msgspec

from crosswalk.errors import MappingError
from crosswalk.tomlio import complaint, load_toml


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
    """The job in a file. Raises `MappingError` that names the file, the line and the key."""
    job = load_toml(path, Job)
    for output in job.output:
        if output.audience not in AUDIENCES:
            problem = f'"{output.audience}" is no audience'
            raise complaint(path, output.audience, problem, f"use {' or '.join(AUDIENCES)}")
    job = msgspec.structs.replace(job, output=[_placed(path, output) for output in job.output])
    _check_apart(path, job.output)
    if any(output.audience == "public" for output in job.output) and job.review is None:
        raise MappingError(path, "has an output for the public and no rights review", "add a [review]")
    return msgspec.structs.replace(job, path=str(path))


def _placed(path: str | Path, output: Output) -> Output:
    """The output with its folder in one spelling. The job's own folder is for lists that the public must not see."""
    folder = PurePosixPath(output.folder.replace("\\", "/"))
    if not folder.parts or folder.is_absolute() or ".." in folder.parts or PureWindowsPath(output.folder).drive:
        problem = f'"{output.folder}" is no folder below the job\'s output folder'
        raise complaint(path, output.folder or "folder", problem, f'write something like "{output.audience}/pbcore"')
    if not 1 <= output.batch <= MAX_BATCH:
        raise complaint(path, "batch", f"{output.batch} is no size of a batch", f"use 1 to {MAX_BATCH}")
    return msgspec.structs.replace(output, folder=str(folder))


def _check_apart(path: str | Path, outputs: list[Output]) -> None:
    """No output inside another: what is for the house alone must not stand in a folder that is handed out."""
    for one, other in permutations(outputs, 2):
        if PurePosixPath(one.folder.casefold()).is_relative_to(other.folder.casefold()):
            problem = f'the output "{one.folder}" stands in the output "{other.folder}"'
            raise complaint(path, one.folder, problem, "give each output a folder of its own")

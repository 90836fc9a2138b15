"""What a job names and what is not there: files, mappings, standards, a profile. All of it is told at once, with the
line of the job file, before anything is read."""

from __future__ import annotations

from collections.abc import Iterator

from crosswalk.checks.run import profiles
from crosswalk.delivery.job import Job
from crosswalk.errors import CannotContinue, MappingError
from crosswalk.pipeline.converting import writable
from crosswalk.pipeline.gather import find_mapping
from crosswalk.tomlio import complaint


def missing(job: Job) -> Iterator[MappingError]:
    """A mistake for each name that leads nowhere."""
    for number, sheets in enumerate(job.sheets):
        yield from _file(job, sheets.file, f"sheets[{number}]")
        for mapping in sheets.mapping:
            try:
                find_mapping(mapping, job.folder)
            except MappingError as error:
                problem = f'"{mapping}": {error.problem}'
                yield complaint(job.path, mapping, problem, error.next_step, f"sheets[{number}]")
    if job.review is not None:
        yield from _file(job, job.review.file, "review")
    if job.decisions:
        yield from _file(job, job.decisions)
    yield from _profile(job)
    for number, output in enumerate(job.output):
        try:
            writable(output.standard)
        except CannotContinue as error:
            problem = f'"{output.standard}" {error.problem}'
            yield complaint(job.path, output.standard, problem, error.next_step, f"output[{number}]")


def _file(job: Job, name: str, table: str = "") -> Iterator[MappingError]:
    if not (job.folder / name).is_file():
        step = "check the name; it is relative to the job"
        yield complaint(job.path, name, f'the file "{name}" is not there', step, table)


def _profile(job: Job) -> Iterator[MappingError]:
    shipped = [path.stem for path in profiles()]
    if job.profile and job.profile not in shipped and not (job.folder / job.profile).is_file():
        step = f"give a file beside the job (.toml, .sch), or one of: {', '.join(shipped)}"
        yield complaint(job.path, job.profile, f'`profile`: "{job.profile}" is not there', step)

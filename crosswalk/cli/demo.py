"""`crosswalk demo`."""

from __future__ import annotations

import os
from pathlib import Path

import click

from crosswalk.cli.common import answer, as_json, progress, stamp, stopping


@click.command("demo")
@click.option("--out", type=click.Path(path_type=Path), default=Path("out/demo"), show_default=True)
@as_json
def command(out: Path, json_out: bool) -> None:
    """Run the main job on the sample scenario, an invented broadcaster's tape library.

    Its sheets are as messy as real ones, so there are findings; the exit status is 0 all the same.
    """
    from crosswalk.pipeline.delivering import deliver
    from crosswalk.pipeline.run import Options
    from crosswalk.resources import samples_dir

    with stopping(), progress() as show:
        job = os.path.relpath(samples_dir() / "merrow" / "job.toml")
        outcome = deliver(job, Options(out=out, progress=show, stamp=stamp()))
    answer(outcome, json_out, "never")

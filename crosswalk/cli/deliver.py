"""`crosswalk deliver`."""

from __future__ import annotations

from pathlib import Path

import click

from crosswalk.cli.common import OUT, answer, as_json, fail_on, progress, stamp, stopping


@click.command("deliver")
@click.argument("job", type=click.Path(path_type=Path))
@OUT
@fail_on
@as_json
def command(job: Path, out: Path, fail_on: str, json_out: bool) -> None:
    """Run a job: records, rights gate, documents for the public and the house, and the account of every cell."""
    from crosswalk.pipeline.delivering import deliver
    from crosswalk.pipeline.run import Options

    with stopping(), progress() as show:
        outcome = deliver(job, Options(out=out, progress=show, stamp=stamp()))
    answer(outcome, json_out, fail_on)

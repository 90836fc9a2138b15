"""`crosswalk compare`."""

from __future__ import annotations

import sys
from pathlib import Path

import click

from crosswalk.cli.common import as_json, stopping

KINDS = ("text", "json", "csv", "html")


@click.command("compare")
@click.argument("left", type=click.Path(path_type=Path))
@click.argument("right", type=click.Path(path_type=Path))
@click.option("--pair-by", default="", metavar="SOURCE", help="Pair records by the identifier of this source.")
@click.option("--same-case", "case", is_flag=True, help="Upper and lower case are the same.")
@click.option("--same-space", "space", is_flag=True, help="Runs of white space are the same.")
@click.option("--same-dates", "dates", is_flag=True, help="Dates are the same whatever their form.")
@click.option("--same-order", "order", is_flag=True, help="The order of repeated fields does not matter.")
@click.option("--ignore", multiple=True, metavar="FIELD", help="Do not compare it, as asset.title@source; repeatable.")
@click.option("--report", "reports", multiple=True, metavar="KIND=FILE", help="Write a report: text, json, csv, html.")
@as_json
def command(
    left: Path, right: Path, pair_by: str, ignore: tuple[str, ...], reports: tuple[str, ...], json_out: bool,
    **same: bool,
) -> None:  # fmt: skip
    """Compare two sets of records, field by field: what was sent with what came back, this month with last.

    Exit status 1 where they differ.
    """
    from crosswalk.delivery.compare import as_json as to_json
    from crosswalk.delivery.compare import as_text, by_identifier
    from crosswalk.delivery.differences import Equivalences
    from crosswalk.pipeline.comparing import compare, write_comparison
    from crosswalk.pipeline.targets import refuse_overwriting

    for word in reports:
        kind, _, file = word.partition("=")
        if kind not in KINDS or not file:
            raise click.UsageError(f"--report {word}: give KIND=FILE with one of {', '.join(KINDS)}")
    with stopping():
        refuse_overwriting((word.partition("=")[2] for word in reports), (left, right))
        found = compare(left, right, Equivalences(ignore=ignore, **same), by_identifier(pair_by))
        for word in reports:
            kind, _, file = word.partition("=")
            write_comparison(found, kind, Path(file))
    click.echo(to_json(found).decode() if json_out else as_text(found), nl=not json_out)
    sys.exit(int(found.differ))

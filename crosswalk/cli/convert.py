"""`crosswalk convert`."""

from __future__ import annotations

import os
from pathlib import Path

import click

from crosswalk.cli.common import OUT, answer, as_json, fail_on, progress, stamp, stopping

COLUMNS = "columns"
MOST_WORKERS = 8  # unless more are asked for: reading the rows and putting the parts together is one process's work


@click.command("convert")
@click.argument("inputs", nargs=-1, required=True, type=click.Path(path_type=Path))
@click.option("--to", default="pbcore", show_default=True, help="The standard to write.")
@OUT
@click.option("--mapping", "mappings", multiple=True, help="How to read a sheet: a file or a shipped name.")
@click.option("--public", is_flag=True, help="Leave out what the mapping keeps in the house. It is no rights review.")
@click.option("--one-each", is_flag=True, help="One file a record, named by its identifier.")
@click.option("--batch", type=click.IntRange(1, 500), default=500, show_default=True, help="Records in one file.")
@click.option("--base-uri", default="https://example.org/", help="URIs are minted below it.")
@click.option("--table", default="", help="A crosswalk table of your own, overriding rows of the shipped one.")
@click.option("--language", default="", metavar="TAG", help="Language of titles and descriptions, such as en.")
@click.option("--contact", default="records@example.org", help="Of OAI files: whom a harvester writes to.")
@click.option("--decisions", default="", type=click.Path(), help="Decisions of a person (CSV), applied first.")
@click.option("--losses", default="", type=click.Path(), help="List here, value by value, what is not carried.")
@click.option("--repair", is_flag=True, help="Mend invalid PBCore where that is certain; lists each repair.")
@click.option("--template", default="", type=click.Path(), help="Of a load set: the columns of its index.")
@click.option("--strict", is_flag=True, help="What a lenient reading reports as a warning is an error.")
@click.option("--form", type=click.Choice(("xlsx", "csv")), default="xlsx", help="Of --to columns.")
@click.option("--original", is_flag=True, help="Of --to columns: wordings as they were written, where known.")
@click.option(
    "--workers",
    type=click.IntRange(1, 64),
    default=lambda: min(os.cpu_count() or 1, MOST_WORKERS),
    show_default=f"one a core, {MOST_WORKERS} at most",
    help="Processes for a large sheet.",
)
@click.option("--ledger/--no-ledger", default=True, help="Write the account of all cells.")
@fail_on
@as_json
def command(
    inputs: tuple[Path, ...], mappings: tuple[str, ...], form: str, original: bool, fail_on: str, json_out: bool,
    **options: object,
) -> None:  # fmt: skip
    """Turn any readable input into any writable standard.

    Sheets (XLSX, ODS, CSV) need a --mapping; documents are recognised by their content. --to columns runs a mapping
    backwards: records go back into the columns of the sheet that it reads, and what cannot go back is listed.
    """
    from crosswalk.pipeline.converting import convert
    from crosswalk.pipeline.returning import Form, return_to_sheet
    from crosswalk.pipeline.run import Options

    with stopping(), progress() as show:
        run = Options(mappings=mappings, progress=show, stamp=stamp(), **options)  # type: ignore[arg-type]
        if run.to != COLUMNS:
            outcome = convert(inputs, run)
        elif len(mappings) != 1:
            raise click.UsageError("--to columns needs exactly one --mapping.")
        else:
            outcome = return_to_sheet(inputs, mappings[0], run, Form(suffix=f".{form}", original=original))
    answer(outcome, json_out, fail_on)

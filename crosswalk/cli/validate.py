"""`crosswalk validate`."""

from __future__ import annotations

import sys
from pathlib import Path

import click

from crosswalk.checks.selection import LAYERS
from crosswalk.cli.common import FAIL_ON, as_json, progress, status, stopping


@click.command("validate")
@click.argument("paths", nargs=-1)
@click.option("--layer", "layers", multiple=True, type=click.Choice(LAYERS), help="Only this layer; repeatable.")
@click.option("--profile", default="", help="Requirements of a receiving party: a name, .toml or .sch.")
@click.option("--phase", default="", help="The phase of a Schematron profile.")
@click.option("--mapping", "mappings", multiple=True, help="How to read sheets.")
@click.option("--report", "reports", multiple=True, metavar="KIND=FILE",
              help="Write a report: text, lines, json, junit, sarif, html, csv or svrl; repeatable.")  # fmt: skip
@click.option("--select", multiple=True, metavar="CODE", help="Only findings of this code or family; repeatable.")
@click.option("--ignore", multiple=True, metavar="CODE", help="No findings of this code or family; repeatable.")
@click.option("--known", default="", type=click.Path(), help="Findings that are accepted for now.")
@click.option("--write-known", type=click.Path(path_type=Path), help="Write what is found as such a list.")
@click.option("--waivers", default="", type=click.Path(), help="Decisions (CSV) with waivers for single records.")
@click.option("--workers", type=click.IntRange(1, 64), default=1, show_default=True, help="Files checked side by side.")
@click.option("--strict", is_flag=True, help="What a lenient reading reports as a warning is an error.")
@click.option("--lines", is_flag=True, help="One line a finding: file:line: message.")
@click.option("--explain", metavar="CODE", help="Explain a code, and stop.")
@click.option("--fail-on", type=click.Choice(FAIL_ON), help="Exit with 1 at this severity or above.  [default: error]")
@as_json
def command(
    paths: tuple[str, ...], layers: tuple[str, ...], reports: tuple[str, ...], write_known: Path | None, lines: bool,
    explain: str | None, fail_on: str | None, json_out: bool, **given: object,
) -> None:  # fmt: skip
    """Check finished documents, or sheets with a --mapping: schema, vocabulary, rules, profile.

    Files, folders, or - for standard input. Settings are also read from crosswalk.toml or pyproject.toml. Nothing is
    fetched from a network.
    """
    if explain:
        with stopping():
            from crosswalk.reports.reference import explain as explained
            from crosswalk.reports.reference import explain_json

            click.echo((explain_json if json_out else explained)(explain))
        return
    if not paths:
        raise click.UsageError("Give at least one file or folder, or - for standard input.")
    from crosswalk.checks.accepted import write_known as known_list
    from crosswalk.checks.selection import settings
    from crosswalk.errors import MappingError
    from crosswalk.pipeline.targets import files_read, refuse_overwriting
    from crosswalk.pipeline.validating import ValidateOptions, validate
    from crosswalk.reports.kinds import render, requests, write_reports
    from crosswalk.reports.terminal import summary
    from crosswalk.writing import write_whole

    try:
        wanted = requests(reports)
    except MappingError as error:
        raise click.UsageError(str(error)) from error
    with stopping(), progress() as show:
        set_here = settings(Path.cwd())
        stated = {name: value or getattr(set_here, name, value) for name, value in given.items()}
        if write_known is not None and _is_to_be_made(stated["known"], write_known):
            stated["known"] = ""
        chosen = layers or set_here.layer or LAYERS
        options = ValidateOptions(layers=chosen, progress=show, **stated)  # type: ignore[arg-type]
        targets = [file for _, file in wanted]
        refuse_overwriting([*targets, *([write_known] if write_known else [])], paths, files_read(options))
        refuse_overwriting(targets, (), [options.known])
        report = validate(paths, options)
        threshold = fail_on or set_here.fail_on or "error"
        write_reports(report, wanted, threshold)
        if write_known is not None:
            write_whole(write_known, known_list(report.findings, write_known.parent))
    if json_out or lines:
        click.echo(render("json" if json_out else "lines", report), nl=False)
    else:
        click.echo(summary(report, colour=sys.stdout.isatty()), nl=False)
    sys.exit(status(report.by_severity, threshold))


def _is_to_be_made(known: object, write_known: Path) -> bool:
    """Whether the list of known findings is the one that is to be written: then everything that is found is on it."""
    return bool(known) and Path(str(known)).absolute() == write_known.absolute()

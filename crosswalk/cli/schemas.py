"""`crosswalk schemas`."""

from __future__ import annotations

import json
import tomllib

import click

from crosswalk.cli.common import as_json, stopping

SHOWN = ("namespace", "edition", "publisher", "address")


@click.command("schemas")
@as_json
def command(json_out: bool) -> None:
    """List the schemas in use, and the published ones that they stand for."""
    from crosswalk.resources import schemas_dir

    with stopping():
        entries = tomllib.loads((schemas_dir() / "catalogue.toml").read_text(encoding="utf-8"))["schema"]
    if json_out:
        click.echo(json.dumps(entries, indent=2))
        return
    for entry in entries:
        click.echo(f"{entry['key']}: {entry['describes']}")
        for name in SHOWN:
            click.echo(f"    {name:10} {entry.get(name, '')}")
        click.echo(f"    {'validates':10} with {entry['file']}, the project's own writing")

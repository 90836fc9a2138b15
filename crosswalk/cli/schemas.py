"""`crosswalk schemas`."""

from __future__ import annotations

import json

import click

from crosswalk.cli.common import as_json, stopping


@click.command("schemas")
@as_json
def command(json_out: bool) -> None:
    """List the schemas in use and where the published ones come from."""
    from crosswalk.resources import catalogue

    with stopping():
        entries = catalogue()
    if json_out:
        click.echo(json.dumps(entries, indent=2, default=str))
        return
    for name, entry in entries.items():
        click.echo(f"{name:32} {entry.get('title', '')}")
        click.echo(f"{'':32} namespace {entry.get('namespace', '')}")
        click.echo(f"{'':32} published at {entry.get('address', '')}")

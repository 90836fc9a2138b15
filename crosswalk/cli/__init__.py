"""The command line: one module a command, loaded when it is called. Each parses, calls the API, reports; no logic."""

from __future__ import annotations

from importlib import import_module

import click

COMMANDS = ("compare", "convert", "deliver", "demo", "schemas", "term", "validate")


class Commands(click.Group):
    """A group whose commands are modules of this package."""

    def list_commands(self, ctx: click.Context) -> list[str]:
        """The names of all commands."""
        return list(COMMANDS)

    def get_command(self, ctx: click.Context, cmd_name: str) -> click.Command | None:
        """The command of that name, None where there is none."""
        if cmd_name not in COMMANDS:
            return None
        command: click.Command = import_module(f"crosswalk.cli.{cmd_name}").command
        return command


@click.group(cls=Commands, context_settings={"help_option_names": ["-h", "--help"], "max_content_width": 110})
@click.version_option(package_name="shelf-to-standard", prog_name="crosswalk")
def main() -> None:
    """Spreadsheets about tapes, discs, reels and files to PBCore, Dublin Core and RDF, with every cell accounted for.

    Exit status: 0 clean, 1 findings at or above --fail-on, 2 wrong usage, 3 could not run, 130 or 143
    ended from outside.
    """

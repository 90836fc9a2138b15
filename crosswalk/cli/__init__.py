"""The command line: one module a command, loaded when it is called. Each parses, calls the API, reports; no logic."""

from __future__ import annotations

import errno
import os
import sys
from contextlib import suppress
from importlib import import_module
from typing import Any, NoReturn

import click

from crosswalk.writing import SHOWN

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

    def main(self, *args: Any, **extra: Any) -> Any:
        """Runs the program. Where its answer cannot be written, a line says so."""
        if hasattr(sys.stdout, "reconfigure"):
            sys.stdout.reconfigure(errors=SHOWN)
        try:
            return super().main(*args, **extra)
        except OSError as error:
            _unwritten(error)

    def invoke(self, ctx: click.Context) -> Any:
        """Runs a command; click itself would be silent about a pipe that is closed."""
        if sys.stdout is None:
            _unwritten(OSError(errno.EBADF, "it is closed"))
        try:
            return super().invoke(ctx)
        except OSError as error:
            _unwritten(error)


def _unwritten(error: OSError) -> NoReturn:
    """Ends the program: it could not run. What is still waiting to be written goes nowhere, or Python would try."""
    where = error.filename or "standard output"
    click.echo(f"crosswalk: {where}: cannot be used ({error.strerror})", err=True)
    with suppress(OSError, AttributeError, ValueError):
        os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())
    sys.exit(3)


@click.group(cls=Commands, context_settings={"help_option_names": ["-h", "--help"], "max_content_width": 110})
@click.version_option(package_name="shelf-to-standard", prog_name="crosswalk")
def main() -> None:
    """Spreadsheets about tapes, discs, reels and files to PBCore, Dublin Core and RDF, with every cell accounted for.

    Exit status: 0 clean, 1 findings at or above --fail-on, 2 wrong usage, 3 could not run, 130 or 143
    ended from outside.
    """

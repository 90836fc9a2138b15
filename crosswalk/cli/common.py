"""What the commands share: options, the clock, progress on a terminal, the exit status."""

from __future__ import annotations

import os
import signal
import sys
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from datetime import UTC, datetime
from pathlib import Path
from typing import TYPE_CHECKING, Any, TypeVar

import click

from crosswalk.errors import CannotContinue
from crosswalk.findings import Severity

if TYPE_CHECKING:
    from crosswalk.pipeline.run import Outcome

Command = TypeVar("Command", bound=Callable[..., Any])
FAIL_ON = ("error", "warning", "note", "never")


def fail_on(command: Command) -> Command:
    """Adds --fail-on."""
    text = "Exit with 1 where a finding is at least this severe."
    return click.option("--fail-on", type=click.Choice(FAIL_ON), default="error", show_default=True, help=text)(command)


def as_json(command: Command) -> Command:
    """Adds --json."""
    return click.option("--json", "json_out", is_flag=True, help="Answer in JSON, for programs.")(command)


@contextmanager
def stopping() -> Iterator[None]:
    """Turns an exception that stops the run into a message and exit status 3. A run that is ended from outside cleans
    up, and has the exit status of shells: 130 after an interruption, 143 after a request to end."""
    former = signal.signal(signal.SIGTERM, lambda *_: sys.exit(143))
    try:
        yield
    except CannotContinue as error:
        click.echo(f"crosswalk: {error}", err=True)
        sys.exit(3)
    except KeyboardInterrupt:
        click.echo("crosswalk: interrupted; nothing was put in place", err=True)
        sys.exit(130)
    finally:
        signal.signal(signal.SIGTERM, former)


def status(severities: dict[str, int], threshold: str) -> int:
    """The exit status for findings by severity.

    >>> status({"warning": 3}, "error"), status({"warning": 3}, "warning"), status({"error": 1}, "never")
    (0, 1, 0)
    """
    if threshold == "never":
        return 0
    least = Severity[threshold.upper()]
    return int(any(count and Severity[name.upper()] >= least for name, count in severities.items()))


def stamp() -> str:
    """The time of the run in UTC. SOURCE_DATE_EPOCH (reproducible-builds.org) fixes it, so that runs compare."""
    fixed = os.environ.get("SOURCE_DATE_EPOCH")
    try:
        moment = datetime.fromtimestamp(int(fixed), UTC) if fixed else datetime.now(UTC)
    except (ValueError, OverflowError, OSError) as error:
        problem = f'"{fixed}" is no number of seconds since 1970 that a date can be made of'
        raise CannotContinue("SOURCE_DATE_EPOCH", problem, "give a whole number, or unset it") from error
    return moment.strftime("%Y-%m-%dT%H:%M:%SZ")


@contextmanager
def progress() -> Iterator[Callable[[str, int], None] | None]:
    """A progress line on a terminal; nothing in a pipe."""
    if not sys.stderr.isatty():
        yield None
        return
    from rich.console import Console
    from rich.progress import Progress, SpinnerColumn, TextColumn, TimeElapsedColumn

    columns = (SpinnerColumn(), TextColumn("{task.description}"), TextColumn("{task.completed:,}"), TimeElapsedColumn())
    with Progress(*columns, console=Console(stderr=True), transient=True) as bars:
        tasks: dict[str, Any] = {}

        def show(stage: str, done: int) -> None:
            if stage not in tasks:
                tasks[stage] = bars.add_task(stage, total=None)
            bars.update(tasks[stage], completed=done)

        yield show


def answer(outcome: Outcome, json_out: bool, threshold: str) -> None:
    """Prints what a run came to, and ends with its exit status."""
    from crosswalk.reports.run_report import as_json as to_json
    from crosswalk.reports.run_report import as_text

    click.echo(to_json(outcome) if json_out else as_text(outcome, color=sys.stdout.isatty()), nl=not json_out)
    sys.exit(status(outcome.severities, threshold))


OUT = click.option("--out", type=click.Path(path_type=Path), required=True, help="The folder to write to.")

"""`crosswalk term`."""

from __future__ import annotations

import json
import sys
from collections.abc import Iterator

import click

from crosswalk.cli.common import as_json, stopping
from crosswalk.errors import CannotContinue
from crosswalk.values.registry import PARSERS

KINDS = sorted(name.replace("_", "-") for name in PARSERS)


@click.command("term")
@click.argument("text", nargs=-1)
@click.option("--kind", type=click.Choice(KINDS), default="carrier", show_default=True, help="What it is about.")
@click.option("--day-first/--month-first", "day_first", default=None, help="3/4/87 is 3 April, or 4 March.")
@click.option("--minutes-first/--hours-first", "minutes_first", default=None, help="1:30 is 90 seconds, or 90 minutes.")
@click.option("--carrier", default="", help="The carrier that a date or a length belongs to.")
@click.option("--fps", default="", help="Frames a second of a timecode, such as 25 or 29.97df.")
@click.option("--pattern", default="", help="The house's pattern of episode codes, such as SSEE.")
@click.option("--column", is_flag=True, help="Take all lines as one column, whose values are evidence for each other.")
@click.option("--vocabulary", "house_files", multiple=True, type=click.Path(), help="Terms and aliases of your house.")
@click.option("--skos", metavar="NAME", help="Print a vocabulary as SKOS in Turtle, and stop; 'list' names them.")
@click.option("--decisions", default="", type=click.Path(), help="Decisions of a person (CSV), applied first.")
@as_json
def command(
    text: tuple[str, ...], kind: str, column: bool, decisions: str, skos: str | None, json_out: bool, **given: object
) -> None:
    """Show what is made of a wording, and why. Without TEXT it reads wordings from standard input, one a line."""
    if skos:
        with stopping():
            click.echo(_vocabulary(skos), nl=False)
        return
    from crosswalk.pipeline.reading import doubtful_decisions, read_wordings, wording_context

    with stopping():
        context = wording_context(given)
        for found in doubtful_decisions(decisions, context):
            click.echo(str(found), err=True)
        lines: Iterator[str] = (line.rstrip("\r\n") for line in sys.stdin)
        for answer in read_wordings(text or lines, kind.replace("-", "_"), context, column, decisions):
            click.echo(json.dumps(answer, ensure_ascii=False) if json_out else _told(answer))


def _vocabulary(name: str) -> str:
    from crosswalk.vocabularies import load, names
    from crosswalk.vocabularies.skos import turtle

    if name not in names():
        if name != "list":
            raise CannotContinue(name, "is no vocabulary", f"use one of: {', '.join(names())}")
        return "\n".join(names()) + "\n"
    return "".join(turtle(load(name), "https://example.org/vocabulary/"))


def _told(answer: dict[str, object]) -> str:
    value = "(not settled)" if answer["value"] is None else answer["value"]
    proposed = "" if answer["settled"] or answer["value"] is None else " (proposed, not settled)"
    parts = [f"{answer['text']}", f"    value    {value}{proposed}", f"    how      {answer['how']}"]
    if answer.get("rule"):
        parts.append(f"    rule     {answer['rule']}")
    also = answer["also"]
    assert isinstance(also, dict)
    parts += [f"    also     {name}: {', '.join(values)}" for name, values in also.items()]
    messages = answer["messages"]
    assert isinstance(messages, list)
    parts += [f"    doubt    {message}" for message in messages]
    near = answer["near"]
    assert isinstance(near, list)
    parts += [f"    perhaps  {value}" for value in near]
    return "\n".join(parts)

"""What no reading of words may do: raise, run away, or answer without a code. No clock: lines are counted, and the
expressions are looked at."""

from __future__ import annotations

import re
import re._constants as sre  # type: ignore[import-not-found, unused-ignore]
import re._parser as sre_parser  # type: ignore[import-not-found, unused-ignore]
from collections.abc import Iterator
from importlib import import_module
from typing import Any

import pytest

from crosswalk.findings import codes
from crosswalk.values.reading import Context, Reading
from crosswalk.values.registry import parser
from tests.values.work import lines_run

KINDS = [
    "carrier", "generation", "asset_type", "date_type", "title_type", "description_type", "role", "publisher_role",
    "relation", "instantiation_relation", "media_type", "file_format", "encoding", "rights", "language", "name",
    "episode", "identifier", "part",
]  # fmt: skip
MODULES = [
    "carriers", "carriers_tokens", "carriers_grammar", "carriers_judge", "carriers_spelling", "terms", "phrases",
    "files", "rights", "languages", "names", "episodes", "identifiers", "decisions",
]  # fmt: skip
BAD = [
    "", " ", "\t\n", "n/a", "-", "?", "...", "'", '"', "''", "//", "1/0", "0/0", "1/", "/1", "()", "[", "\\",
    "\x00", "\x0b", "\ufeff", "31665.0", "0", "-1", "1e400", "NaN", "99999999999999999999", "1:2:3:4:5", "::",
    "00:00:00;00", "½", "²", "٤٢٣", "１６ｍｍ", "مرحبا بالعالم", "עברית", "🎞️📼", "é" * 50, "ﬁlm", "İstanbul", "ß",
    "a\u0301", "\U0001d540", "x" * 30_000, " " * 30_000, "1 " * 15_000, "U-matic " * 4_000, ", " * 10_000,
    "(" * 10_000, "1/2 " * 8_000, "a, " * 10_000, "and " * 8_000, "#" * 500, "None", "=1+1",
]  # fmt: skip
CONTEXTS = [Context(), Context(episode_pattern="SSEE"), Context(episode_pattern="TDLN-SS/EE")]


@pytest.mark.parametrize("kind", KINDS)
@pytest.mark.parametrize("text", BAD, ids=lambda text: repr(text[:12]) + str(len(text)))
def test_always_a_reading_or_a_refusal_with_a_code(kind: str, text: str) -> None:
    for context in CONTEXTS:
        reading = parser(kind)(text, context)
        assert isinstance(reading, Reading)
        assert reading.value is not None or reading.doubts
        assert all(doubt.code in codes() and doubt.message for doubt in reading.doubts)
        assert reading.value is None or reading.value.strip()


def lines_of(kind: str, text: str) -> int:
    """How many lines of the package a reading runs through."""
    read, context = parser(kind), Context(episode_pattern="SSEE")
    return lines_run(lambda: read(text, context))


@pytest.mark.parametrize("kind", KINDS)
@pytest.mark.parametrize("unit", ["1/2 ", "x1 ", "U-matic ", "of ", "a, ", "betacan ", "transferred to "])
def test_twice_the_input_is_at_most_a_little_more_than_twice_the_work(kind: str, unit: str) -> None:
    parser(kind)(unit, Context())  # loads what is loaded once
    once = lines_of(kind, unit * (150 // len(unit)) + "y")
    twice = lines_of(kind, unit * (300 // len(unit)) + "z")
    assert twice <= 2.5 * once + 200


def expressions() -> Iterator[tuple[str, re.Pattern[str]]]:
    for name in MODULES:
        module = import_module(f"crosswalk.values.{name}")
        for key, value in vars(module).items():
            if isinstance(value, re.Pattern):
                yield f"{name}.{key}", value


def unbounded_inside_unbounded(parsed: Any, inside: bool = False) -> bool:
    """Whether a repetition without an end holds another one, which is what makes expressions run away."""
    for operation, argument in parsed:
        repeated = operation in (sre.MAX_REPEAT, sre.MIN_REPEAT)
        endless = repeated and argument[1] == sre.MAXREPEAT
        if endless and inside:
            return True
        parts = (
            [argument[2]]
            if repeated
            else [part for part in _parts(argument) if isinstance(part, sre_parser.SubPattern)]
        )
        if any(unbounded_inside_unbounded(part, inside or endless) for part in parts):
            return True
    return False


def _parts(argument: Any) -> Iterator[Any]:
    if isinstance(argument, sre_parser.SubPattern):
        yield argument
    elif isinstance(argument, (tuple, list)):
        for part in argument:
            yield from _parts(part)


def test_the_check_of_expressions_sees_what_it_looks_for() -> None:
    assert unbounded_inside_unbounded(sre_parser.parse(r"(a+)+b"))
    assert unbounded_inside_unbounded(sre_parser.parse(r"x(?:y|(?:\s*z)*)+"))
    assert not unbounded_inside_unbounded(sre_parser.parse(r"(a{1,3})+b+"))


@pytest.mark.parametrize(
    "name, pattern", list(expressions()), ids=lambda value: value if isinstance(value, str) else ""
)
def test_no_expression_can_run_away(name: str, pattern: re.Pattern[str]) -> None:
    if name in ("carriers_tokens._PIECE", "carriers_tokens._ASCII_PIECE", "carriers_tokens._PARTS"):
        return  # numbers with signs between them: the inner repetition cannot start without its sign
    assert not unbounded_inside_unbounded(sre_parser.parse(pattern.pattern, pattern.flags & ~re.UNICODE))

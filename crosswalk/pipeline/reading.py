"""`term`: what the readings make of single wordings, or of a column of them."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Mapping

from crosswalk.findings import Finding
from crosswalk.values.columns import ColumnReader, column_context
from crosswalk.values.decisions import load_decisions
from crosswalk.values.reading import Context, Reading


def wording_context(given: Mapping[str, object]) -> Context:
    """The context that options state; what they leave open stays open."""
    stated = {name: value for name, value in given.items() if value not in (None, "") and name != "pattern"}
    return Context(episode_pattern=str(given.get("pattern") or ""), **stated)  # type: ignore[arg-type]


def read_wordings(
    texts: Iterable[str], kind: str, context: Context, as_column: bool = False, decisions: str = ""
) -> Iterator[dict[str, object]]:
    """One answer a wording: text, value (None where it is not settled; seconds for a length), how, doubts and more."""
    if as_column:
        texts = list(texts)
        context = column_context(kind, texts, context)
    read = reader(kind, context, decisions)
    for text in texts:
        yield answer(text, kind, read(text), context)


def reader(kind: str, context: Context, decisions: str = "") -> Callable[[str], Reading]:
    """A function that reads texts of a kind, decisions first."""
    read = ColumnReader(kind, context).read
    decided = load_decisions(decisions) if decisions else None
    return read if decided is None else lambda text: decided.reading(kind, text, context) or read(text)


def doubtful_decisions(decisions: str, context: Context) -> list[Finding]:
    """Decisions that cannot be right: of no known kind, contradicting, deciding what no vocabulary has."""
    return load_decisions(decisions).check(context) if decisions else []


def answer(text: str, kind: str, reading: Reading, context: Context) -> dict[str, object]:
    """A reading as plain data."""
    also: dict[str, list[str]] = {}
    for name, value in reading.also:
        also.setdefault(name, []).append(value)
    return {
        "text": text,
        "value": _value(kind, reading, context),
        "how": reading.how.value,
        "doubts": [doubt.code for doubt in reading.doubts],
        "rule": reading.rule,
        "also": also,
        "near": [value for doubt in reading.doubts for value in doubt.suggestions],
        "messages": [f"{doubt.code}: {doubt.message}" for doubt in reading.doubts],
    }


def _value(kind: str, reading: Reading, context: Context) -> str | float | None:
    if reading.value is None:
        return None
    if kind == "duration":
        from crosswalk.values.durations import duration_ms

        seconds = duration_ms(reading.value, context.fps) / 1000
        return int(seconds) if seconds.is_integer() else seconds
    return reading.value

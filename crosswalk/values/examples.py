"""The examples that vocabulary files carry: every file is its own test."""

from __future__ import annotations

from crosswalk.findings import Finding, Origin, finding
from crosswalk.values.reading import Context
from crosswalk.values.registry import parser
from crosswalk.vocabularies import Example, Vocabulary, load


def failing_examples(name: str, *house_files: str) -> list[Finding]:
    """A finding for every example of a vocabulary, and of the house's files for it, that is not read as it says.

    >>> failing_examples("generations")
    []
    """
    vocabulary = load(name, *house_files)
    context = Context(house_files=house_files)
    return [found for example in vocabulary.example for found in _failing(vocabulary, example, context)]


def _failing(vocabulary: Vocabulary, example: Example, context: Context) -> list[Finding]:
    reading = parser(vocabulary.read)(example.text, context)
    value = reading.value if reading.settled else ""
    missing = set(example.also.items()) - set(reading.also)
    if value == example.value and not missing:
        return []
    read = f'"{value}"' if value else "nothing certain"
    told = "".join(f', without {kind} "{said}"' for kind, said in sorted(missing))
    message = f'"{example.text}" is read as {read}{told}, not as the file says'
    origin = Origin(file=f"{vocabulary.vocabulary}.toml")
    return [finding("VO05", origin, message, value=example.text, suggestions=(example.value,) if example.value else ())]

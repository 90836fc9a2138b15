"""JSON Lines: one record a line, nothing lost. `schemas/records.schema.json` is the JSON Schema of a line, made from
the record model; a test holds it to the model.

Where the values came from (evidence) is written only when asked for: it can quote what a sheet says in confidence.
"""

from __future__ import annotations

import json
import re
from codecs import BOM_UTF8
from collections.abc import Iterable, Iterator
from itertools import islice
from pathlib import Path
from typing import Any, TypeVar

import msgspec

from crosswalk.errors import UnreadableInput
from crosswalk.findings import Finding, Origin, finding
from crosswalk.records import Asset, Instantiation, Node, Record, Value, located, shape
from crosswalk.standards.base import Document, ReadOptions, Standard, WriteOptions
from crosswalk.standards.naming import Names, numbered
from crosswalk.standards.pbcore_write import identifier_of, problem_of
from crosswalk.xmlio import Limits, Source, chunks, sources

RECORDS_A_FILE = 20_000
LONGEST_LINE_BYTES = 50_000_000
# Only a line with one of these can hold what no XML document can: a control character, U+FFFE, U+FFFF, foreign XML.
_SUSPICIOUS = (b"\\u", b"\xef\xbf\xbe", b"\xef\xbf\xbf", b'"embedded"')
_NAMES = (".jsonl", ".jsonl.gz", ".jsonl.zip", ".ndjson")
_A_LINE = re.compile(rb'^(?:\xef\xbb\xbf)?\s*\{\s*"(?:asset|instantiation)"\s*:', re.M)
_SCHEMA_URI = "https://json-schema.org/draft/2020-12/schema"

AnyNode = TypeVar("AnyNode", bound=Node)


class Line(msgspec.Struct, frozen=True, omit_defaults=True, forbid_unknown_fields=True):
    """One line: an asset or an instantiation, never both."""

    asset: Asset | None = None
    instantiation: Instantiation | None = None

    @property
    def record(self) -> Record | None:
        """The record of the line, or None where there is none, or two."""
        return None if self.asset and self.instantiation else self.asset or self.instantiation


_encoder = msgspec.json.Encoder()
_decoder = msgspec.json.Decoder(Line)


def without_evidence(node: AnyNode) -> AnyNode:
    """The same node, and nothing of where its values came from.

    >>> from crosswalk.records import Evidence, Text
    >>> without_evidence(Text("U-matic", evidence=Evidence("Umatic"))).evidence
    """
    if isinstance(node, Value):
        return node if node.evidence is None else msgspec.structs.replace(node, evidence=None)
    changed: dict[str, Any] = {"evidence": None} if getattr(node, "evidence", None) is not None else {}
    for child in shape(type(node)).children:
        value = getattr(node, child.field)
        if value:
            changed[child.field] = tuple(map(without_evidence, value)) if child.many else without_evidence(value)
    return msgspec.structs.replace(node, **changed) if changed else node


def encode(record: Record, *, evidence: bool = False) -> bytes:
    r"""One record as one line.

    >>> from crosswalk.records import Text
    >>> encode(Asset(asset_types=(Text("Episode"),)))
    b'{"asset":{"assetTypes":[{"text":"Episode"}]}}\n'
    """
    said = located(record) if evidence else without_evidence(record)
    line = Line(instantiation=said) if isinstance(said, Instantiation) else Line(asset=said)
    return _encoder.encode(line) + b"\n"


def write(records: Iterable[Record], options: WriteOptions) -> Iterator[Document]:
    """The records, up to 20,000 in a file; one a file where that is asked for."""
    left, number, names = iter(records), 0, Names()
    while batch := list(islice(left, 1 if options.one_each else RECORDS_A_FILE)):
        number += 1
        name = names.unique(identifier_of(batch[0])) if options.one_each else numbered(options.stem, number)
        content = b"".join(encode(record, evidence=options.evidence) for record in batch)
        yield Document(f"{name}.jsonl", content, tuple(map(identifier_of, batch)))


def read(path: Path, options: ReadOptions) -> Iterator[Record | Finding]:
    """The records of a file, and a finding for each line that holds none."""
    for source in sources(path):
        for number, line in enumerate(_lines(source, Limits(max_bytes=options.max_bytes)), 1):
            line = line.removeprefix(BOM_UTF8) if number == 1 else line  # RFC 8259, section 8.1
            if line.strip():
                yield _read_line(line, Origin(file=source.name, line=number))


def _read_line(line: bytes, origin: Origin) -> Record | Finding:
    try:
        decoded = _decoder.decode(line)
        _refuse_repeats(line, decoded)
    except (msgspec.DecodeError, ValueError, RecursionError) as error:
        return finding("FT01", origin, f"this line is no record: {error}", value=_shown(line))
    if (record := decoded.record) is None:
        return finding("FT01", origin, "a line holds an asset or an instantiation, one of the two", value=_shown(line))
    if any(mark in line for mark in _SUSPICIOUS) and (problem := problem_of(record)):
        return finding("FT01", origin, problem, value=_shown(line))
    return record


def _refuse_repeats(line: bytes, decoded: Line) -> None:
    """Raises ValueError where a name stands twice in one object: which of the two is meant is open (RFC 8259, section
    4). A line that is as it would be written has each name once, which costs less to see."""
    if _encoder.encode(decoded) != line.strip():
        json.loads(line, object_pairs_hook=_once)


def _once(pairs: list[tuple[str, object]]) -> None:
    names = [name for name, _ in pairs]
    if len(set(names)) < len(names):
        twice = next(name for name in names if names.count(name) > 1)
        raise ValueError(f"{twice!r} stands in it twice, in one place")


def _shown(line: bytes) -> str:
    return line[:200].decode(errors="replace").strip()


def _lines(source: Source, limits: Limits) -> Iterator[bytes]:
    """The lines, each with its end. Only `\\n` ends one: JSON may hold the other line ends of Unicode in a string."""
    rest = b""
    for piece in chunks(source, limits):
        *lines, rest = (rest + piece).split(b"\n")
        yield from lines
        if len(rest) > LONGEST_LINE_BYTES:
            raise UnreadableInput(source.name, "has a line of more than 50 MB", "look at it by hand")
    yield rest


def recognise(start: bytes, name: str) -> bool:
    """Whether a file is JSON Lines of records by its name, or begins as one: the reader judges each line by itself.

    >>> recognise(b'{"asset":{"titles":[]}}', "a.json"), recognise(b'{"a": 1}', "a.json")
    (True, False)
    >>> recognise(b"garbage", "a.jsonl")
    True
    """
    linked = b'"@context"' in start or b'"@graph"' in start
    return bool(_A_LINE.search(start)) or (name.lower().endswith(_NAMES) and not linked)


def line_schema() -> dict[str, Any]:
    """The JSON Schema of a line."""
    schema = msgspec.json.schema(Line)
    return {"$schema": _SCHEMA_URI, "title": "One record of an audiovisual archive, in PBCore's structure", **schema}


STANDARD = Standard(
    name="jsonl",
    title="JSON Lines, one record a line",
    suffix=".jsonl",
    media_type="application/jsonl",
    recognise=recognise,
    read=read,
    write=write,
)

if __name__ == "__main__":
    print(json.dumps(line_schema(), indent=1, ensure_ascii=False))

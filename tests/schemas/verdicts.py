"""What a schema says of each case, by two engines, and the file in which the published schema's answers are kept."""

from __future__ import annotations

import gzip
import hashlib
from collections.abc import Callable, Iterable, Iterator
from dataclasses import dataclass
from pathlib import Path

import xmlschema
from lxml import etree

from tests.schemas.documents import Case

Judge = Callable[[bytes], bool]
RECORDED = Path(__file__).parent.parent / "data" / "schema"


def libxml2(path: Path) -> Judge:
    """Validity by libxml2, from local files only."""
    parser = etree.XMLParser(no_network=True, resolve_entities=False, load_dtd=False)
    schema = etree.XMLSchema(etree.parse(str(path), parser))
    return lambda data: bool(schema.validate(etree.fromstring(data, parser)))


def by_xmlschema(path: Path) -> Judge:
    """Validity by xmlschema, from local files only."""
    schema = xmlschema.XMLSchema(str(path), allow="local")

    def judge(data: bytes) -> bool:
        try:
            return bool(schema.is_valid(data))
        except xmlschema.XMLSchemaException:  # raised, instead of reported, where xsi:type names no type
            return False

    return judge


ENGINES: dict[str, Callable[[Path], Judge]] = {"libxml2": libxml2, "xmlschema": by_xmlschema}


@dataclass(frozen=True)
class Verdicts:
    """The published schema's answers for one place: a digest of its documents, and one 0 or 1 a document and engine."""

    label: str
    digest: str
    bits: dict[str, str]


def digest(cases: Iterable[Case]) -> str:
    """Sixteen hexadecimal digits that stand for the bytes of these documents, in order."""
    whole = hashlib.sha256()
    for case in cases:
        whole.update(len(case.data).to_bytes(8, "big") + case.data)
    return whole.hexdigest()[:16]


def bits(judge: Judge, cases: Iterable[Case]) -> str:
    """One character a case: 1 valid, 0 not."""
    return "".join("01"[judge(case.data)] for case in cases)


def save(path: Path, rows: Iterable[Verdicts]) -> None:
    """Write the answers, one line a place; the same answers give the same bytes."""
    lines = ["\t".join(("place", "digest", *ENGINES))]
    lines += ["\t".join((row.label, row.digest, *(row.bits[engine] for engine in ENGINES))) for row in rows]
    path.write_bytes(gzip.compress(("\n".join(lines) + "\n").encode(), mtime=0))


def load(path: Path) -> dict[str, Verdicts]:
    """The answers by place."""
    header, *lines = gzip.decompress(path.read_bytes()).decode().splitlines()
    engines = header.split("\t")[2:]
    rows = (line.split("\t") for line in lines)
    return {label: Verdicts(label, mark, dict(zip(engines, found, strict=True))) for label, mark, *found in rows}


def differences(
    grouped: Iterable[tuple[str, list[Case]]], recorded: dict[str, Verdicts], engine: str, judge: Judge, every: int = 1
) -> Iterator[str]:
    """What differs between a judge and the recorded answers, in words.

    With `every`, only each so-many-th case is asked, and always the first of a place; the offset moves with the places.
    """
    left = set(recorded)
    for number, (label, cases) in enumerate(grouped):
        known = recorded.get(label)
        left.discard(label)
        if known is None or known.digest != digest(cases):
            yield f"{label}: these are not the documents that were recorded; run python -m tests.schemas.record"
            continue
        for i, case in enumerate(cases):
            if (i == 0 or (i + number) % every == 0) and judge(case.data) != (known.bits[engine][i] == "1"):
                yield f"{label}: {case.kind}: published says {known.bits[engine][i]}: {case.data.decode()}"
    yield from (f"{label}: recorded, and no longer made; our schema has lost this place" for label in sorted(left))

"""Records the published schemas' verdicts again: `python -m tests.schemas.record [KEY...]`.

Needs the published files beside the checkout. Run it after a change to the generator or to what our schemas accept.
"""

from __future__ import annotations

import json
import sys
import tempfile
from collections.abc import Iterator
from pathlib import Path

from tests.schemas.documents import groups
from tests.schemas.families import KEYS, PUBLISHED, family
from tests.schemas.verdicts import ENGINES, RECORDED, Verdicts, bits, digest, save
from tests.schemas.walk import Walk


def record(key: str, entry: Path) -> str:
    """Ask the published schema about every document, and keep its answers; returns the counts, in words."""
    walk = Walk(entry)
    found = {"elements": walk.element_names, "attributes": walk.attribute_names}
    (RECORDED / f"{key}.names.json").write_text(json.dumps(found, indent=0) + "\n", encoding="utf-8")
    rows = list(_asked(key, entry))
    save(RECORDED / f"{key}.verdicts.gz", rows)
    return f"{key}: {len(rows)} places; " + "; ".join(_counts(rows, engine) for engine in ENGINES)


def _asked(key: str, entry: Path) -> Iterator[Verdicts]:
    judges = {engine: make(entry) for engine, make in ENGINES.items()}
    for label, cases in groups(family(key)):
        yield Verdicts(label, digest(cases), {engine: bits(judge, cases) for engine, judge in judges.items()})


def _counts(rows: list[Verdicts], engine: str) -> str:
    together = "".join(row.bits[engine] for row in rows)
    return f"{engine} {together.count('1')} valid, {together.count('0')} not"


def main(keys: list[str]) -> None:
    """Record the families of these keys, or all."""
    RECORDED.mkdir(parents=True, exist_ok=True)
    for key in keys or KEYS:
        with tempfile.TemporaryDirectory() as folder:
            print(record(key, PUBLISHED[key].laid_out(Path(folder))))


if __name__ == "__main__":
    main(sys.argv[1:])

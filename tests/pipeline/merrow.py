"""One run of the sample job, shared by the tests that look at what came of it."""

from __future__ import annotations

import csv
import json
from collections.abc import Iterator
from functools import cached_property
from pathlib import Path
from typing import Any

from crosswalk.pipeline.delivering import deliver
from crosswalk.pipeline.run import Options, Outcome
from crosswalk.records import Asset
from crosswalk.resources import samples_dir
from crosswalk.standards.base import ReadOptions, standards

HOME = samples_dir() / "merrow"


class Delivered:
    """The outputs of one run, read back."""

    def __init__(self, out: Path) -> None:
        self.out = out
        self.outcome: Outcome = deliver(HOME / "job.toml", Options(out=out))
        self.expected: dict[str, Any] = json.loads((HOME / "expected.json").read_text(encoding="utf-8"))

    @cached_property
    def public(self) -> dict[str, Asset]:
        return {asset.identifiers[0].text: asset for asset in self._assets("public")}

    @cached_property
    def house(self) -> dict[str, Asset]:
        return {asset.identifiers[0].text: asset for asset in self._assets("house")}

    @cached_property
    def ledger(self) -> dict[str, dict[str, str]]:
        with (self.out / "account" / "ledger.csv").open(encoding="utf-8", newline="") as file:
            return {row["cell"]: row for row in csv.DictReader(file)}

    @cached_property
    def found_at(self) -> dict[str, set[str]]:
        """The codes of the findings at each cell."""
        found: dict[str, set[str]] = {}
        for one in self.outcome.findings:
            found.setdefault(one.origin.cell, set()).add(one.code)
        return found

    def expected_assets(self, gate: str) -> dict[str, dict[str, Any]]:
        return {key: asset for key, asset in self.expected["assets"].items() if asset["gate"] == gate}

    def _assets(self, audience: str) -> Iterator[Asset]:
        read = standards()["pbcore"].read
        assert read is not None
        for path in sorted((self.out / audience).rglob("*.xml")):
            for record in read(path, ReadOptions()):
                assert isinstance(record, Asset), f"{path}: {record}"
                yield record

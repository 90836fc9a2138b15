"""The sample scenario, run for what the documentation says of it."""

from __future__ import annotations

import tempfile
from pathlib import Path
from typing import NamedTuple

from crosswalk.pipeline.converting import convert
from crosswalk.pipeline.delivering import deliver
from crosswalk.pipeline.run import Options
from crosswalk.resources import samples_dir
from crosswalk.standards.base import standards

MOST = 3  # fields that are named


class Losses(NamedTuple):
    """How many values of the sample a standard carries whole, in part, not at all; and what it drops most often."""

    whole: int
    part: int
    none: int
    most: list[str]


def sample_losses() -> dict[str, Losses]:
    """What each standard that declares losses loses of the open records of the sample."""
    with tempfile.TemporaryDirectory() as folder:
        work = Path(folder)
        deliver(samples_dir() / "merrow" / "job.toml", Options(out=work / "job"))
        names = [name for name, standard in standards().items() if standard.write is not None and standard.losses]
        return {name: _losses(work / "job" / "public" / "pbcore" / "records-0001.xml", name, work) for name in names}


def _losses(records: Path, name: str, work: Path) -> Losses:
    outcome = convert([records], Options(out=work / name, to=name, losses=str(work / "losses.csv")))
    sums = {kind: sum(by.get(kind, 0) for by in outcome.losses.values()) for kind in ("whole", "part", "none")}
    dropped = sorted(outcome.losses, key=lambda field: -outcome.losses[field].get("none", 0))
    return Losses(sums["whole"], sums["part"], sums["none"], dropped[:MOST])

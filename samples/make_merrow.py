"""Makes the demo scenario, Merrow Coast Public Media: the same bytes on each run.

    python samples/make_merrow.py [--out DIR]

Nothing here imports the package that the scenario is for: what is expected of the package (`expected.json`) is
written by what made the mess.
"""

from __future__ import annotations

import argparse
import random
from pathlib import Path
from typing import Any

from generator.carriers import add_remarks, dress, number_carriers, plan_carriers
from generator.lab import NAME as MANIFEST
from generator.lab import write_manifest
from generator.layouts import MANIFEST_COLUMNS, RADIO_COLUMNS
from generator.library import write_library
from generator.model import Asset, Carrier, Trouble, load_assets
from generator.people import cast
from generator.radio_list import NAME as RADIO
from generator.radio_list import write_radio
from generator.review import decide, write_review
from generator.troubles import make_troubles
from generator.truth import sheet_truth, write_truth

HOME = Path(__file__).parent / "merrow"


def chance(stage: str) -> random.Random:
    """Each stage draws from its own stream, so that a change in one leaves the others as they were."""
    return random.Random(f"merrow {stage}")


def scenario() -> tuple[list[Asset], list[Carrier], list[Trouble]]:
    """The house as it is, before anything is written."""
    assets = load_assets()
    cast(assets, chance("people"))
    decide(assets, chance("decisions"))
    carriers = plan_carriers(assets, chance("carriers"))
    number_carriers(carriers, chance("numbers"))
    for carrier in carriers:
        dress(carrier, chance(f"dress {carrier.number}"))
    add_remarks(carriers, chance("remarks"))
    return assets, carriers, make_troubles(carriers, chance("troubles"))


def make(out: Path) -> None:
    """Write the five files into a folder."""
    out.mkdir(parents=True, exist_ok=True)
    assets, carriers, troubles = scenario()
    grids, more = write_library(out / "tape-library.xlsx", assets, carriers)
    radio = write_radio(out / RADIO, carriers)
    grids += write_review(out / "rights-review.xlsx", assets)
    rows, slips = write_manifest(out / MANIFEST, carriers)
    sheets: dict[str, Any] = {grid.name: sheet_truth(grid) for grid in grids}
    sheets[RADIO] = {
        "header_rows": [1],
        "headings": [h for h, _ in RADIO_COLUMNS],
        "cells": radio,
        "formulas_without_value": [],
    }
    count = {"title block": 0, "header": len(MANIFEST_COLUMNS), "data": rows * len(MANIFEST_COLUMNS), "totals": 0}
    sheets[MANIFEST] = {"header_rows": [1], "headings": MANIFEST_COLUMNS, "cells": count, "formulas_without_value": []}
    write_truth(out / "expected.json", assets, carriers, [*troubles, *more, *slips], sheets)


if __name__ == "__main__":
    parser = argparse.ArgumentParser(description="Make the demo scenario.")
    parser.add_argument("--out", type=Path, default=HOME, help="folder to write into (default: %(default)s)")
    make(parser.parse_args().out)

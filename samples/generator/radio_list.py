"""`radio-ferry-hour.csv`: semicolons, Windows-1252, carriage returns, as the radio side's database let it go."""

from __future__ import annotations

import csv
import io
from pathlib import Path

from generator.layouts import RADIO_COLUMNS
from generator.model import Carrier

NAME = "radio-ferry-hour.csv"


def write_radio(path: Path, carriers: list[Carrier]) -> dict[str, int]:
    """One line a reel; the numbers of filled cells by region come back."""
    text = io.StringIO()
    writer = csv.writer(text, delimiter=";", lineterminator="\r\n")
    writer.writerow([heading for heading, _ in RADIO_COLUMNS])
    filled = 0
    for row, carrier in enumerate((c for c in carriers if c.sheet == "radio"), start=2):
        carrier.row = row
        values = ["" if name not in carrier.cells else carrier.cells[name].value or "" for _, name in RADIO_COLUMNS]
        carrier.places = {name: f"{NAME}:{row}:{column}" for column, (_, name) in enumerate(RADIO_COLUMNS, start=1)}
        writer.writerow(values)
        filled += sum(value != "" for value in values)
    path.write_bytes(text.getvalue().encode("cp1252"))
    return {"title block": 0, "header": len(RADIO_COLUMNS), "data": filled, "totals": 0}

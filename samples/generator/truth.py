"""`expected.json`: what a careful reader should make of it all. Written by what made the mess, not by what reads it."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

from generator.grid import Grid
from generator.model import ASSET_TYPE, Asset, Carrier, Trouble
from generator.radio_list import NAME as RADIO


def asset_truth(asset: Asset, carriers: list[Carrier]) -> dict[str, Any]:
    kind = {"field recording": "captured"}.get(asset.level, "broadcast")
    return {
        "level": asset.level,
        "asset_type": ASSET_TYPE[asset.level],
        "title": asset.title,
        "date": asset.date or None,
        "date_type": kind if asset.date else None,
        "part_of": asset.part_of or None,
        "part_of_exists": bool(asset.part_of) and not asset.dangling,
        "decision": asset.decision,
        "gate": "open" if asset.decision == "open" else "held",
        "reason": asset.reason,
        "subjects": asset.subjects,
        "contributors": [{"given": g, "surname": s, "role": r} for g, s, r in asset.contributors],
        "carriers": sorted(c.number for c in carriers if c.asset is asset),
    }


def carrier_truth(carrier: Carrier) -> dict[str, Any]:
    return {
        "sheet": RADIO if carrier.sheet == "radio" else carrier.sheet,
        "row": carrier.row,
        "number": carrier.number,
        "asset": carrier.asset.id,
        "physical": carrier.physical,
        "detail": carrier.detail,
        "generation": carrier.generation,
        "duration_ms": carrier.duration_ms,
        "date": carrier.date_edtf,
        "digitised": carrier.digitised,
        "gone": carrier.gone,
    }


def sheet_truth(grid: Grid) -> dict[str, Any]:
    return {
        "header_rows": grid.header_rows,
        "headings": grid.headings,
        "cells": grid.counts(),
        "formulas_without_value": grid.unstored(),
    }


def lines(items: list[str], opening: str, closing: str) -> str:
    return f"{opening}\n" + ",\n".join(f"  {item}" for item in items) + f"\n {closing}"


def write_truth(
    path: Path, assets: list[Asset], carriers: list[Carrier], troubles: list[Trouble], sheets: dict[str, Any]
) -> None:
    """One line an asset, a carrier, a trouble, a sheet, so that a change shows as one line in a difference."""

    def dump(value: Any) -> str:
        return json.dumps(value, ensure_ascii=False)

    found = [{"kind": t.kind, "where": t.address(), "find": t.find} for t in troubles]
    parts = {
        "assets": lines([f"{dump(a.id)}: {dump(asset_truth(a, carriers))}" for a in assets], "{", "}"),
        "carriers": lines([dump(carrier_truth(c)) for c in carriers], "[", "]"),
        "troubles": lines([dump(t) for t in sorted(found, key=lambda t: (t["kind"], t["where"]))], "[", "]"),
        "sheets": lines([f"{dump(name)}: {dump(value)}" for name, value in sheets.items()], "{", "}"),
    }
    body = ",\n".join(f" {dump(name)}: {text}" for name, text in parts.items())
    path.write_text(f"{{\n{body}\n}}\n", encoding="utf-8", newline="\n")

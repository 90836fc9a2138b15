"""What the scenario is made of: assets, carriers, and cells with what they stand for."""

from __future__ import annotations

from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

HERE = Path(__file__).parent
SERIES = ("OHRD", "HNDW", "TDLN", "FRYH")
ASSET_TYPE = {"series": "Series", "episode": "Episode", "story": "Segment", "field recording": "Raw Footage"}


@dataclass
class Cell:
    """One cell as it is written. `kind`: text, number, date, serial, time, percent, formula, error."""

    value: Any
    kind: str = "text"
    formula: str = ""
    number_format: str = ""
    note: str = ""
    fill: bool = False
    strike: bool = False

    @property
    def filled(self) -> bool:
        """Whether a reader of stored values finds something here."""
        return self.value not in (None, "")


@dataclass
class Asset:
    """One programme, episode, story or field recording, as it ought to be."""

    id: str
    date: str
    title: str
    description: str
    subjects: list[str]
    contributors: list[tuple[str, str, str]] = field(default_factory=list)  # given name, surname, role as published
    decision: str = "not reviewed"
    reason: str = ""
    part_of: str = ""
    dangling: bool = False
    shown: str = ""  # the day of the episode that it belongs to, where it has no date itself

    @property
    def series(self) -> str:
        return self.id[:4]

    @property
    def programme(self) -> str:
        return self.id[5:9]

    @property
    def part(self) -> str:
        return self.id[10:]

    @property
    def level(self) -> str:
        if not self.programme:
            return "series"
        return "field recording" if "F" in self.part else "story" if self.part else "episode"

    @property
    def year(self) -> int:
        return int((self.date or self.shown)[:4])


@dataclass
class Carrier:
    """One physical thing: the truth about it, and (after dressing) the cells that speak of it."""

    asset: Asset
    format: str
    generation: str
    date: str
    duration_ms: int | None
    sheet: str = ""
    number: str = ""
    digitised: bool = False
    gone: bool = False
    date_edtf: str | None = None
    physical: str | None = None
    detail: str = ""
    cells: dict[str, Cell] = field(default_factory=dict)
    row: int = 0
    places: dict[str, str] = field(default_factory=dict)

    @property
    def year(self) -> int:
        return int(self.date[:4])


@dataclass
class Trouble:
    """Something wrong on purpose, and what a careful reader should find."""

    kind: str
    find: str
    where: str = ""
    carrier: Carrier | None = None
    column: str = ""

    def address(self) -> str:
        return self.where or (self.carrier.places[self.column] if self.carrier else "")


def parent_of(asset: Asset, known: set[str]) -> str:
    """The asset this one is part of: a field recording of its story (or episode), a story of its episode."""
    if asset.level == "series":
        return ""
    stem = asset.id.rsplit("F", 1)[0] if asset.level == "field recording" else asset.id.rpartition("-")[0]
    return stem if stem in known or asset.level != "field recording" else asset.id[:9]


def load_assets() -> list[Asset]:
    """All assets of the two lists, in their order; a date left out is the episode's."""
    assets: list[Asset] = []
    for name in ("television.psv", "radio.psv"):
        for line in (HERE / name).read_text(encoding="utf-8").splitlines():
            if line and not line.startswith("#"):
                code, date, title, text, subjects = (part.strip() for part in line.split(" | "))
                assets.append(Asset(code, "" if date == "-" else date, title, text, subjects.split("; ")))
    dates = {asset.id: asset.date for asset in assets}
    for asset in assets:
        asset.part_of = parent_of(asset, set(dates))
        asset.dangling = bool(asset.part_of) and asset.part_of not in dates
        asset.shown = asset.date or dates.get(asset.id[:9], "1998-10-07")
    return assets

"""`rights-review.xlsx`: what may go out, by asset. About half is open; what is not reviewed stays in."""

from __future__ import annotations

import datetime as dt
import random
from pathlib import Path

from generator.grid import Book, Grid
from generator.layouts import REVIEW_COLUMNS
from generator.model import Asset, Cell
from generator.people import REVIEWERS

SURE: dict[str, tuple[str, str]] = {  # decisions that follow from what is in the recording
    "TDLN-0911-1F1": ("hold", "pupils recognisable throughout, no forms"),
    "TDLN-2509-1F1": ("hold", "names and addresses of speakers read out"),
    "TDLN-1205-1F1": ("hold", "children in close-up, no forms"),
    "TDLN-0911": ("hold", "legal advice from 1992 still stands"),
    "TDLN-0911-1": ("open", ""),
    "TDLN-0911-2": ("in-house only", "speakers were promised it would not be repeated"),
    "FRYH-2703-1F1": ("in-house only", "personal matters on reel 2"),
    "FRYH-1702-1F1": ("in-house only", "family has not been asked about the unsent letter"),
    "FRYH-0504": ("hold", "rights in two songs not traced"),
    "FRYH-0504-1": ("open", ""),
    "TDLN-0609-2F1": ("hold", "singers' agreement covers the programme only"),
    "TDLN-0423": ("open", ""),
    "TDLN-0423-1": ("open", ""),
    "TDLN-0423-2": ("open", ""),
    "TDLN-0423-3": ("open", ""),
    "TDLN-0423-1F1": ("open", ""),
    "TDLN-0423-2F1": ("hold", "Mrs Farrowby's kitchen and papers in view"),
}
REASONS = {
    "in-house only": [
        "raw material, editors may use it",
        "archive cut, source not traced",
        "commissioned music, broadcast licence only",
    ],
    "hold": [
        "music rights not traced",
        "contributor forms missing",
        "family to be asked",
        "hired film, licence ended 1994",
    ],
}
WORDINGS = {
    "open": ["open", "Open", "OPEN", "open "],
    "in-house only": ["in-house only", "In-house only", "in house only"],
    "hold": ["hold", "HOLD", "Hold"],
    "not reviewed": [""],
}


def decide(assets: list[Asset], rng: random.Random) -> None:
    """Each asset's decision and its reason."""
    for asset in assets:
        raw = asset.level == "field recording"
        chances = [2, 4, 2, 3] if raw else [58, 13, 13, 16]
        choice = rng.choices(["open", "in-house only", "hold", "not reviewed"], chances)[0]
        choice = "open" if asset.level == "series" else choice
        reason = rng.choice(REASONS[choice]) if choice in REASONS else ""
        asset.decision, asset.reason = SURE.get(asset.id, (choice, reason))


def review_row(asset: Asset, rng: random.Random) -> list[Cell]:
    row = [Cell(asset.id), Cell(asset.title), Cell(rng.choice(WORDINGS[asset.decision])), Cell(asset.reason)]
    if asset.decision == "not reviewed":
        return row
    day = dt.datetime(2014, 1, 6) + dt.timedelta(days=rng.randrange(0, 380))
    return [*row, Cell(rng.choice(REVIEWERS)), Cell(day, "date", number_format="dd/mm/yyyy")]


def write_review(path: Path, assets: list[Asset]) -> list[Grid]:
    """The workbook: the review, and a page that explains its words. A third of the unreviewed is not even listed."""
    rng = random.Random("merrow review")
    grid = Grid("Review", widths={0: 16, 1: 40, 2: 16, 3: 44, 4: 22, 5: 12})
    grid.title_block(["Rights and privacy review, 2014 to 2015"])
    grid.header(2, REVIEW_COLUMNS)
    listed = [a for a in assets if a.decision != "not reviewed" or rng.random() < 0.66]
    for row, asset in enumerate(listed, start=3):
        for column, cell in enumerate(review_row(asset, rng)):
            grid.put(row, column, cell)
    key = Grid("Key", widths={0: 16, 1: 60})
    key.header(0, ["Decision", "Meaning"])
    meanings = [
        "anyone may see or hear it",
        "producers of the house only",
        "nobody, until the reason is settled",
        "not reviewed yet: treat as hold",
    ]
    for row, (word, meaning) in enumerate(
        zip(["open", "in-house only", "hold", "(blank)"], meanings, strict=True), start=1
    ):
        key.put(row, 0, word)
        key.put(row, 1, meaning)
    book = Book(path, "Rights review")
    for each in (grid, key):
        book.add(each)
    book.file.close()
    return [grid, key]

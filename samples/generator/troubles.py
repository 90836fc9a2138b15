"""What is wrong on purpose, and the odd writings that are merely hard. Each says what a careful reader should find."""

from __future__ import annotations

import datetime as dt
import random
from collections.abc import Callable

from generator.model import Carrier, Cell, Trouble
from generator.remarks import NOTES, PRIVATE

Test = Callable[[Carrier], bool]


def pick(carriers: list[Carrier], sheet: str, test: Test = lambda c: True, nth: int = 0) -> Carrier:
    """The nth carrier of a sheet that passes the test."""
    return [c for c in carriers if c.sheet == sheet and test(c)][nth]


def odd_writings(carriers: list[Carrier]) -> None:
    """Readable, but only by somebody who knows the trade."""

    def date(carrier: Carrier, cell: Cell, edtf: str) -> None:
        carrier.cells["date"], carrier.date_edtf = cell, edtf

    def length(carrier: Carrier, cell: Cell, ms: int) -> None:
        carrier.cells["length"], carrier.duration_ms = cell, ms

    first_jan = Cell(dt.datetime(1976, 1, 1), "date", number_format="yyyy")
    date(pick(carriers, "Video 1960s", lambda c: c.asset.id == "OHRD-0202"), Cell("[1962?]"), "1962?")
    date(pick(carriers, "Video 1970s", lambda c: c.year == 1976), first_jan, "1976")
    date(pick(carriers, "Video 1980s", lambda c: c.asset.id == "TDLN-0402"), Cell("3.4.87"), "1987-04-03")
    date(pick(carriers, "Video 1980s", lambda c: c.asset.id == "HNDW-1207"), Cell("9/87"), "1987-09")
    vhs: Test = lambda c: c.format == "vhs" and c.asset.series == "TDLN" and c.asset.level == "episode"  # noqa: E731
    length(pick(carriers, "Video 1980s", vhs), Cell("58:30"), 3_510_000)
    length(pick(carriers, "Video 1980s", vhs, 3), Cell("2x60"), 7_200_000)
    length(pick(carriers, "Video 1990s", vhs, 1), Cell("1 hr"), 3_600_000)
    length(pick(carriers, "Video 1990s", vhs, 2), Cell(1725 / 86400, "time", number_format="mm:ss"), 1_725_000)
    length(pick(carriers, "Video 2000s", lambda c: c.format == "dvd"), Cell("00:58:30;12"), 3_510_374)
    length(pick(carriers, "radio", lambda c: c.format == "cassette", 2), Cell("2x30"), 3_600_000)


def blank_words(carriers: list[Carrier], rng: random.Random) -> None:
    """Words that mean: nothing was written. They are cells all the same."""
    for carrier in rng.sample([c for c in carriers if c.asset.level == "episode"], 14):
        name = rng.choice(["date", "length"])
        carrier.cells[name] = Cell(rng.choice(["n/a", "?", "-"]))
        if name == "date":
            carrier.date_edtf = None
        else:
            carrier.duration_ms = None


def refused(carriers: list[Carrier]) -> list[Trouble]:
    """Values that nobody can read, so that the cell is refused and the record goes on without them."""
    day = pick(carriers, "Video 1980s", lambda c: c.asset.id == "TDLN-0402", 1)
    day.cells["date"], day.date_edtf = Cell("31.4.87"), None
    slip = pick(carriers, "Video 1980s", lambda c: c.asset.level == "story", 1)
    slip.cells["length"], slip.duration_ms = Cell("1:75"), None
    beta = pick(carriers, "Video 1980s", lambda c: c.format == "betasp", 0)
    beta.cells["format"], beta.physical, beta.detail = Cell("Beta"), None, ""
    error = pick(carriers, "Video 1990s", lambda c: c.format == "vhs", 4)
    error.cells["location"] = Cell("#REF!", "error", formula="=#REF!")
    formula = pick(carriers, "Video 1990s", lambda c: c.format == "betasp", 9)
    formula.cells["length"], formula.duration_ms = Cell(None, "formula", formula="=I7+I8"), None
    return [
        Trouble("impossible date", "April has 30 days; the date is refused", carrier=day, column="date"),
        Trouble(
            "impossible length",
            "75 seconds do not exist in mm:ss; the length is refused",
            carrier=slip,
            column="length",
        ),
        Trouble("ambiguous format", "Beta is Betamax or Betacam; a person decides", carrier=beta, column="format"),
        Trouble("error cell", "the cell holds #REF!, refused", carrier=error, column="location"),
        Trouble(
            "formula without a stored value",
            "reads as empty; the formula has never been calculated",
            carrier=formula,
            column="length",
        ),
    ]


def contradicted(carriers: list[Carrier]) -> list[Trouble]:
    """Values that can be read and cannot be right."""
    dat = pick(carriers, "radio", lambda c: c.asset.id == "FRYH-0902" and c.generation == "Master")
    dat.format, dat.physical, dat.date_edtf = "dat", "DAT", "1969"
    dat.cells |= {
        "format": Cell("DAT"),
        "date": Cell("1969"),
        "speed": Cell(None),
        "remarks": Cell("box says 1/4 reel, there is a DAT in it"),
    }
    digital = pick(carriers, "Video 1990s", lambda c: c.format == "betasp", 3)
    digital.cells["digital"] = Cell("digital")
    first = pick(carriers, "Video 1990s", lambda c: c.asset.level == "episode", 20)
    second = pick(carriers, "Video 1990s", lambda c: c.number > first.number and c.asset is not first.asset, 3)
    second.number, second.cells["number"] = first.number, Cell(first.number)
    second.digitised = first.digitised = False
    long = pick(carriers, "Video 1980s", lambda c: c.format == "umatic" and c.asset.level == "episode", 5)
    long.cells["length"], long.duration_ms = Cell("95 min"), 5_700_000
    return [
        Trouble(
            "date before the format",
            "DAT came on the market in 1987; 1969 is the recording's date or the carrier's is another",
            carrier=dat,
            column="date",
        ),
        Trouble(
            "analogue and digital", "Betacam SP is analogue, the row claims digital", carrier=digital, column="digital"
        ),
        Trouble(
            "same number twice",
            f"tape {first.number} stands in two rows, for two programmes",
            carrier=first,
            column="number",
        ),
        Trouble(
            "same number twice",
            f"tape {first.number} stands in two rows, for two programmes",
            carrier=second,
            column="number",
        ),
        Trouble("longer than the carrier holds", "U-matic holds 60 minutes at most", carrier=long, column="length"),
    ]


def dirty_text(carriers: list[Carrier]) -> list[Trouble]:
    """Text that was damaged on its way."""
    broken = pick(carriers, "Video 2000s", lambda c: c.asset.level == "field recording", 2)
    broken.cells["title"] = Cell(f"{broken.asset.title.split(': ')[0]} â€“ rushes")
    spaces = pick(carriers, "Video 1980s", lambda c: c.asset.level == "story", 4)
    spaces.cells["title"] = Cell(" " + spaces.asset.title.replace(" ", "\u00a0", 1) + "  ")
    control = pick(carriers, "Video 1990s", lambda c: c.format == "digibeta", 2)
    control.cells["remarks"] = Cell("slate unreadable\x0bsee log")
    return [
        Trouble("broken text", "an en dash, read once in the wrong encoding", carrier=broken, column="title"),
        Trouble("stray spaces", "a no-break space inside, spaces at both ends", carrier=spaces, column="title"),
        Trouble(
            "control character", "a vertical tab, which XML forbids; removed by rule", carrier=control, column="remarks"
        ),
    ]


def private_remarks(carriers: list[Carrier]) -> list[Trouble]:
    """Telephone numbers and an address in the radio file's remarks. All invented."""
    troubles = []
    for asset_id, text in PRIVATE.items():
        reels = [c for c in carriers if c.sheet == "radio" and c.asset.id.startswith(asset_id)]
        carrier = reels[0] if asset_id else reels[-1]
        carrier.cells["remarks"] = Cell(text)
        kind = "home address" if "Ropewalk" in text else "telephone number"
        find = f"a {kind} of a private person; must not go out"
        troubles.append(Trouble(kind, find, carrier=carrier, column="remarks"))
    return troubles


def mark(carriers: list[Carrier], rng: random.Random) -> list[Trouble]:
    """Yellow for what the laboratory sent back, struck out for what is gone, and notes on cells."""
    for carrier in carriers:
        chance = {"Master": 0.6, "Original footage": 0.3, "Original recording": 0.5}.get(carrier.generation, 0.1)
        carrier.digitised = rng.random() < chance
    video = [c for c in carriers if c.sheet != "radio"]
    for carrier in rng.sample([c for c in video if not c.digitised and c.generation in ("Dub", "Copy")], 11):
        carrier.gone = True
    noted = []
    for sheet, notes in NOTES.items():
        for carrier, note in zip(rng.sample([c for c in video if c.sheet == sheet], len(notes)), notes, strict=True):
            carrier.cells["title"].note = note
            noted.append(Trouble("cell note", note, carrier=carrier, column="title"))
    return noted


def make_troubles(carriers: list[Carrier], rng: random.Random) -> list[Trouble]:
    """All of it, in an order in which no trouble undoes another."""
    blank_words(carriers, rng)
    odd_writings(carriers)
    return [
        *mark(carriers, rng),
        *refused(carriers),
        *contradicted(carriers),
        *dirty_text(carriers),
        *private_remarks(carriers),
    ]

"""Which carriers each asset came down on, and how the house wrote them up."""

from __future__ import annotations

import datetime as dt
import random

from generator.model import Asset, Carrier, Cell
from generator.remarks import LOCATIONS, REMARKS, makes_sense
from generator.wordings import FORMATS, GENERATIONS, SPRING, written_date, written_length

# series "TV" or "FRYH", level: (first year, last year, [(formats, generation, years later, chance)])
Plan = tuple[int, int, list[tuple[str, str, tuple[int, int], float]]]
EPISODE: list[Plan] = [
    (
        1961,
        1971,
        [
            ("quad", "Master", (0, 0), 1),
            ("16mm", "Kinescope", (0, 1), 0.55),
            ("1c", "Dub", (16, 22), 0.75),
            ("umatic", "Copy", (14, 22), 0.5),
            ("vhs", "Copy", (24, 30), 0.35),
            ("digibeta", "Dub", (33, 38), 0.4),
        ],
    ),
    (
        1972,
        1979,
        [
            ("quad", "Master", (0, 0), 0.7),
            ("umatic", "Dub", (0, 3), 0.85),
            ("1c", "Dub", (5, 9), 0.6),
            ("vhs", "Copy", (8, 16), 0.5),
            ("digibeta", "Dub", (21, 28), 0.45),
            ("dvd", "Copy", (26, 31), 0.3),
        ],
    ),
    (
        1980,
        1987,
        [
            ("1c", "Master", (0, 0), 1),
            ("umatic", "Dub", (0, 0), 0.8),
            ("umaticsp", "Duplicate", (6, 8), 0.5),
            ("vhs", "Copy", (0, 3), 0.7),
            ("d3", "Duplicate", (11, 13), 0.5),
            ("dvd", "Copy", (18, 24), 0.4),
        ],
    ),
    (
        1988,
        1993,
        [
            ("betasp", "Master", (0, 0), 1),
            ("1c", "Duplicate", (0, 1), 0.4),
            ("umaticsp", "Dub", (0, 1), 0.6),
            ("vhs", "Copy", (0, 2), 0.8),
            ("d3", "Duplicate", (4, 6), 0.6),
            ("dvd", "Copy", (12, 16), 0.5),
        ],
    ),
    (
        1994,
        2002,
        [
            ("digibeta", "Master", (0, 0), 1),
            ("betasp", "Dub", (0, 0), 0.9),
            ("betasp", "Submaster", (0, 1), 0.5),
            ("vhs", "Copy", (0, 1), 0.8),
            ("dvd", "Copy", (5, 9), 0.7),
        ],
    ),
    (
        2003,
        2012,
        [
            ("hdcam", "Master", (0, 0), 1),
            ("xdcam", "Duplicate", (0, 0), 0.8),
            ("digibeta", "Submaster", (0, 0), 0.7),
            ("dvd", "Copy", (0, 1), 1),
            ("betasp", "Dub", (0, 0), 0.4),
        ],
    ),
]
STORY: list[Plan] = [
    (1961, 1974, [("16mm", "Work print", (0, 0), 0.8), ("half", "Copy", (0, 2), 0.3)]),
    (1975, 1987, [("umatic", "Submaster", (0, 0), 0.8), ("vhs", "Copy", (3, 6), 0.25)]),
    (1988, 1999, [("betasp", "Submaster", (0, 0), 0.8), ("vhs", "Copy", (0, 2), 0.25)]),
    (2000, 2012, [("digibeta", "Submaster", (0, 0), 0.6), ("dvcam", "Submaster", (0, 0), 0.5)]),
]
FIELD: list[Plan] = [
    (1961, 1976, [("16mm", "Original footage", (0, 0), 1)] * 3),
    (1977, 1987, [("umatic", "Original footage", (0, 0), 1)] * 3 + [("umatic", "Original footage", (0, 0), 0.5)]),
    (1988, 1996, [("betasp", "Original footage", (0, 0), 1)] * 3 + [("betasp", "Original footage", (0, 0), 0.6)]),
    (1997, 2002, [("dvcam", "Original footage", (0, 0), 1)] * 2 + [("minidv", "Original footage", (0, 0), 0.9)] * 2),
    (2003, 2012, [("xdcam", "Original footage", (0, 0), 1)] * 3 + [("minidv", "Original footage", (0, 0), 0.5)]),
]
RADIO: dict[str, list[Plan]] = {
    "episode": [
        (
            1961,
            1966,
            [
                ("qtr", "Master", (0, 0), 1),
                ("wire", "Original recording", (0, 0), 0.6),
                ("cd", "Copy", (36, 44), 0.5),
                ("cassette", "Copy", (14, 22), 0.5),
            ],
        ),
        (
            1967,
            1987,
            [
                ("qtr", "Master", (0, 0), 1),
                ("qtr", "Dub", (0, 2), 0.6),
                ("cassette", "Copy", (1, 6), 0.7),
                ("dat", "Dub", (21, 28), 0.4),
                ("cd", "Copy", (31, 40), 0.3),
            ],
        ),
        (1988, 2012, [("dat", "Master", (0, 0), 1), ("cassette", "Copy", (0, 0), 0.6), ("cd", "Copy", (6, 12), 0.8)]),
    ],
    "story": [(1961, 1990, [("qtr", "Submaster", (0, 0), 0.7)]), (1991, 2012, [("dat", "Submaster", (0, 0), 0.7)])],
    "field recording": [
        (1961, 1969, [("wire", "Original recording", (0, 0), 1), ("qtr", "Original recording", (0, 0), 1)]),
        (
            1970,
            1990,
            [
                ("qtr", "Original recording", (0, 0), 1),
                ("qtr", "Original recording", (0, 0), 0.8),
                ("cassette", "Original recording", (0, 0), 0.7),
            ],
        ),
        (1991, 2012, [("dat", "Original recording", (0, 0), 1)] * 2),
    ],
}
TELEVISION = {"episode": EPISODE, "story": STORY, "field recording": FIELD}


def length_of(asset: Asset, fmt: str, rng: random.Random) -> int:
    """A plausible length in milliseconds for that asset on that format."""
    if asset.level == "episode":
        whole = {"OHRD": 28, "HNDW": 28, "TDLN": 58 if asset.year < 2000 else 28, "FRYH": 59}[asset.series]
        return (
            3_600_000
            if rng.random() < 0.12 and whole > 50
            else (whole * 60 + rng.choice([0, 15, 30, 30, 40, 45])) * 1000
        )
    if asset.level == "story":
        return rng.randrange(150, 720, 5) * 1000
    return rng.randrange(480, 60 * min(FORMATS[fmt][3], 38), 5) * 1000


def made_on(asset: Asset, later: int, rng: random.Random) -> str:
    """When this carrier was recorded, in EDTF: exact at the time, often only the year for what was copied later."""
    known = asset.date or asset.shown
    if not later:
        if len(known) == 10 and asset.level != "field recording":
            return (dt.date.fromisoformat(known) - dt.timedelta(days=rng.randrange(1, 16))).isoformat()
        return known
    year, month = min(asset.year + later, 2012), rng.randrange(1, 13)
    chance = rng.random()
    if chance < 0.35:
        return dt.date(year, month, rng.randrange(1, 29)).isoformat()
    if chance < 0.62:
        return f"{year}-21" if month in SPRING and chance > 0.5 else f"{year}-{month:02d}"
    return f"{year}~" if chance > 0.88 else str(year)


def sheet_of(carrier: Carrier) -> str:
    """Television by decade, the last sheet running on to 2012; radio in its own file."""
    if carrier.asset.series == "FRYH":
        return "radio"
    return f"Video {min(carrier.year // 10 * 10, 2000)}s"


def plan_for(asset: Asset) -> list[tuple[str, str, tuple[int, int], float]]:
    plans = (RADIO if asset.series == "FRYH" else TELEVISION).get(asset.level, [])
    return next((rows for first, last, rows in plans if first <= asset.year <= last), [])


def plan_carriers(assets: list[Asset], rng: random.Random) -> list[Carrier]:
    """All carriers of all assets, undressed."""
    carriers = []
    for asset in assets:
        length = length_of(asset, "vhs", rng) if asset.level != "series" else 0
        for fmt, generation, (low, high), chance in plan_for(asset):
            if rng.random() < chance:
                ms = length_of(asset, fmt, rng) if asset.level == "field recording" else length
                carriers.append(Carrier(asset, fmt, generation, made_on(asset, rng.randint(low, high), rng), ms))
                carriers[-1].sheet = sheet_of(carriers[-1])
    return carriers


def number_carriers(carriers: list[Carrier], rng: random.Random) -> None:
    """Shelf numbers in the order in which things came to the shelf: roughly by year, so one asset's lie apart."""
    first = {
        "Video 1960s": 101,
        "Video 1970s": 301,
        "Video 1980s": 1001,
        "Video 1990s": 2001,
        "Video 2000s": 3001,
        "radio": 1,
    }
    for sheet, number in first.items():
        on_sheet = [c for c in carriers if c.sheet == sheet]
        order = {id(c): c.year + rng.random() * 2.5 + index / 500 for index, c in enumerate(on_sheet)}
        for offset, carrier in enumerate(sorted(on_sheet, key=lambda c: order[id(c)])):
            carrier.number = f"R{number + offset:04d}" if sheet == "radio" else f"{number + offset:04d}"
    carriers.sort(key=lambda c: (list(first).index(c.sheet), c.number))


def dress(carrier: Carrier, rng: random.Random) -> None:
    """Write the carrier up: one cell a field, and what those cells mean."""
    asset, cells = carrier.asset, carrier.cells
    carrier.physical, carrier.detail, analogue, _, wordings = FORMATS[carrier.format]
    carrier.date_edtf = carrier.date
    numeric = carrier.sheet in ("Video 1980s", "Video 2000s")
    cells["number"] = Cell(int(carrier.number), "number") if numeric else Cell(carrier.number)
    cells["series"] = Cell(asset.series)
    eaten = carrier.sheet == "Video 1980s" or (carrier.sheet == "Video 1990s" and rng.random() < 0.4)
    cells["programme"] = Cell(int(asset.programme), "number") if eaten else Cell(asset.programme)
    if asset.part:
        cells["part"] = Cell(int(asset.part), "number") if numeric and asset.part.isdigit() else Cell(asset.part)
    title = asset.title.split(": ")[0] + (" (field)" if ": " in asset.title else "")
    cells["title"] = Cell(title.upper() if carrier.sheet == "Video 1960s" and rng.random() < 0.3 else title)
    cells["format"] = Cell(rng.choice(wordings))
    cells["generation"] = Cell(rng.choice(GENERATIONS[carrier.generation]))
    cells["date"] = written_date(carrier.date, carrier.sheet, rng)
    if carrier.duration_ms is not None:
        cells["length"], carrier.duration_ms = written_length(carrier.duration_ms, carrier.sheet, rng)
    cells["location"] = Cell(rng.choice(LOCATIONS[carrier.sheet]))
    cells["check"] = Cell(rng.choice(["ok", "OK", "ok JT", "missing", "ok"])) if carrier.year < 2009 else Cell(None)
    cells["old"] = Cell(f"OH/{rng.randrange(100, 999)}" if rng.random() < 0.6 else None)
    cells["standard"] = Cell("NTSC")
    cells["digital"] = Cell(None if analogue else "digital")
    cells["tick"] = Cell("x" if rng.random() < 0.25 else None)
    cells["aspect"] = Cell("16:9" if carrier.year > 2003 and carrier.format in ("hdcam", "xdcam", "dvd") else "4:3")
    cells["condition"] = Cell(rng.choice([0.5, 0.75, 0.8, 0.9, 0.95, 1.0]), "percent", number_format="0%")
    cells["speed"] = Cell(rng.choice(["7.5 ips", "7½ ips", "3¾ ips"]) if carrier.format == "qtr" else None)


def add_remarks(carriers: list[Carrier], rng: random.Random) -> None:
    """A remark here and there: each of a sheet's remarks once or twice, and only where it makes sense."""
    for sheet, remarks in REMARKS.items():
        free = [carrier for carrier in carriers if carrier.sheet == sheet]
        rng.shuffle(free)
        for remark in [*remarks, *rng.sample(remarks, len(remarks) // 2)]:
            found = next((carrier for carrier in free if makes_sense(remark, carrier.format)), None)
            if found:
                free.remove(found)
                found.cells["remarks"] = Cell(remark)

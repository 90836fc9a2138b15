"""How the house writes formats, generations, dates and lengths, each beside what it means."""

from __future__ import annotations

import datetime as dt
import random

from generator.model import Cell

# key: (published PBCore term, detail that the term leaves out, analogue, minutes it holds at most, house wordings)
FORMATS: dict[str, tuple[str, str, bool, int, list[str]]] = {
    "quad": ("2 inch videotape", "Quadruplex", True, 90, ['2" quad', '2" Quad', "2 inch quad", 'Quad 2"']),
    "1c": ("1 inch videotape", "Type C", True, 94, ['1" C', '1" type C', "1 inch C", "1-inch Type C"]),
    "half": ("1/2 inch videotape", "", True, 60, ['1/2" open reel video', "half-inch video reel"]),
    "umatic": ("U-matic", "", True, 60, ['3/4"', '3/4" Umatic', "Umatic", "U-Matic", "U-matic"]),
    "umaticsp": ("U-matic", "SP", True, 60, ["Umatic SP", '3/4" SP', "U-matic SP"]),
    "betasp": ("Betacam", "SP", True, 90, ["BetaSP", "Beta SP", "Betacam SP", "betaSP"]),
    "digibeta": ("Digital Betacam", "", False, 124, ["digibeta", "DigiBeta", "Digi Beta", "Digital Betacam"]),
    "d3": ("D3", "", False, 245, ["D3", "D-3"]),
    "dvcam": ("DVCAM", "", False, 184, ["DVCAM", "DVcam"]),
    "minidv": ("MiniDV", "", False, 80, ["MiniDV", "Mini DV", "mini-DV"]),
    "hdcam": ("HDCAM", "", False, 124, ["HDCAM", "HDcam"]),
    "xdcam": ("Optical video disc: XDCAM", "", False, 145, ["XDCAM", "XDCAM disc", "xdcam"]),
    "vhs": ("VHS", "", True, 240, ["VHS", "vhs", "VHS cassette"]),
    "dvd": ("DVD", "", False, 240, ["DVD", "DVD-R", "dvd"]),
    "16mm": ("16mm film", "", True, 33, ["16mm", "16 mm film", "16mm film"]),
    "qtr": ("1/4 inch audio tape", "", True, 64, ["1/4 reel", '1/4" reel', '1/4" tape', "quarter-inch reel"]),
    "dat": ("DAT", "", False, 180, ["DAT", "dat", "R-DAT"]),
    "cd": ("Audio CD", "", False, 80, ["CD", "Audio CD", "audio CD"]),
    "cassette": ("Audio cassette", "", True, 120, ["audio cassette", "C60 cassette", "C90", "compact cassette"]),
    "wire": ("Wire recording", "", True, 66, ["wire", "wire recording", "Wire spool"]),
}
GENERATIONS: dict[str, list[str]] = {
    "Master": ["Master", "master", "MASTER", "Mstr"],
    "Submaster": ["Submaster", "sub-master", "Sub master"],
    "Dub": ["dub", "Dub"],
    "Copy": ["viewing copy", "Copy", "copy"],
    "Duplicate": ["dupe", "Duplicate"],
    "Kinescope": ["kine", "Kinescope"],
    "Work print": ["work print", "Workprint"],
    "Original footage": ["camera original", "field tape", "orig. footage"],
    "Original recording": ["original recording", "orig. rec."],
}
MONTHS = ["Jan", "Feb", "March", "April", "May", "June", "July", "Aug", "Sept", "Oct", "Nov", "Dec"]
SPRING = range(3, 6)
DATE_STYLES: dict[str, list[str]] = {  # how each sheet's hands wrote a full date
    "Video 1960s": ["dots", "words", "cell"],
    "Video 1970s": ["cell", "cell", "words"],
    "Video 1980s": ["cell", "serial", "dots", "cell", "slashes"],
    "Video 1990s": ["cell", "cell", "words", "serial"],
    "Video 2000s": ["iso", "cell", "cell"],
    "radio": ["dots", "words", "iso"],
    "Programmes": ["cell", "cell", "cell", "words"],
}
LENGTH_STYLES: dict[str, list[str]] = {
    "Video 1960s": ["minutes", "clock", "minutes"],
    "Video 1970s": ["clock", "minutes", "quotes"],
    "Video 1980s": ["clock", "clock", "minutes"],
    "Video 1990s": ["clock", "time", "long"],
    "Video 2000s": ["long", "frames", "time", "long"],
    "radio": ["clock", "minutes", "quotes"],
}


def full_date(date: dt.date, style: str) -> Cell:
    """One whole day, written in one of the house's styles."""
    if style == "cell":
        return Cell(dt.datetime.combine(date, dt.time()), "date", number_format="dd/mm/yyyy")
    if style == "serial":
        return Cell((date - dt.date(1899, 12, 30)).days, "serial")
    text = {
        "dots": f"{date.day}.{date.month}.{date:%y}",
        "slashes": f"{date.day}/{date.month}/{date:%y}" if date.day > 12 else f"{date.day}.{date.month}.{date:%y}",
        "words": f"{date.day} {MONTHS[date.month - 1]} {date.year}",
        "iso": date.isoformat(),
    }
    return Cell(text[style])


def written_date(edtf: str, sheet: str, rng: random.Random) -> Cell:
    """The date as some hand wrote it. `edtf` is a day, month, spring, year, `1969~`, `1962?` or an interval."""
    if len(edtf) == 10:
        return full_date(dt.date.fromisoformat(edtf), rng.choice(DATE_STYLES[sheet]))
    year = edtf[:4]
    if "/" in edtf:
        return Cell(edtf.replace("/", "-"))
    if edtf.endswith("-21"):
        return Cell(f"Spring {year}")
    if "-" in edtf:
        month = int(edtf[5:])
        return Cell(rng.choice([f"{month}/{year[2:]}", f"{MONTHS[month - 1]} {year}", f"{month}/{year[2:]}"]))
    if edtf[-1] in "~?":
        return Cell(f"c. {year}" if edtf[-1] == "~" else f"[{year}?]")
    return Cell(year) if sheet == "radio" or rng.random() < 0.5 else Cell(int(year), "number")


def clock(seconds: int, hours: bool) -> str:
    """mm:ss, or hh:mm:ss."""
    minutes, rest = divmod(seconds, 60)
    return f"{minutes // 60:02d}:{minutes % 60:02d}:{rest:02d}" if hours else f"{minutes}:{rest:02d}"


def dropframe_ms(seconds: int, frames: int) -> int:
    """Real time of a 29.97 drop-frame count: two numbers skipped a minute, except each tenth (SMPTE ST 12-1)."""
    minutes = seconds // 60
    count = seconds * 30 + frames - 2 * (minutes - minutes // 10)
    return round(count * 1001 / 30)


def written_length(ms: int, sheet: str, rng: random.Random) -> tuple[Cell, int]:
    """The length as written, and the milliseconds which that writing means."""
    seconds, style = ms // 1000, rng.choice(LENGTH_STYLES[sheet])
    if seconds == 3600:
        return Cell(rng.choice(["1 hr", "60 min", "1 hr"])), ms
    if style == "minutes":
        minutes = round(seconds / 60)
        return Cell(f"{minutes} {rng.choice(['min', 'mins', 'min.'])}"), minutes * 60_000
    if style == "time":
        return Cell(seconds / 86400, "time", number_format="[h]:mm:ss"), seconds * 1000
    if style == "frames" and seconds >= 60:
        frames = rng.randrange(2, 30)  # 00 and 01 do not exist at most minute starts
        return Cell(f"{clock(seconds, hours=True)};{frames:02d}"), dropframe_ms(seconds, frames)
    if style == "quotes":
        return Cell(f"{seconds // 60}'{seconds % 60:02d}\""), seconds * 1000
    return Cell(clock(seconds, hours=style in ("long", "frames") or seconds >= 3600)), seconds * 1000

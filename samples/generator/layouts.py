"""The sheets of the tape library, one a decade, as their columns drifted: (heading, what stands under it)."""

from __future__ import annotations

from dataclasses import dataclass, field


@dataclass(frozen=True)
class Layout:
    """Where a sheet's header is and what its columns are called. `groups`: upper header row, (first, last, heading)."""

    title: list[str]
    header_row: int  # the lower one where there are two, counted from 1
    columns: list[tuple[str, str]]
    ditto: str = ""
    ditto_fields: tuple[str, ...] = ()
    groups: list[tuple[int, int, str]] = field(default_factory=list)
    hidden: tuple[str, ...] = ()
    fill_whole_row: bool = False
    total_label: str = "TOTAL"


LAYOUTS: dict[str, Layout] = {
    "Video 1960s": Layout(
        ["MERROW COAST PUBLIC MEDIA – TAPE LIBRARY", "Video and film 1961–1969, typed up from the card index"],
        4,
        [
            ("Tape #", "number"),
            ("Series", "series"),
            ("Prog No", "programme"),
            ("Item", "part"),
            ("Title", "title"),
            ("Format", "format"),
            ("Gen.", "generation"),
            ("Rec'd", "date"),
            ("Length", "length"),
            ("Location", "location"),
            ("Remarks", "remarks"),
        ],
        ditto='"',
        ditto_fields=("series", "location"),
    ),
    "Video 1970s": Layout(
        ["Tape library – seventies", "yellow = back from the lab   struck out = gone"],
        5,
        [
            ("Tape No.", "number"),
            ("Format", "format"),
            ("Generation", "generation"),
            ("Series", "series"),
            ("Prog No", "programme"),
            ("Item", "part"),
            ("Title", "title"),
            ("Date", "date"),
            ("Length", "length"),
            ("Location", "location"),
            ("Remarks", "remarks"),
        ],
        ditto="ditto",
        ditto_fields=("series", "location", "format"),
        groups=[(0, 2, "Tape"), (3, 6, "Programme"), (7, 8, "Recording")],
        fill_whole_row=True,
        total_label="Tapes in all",
    ),
    "Video 1980s": Layout(
        ["VIDEO 1980–1989"],
        3,
        [
            ("Tape No.", "number"),
            ("Old cat. no.", "old"),
            ("Prog No", "programme"),
            ("Series", "series"),
            ("Story", "part"),
            ("Title", "title"),
            ("Format", "format"),
            ("Generation", "generation"),
            ("Date", "date"),
            ("Dur.", "length"),
            ("Std", "standard"),
            ("Shelf check 2009", "check"),
            ("Location", "location"),
            ("Notes", "remarks"),
        ],
        ditto='"',
        ditto_fields=("location",),
        hidden=("old",),
    ),
    "Video 1990s": Layout(
        [
            "Tape library",
            "1990 to 1999",
            "kept by W. Ashpole to 1997, then by whoever had a minute",
            "Programme numbers as on the slate",
        ],
        6,
        [
            ("Tape number", "number"),
            ("Series", "series"),
            ("Programme no.", "programme"),
            ("Story", "part"),
            ("Title on box", "title"),
            ("Format", "format"),
            ("Version", "generation"),
            ("Recorded", "date"),
            ("Running time", "length"),
            ("Digital?", "digital"),
            ("x", "tick"),
            ("Shelf check 2009", "check"),
            ("Location", "location"),
            ("Notes", "remarks"),
        ],
        ditto="ditto",
        ditto_fields=("series", "location"),
        total_label="Total",
    ),
    "Video 2000s": Layout(
        ["Library list 2000–2012 (closed)"],
        3,
        [
            ("Tape No", "number"),
            ("Series", "series"),
            ("Prog", "programme"),
            ("Story/Field", "part"),
            ("Title", "title"),
            ("Carrier type", "format"),
            ("Generation", "generation"),
            ("Date recorded", "date"),
            ("TRT", "length"),
            ("Aspect", "aspect"),
            ("Box label", "label"),
            ("Condition", "condition"),
            ("Shelf check 2009", "check"),
            ("Location", "location"),
            ("Notes", "remarks"),
        ],
    ),
}
RADIO_COLUMNS: list[tuple[str, str]] = [
    ("Reel no.", "number"),
    ("Series", "series"),
    ("Prog No", "programme"),
    ("Item", "part"),
    ("Title", "title"),
    ("Medium", "format"),
    ("Gen", "generation"),
    ("Date", "date"),
    ("Length", "length"),
    ("Speed", "speed"),
    ("Store", "location"),
    ("Notes", "remarks"),
]
PROGRAMME_COLUMNS = [
    "Asset ID",
    "Series",
    "Prog No",
    "Story",
    "Level",
    "Title",
    "Description",
    "First TX",
    "Recorded",
    "Part of",
    "Subjects",
    "Language",
    "Contributor 1",
    "Role 1",
    "Contributor 2",
    "Role 2",
    "Contributor 3",
    "Role 3",
    "Rights note",
]
REVIEW_COLUMNS = ["Asset ID", "Programme", "Decision", "Reason", "Reviewed by", "Reviewed on"]
MANIFEST_COLUMNS = ["Carrier", "File", "Role", "Bytes", "Algorithm", "Checksum", "Duration"]

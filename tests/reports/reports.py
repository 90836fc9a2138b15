"""Reports for the tests: one with everything in it, and texts that would break a careless format."""

from __future__ import annotations

from crosswalk.findings import Finding, Origin, Severity, finding
from crosswalk.reports.model import Report

AT = "/pbcoreCollection/pbcoreDescriptionDocument[2]/pbcoreInstantiation[1]/instantiationDate[1]"
IN_XML = Origin(file="in/records.xml", line=12, column=3, path=AT, record="TDLN-0423")
IN_SHEET = Origin(file="tapes.xlsx", cell="Video 1980s!F27", record="0117")
IN_TABLE = Origin(file="in/radio.csv", cell="radio.csv:20:8", record="FRYH-0102")
FINDINGS = (
    finding("RC30", IN_XML, "DAT came on the market in 1987; the carrier is dated 1969", value="1969"),
    finding("RC30", IN_TABLE, "DAT came on the market in 1987; the carrier is dated 1970", value="1970"),
    finding("VO12", IN_SHEET, '"Umatic" is not the term itself', value="Umatic", suggestions=("U-matic",)),
    finding("RL01", IN_XML, 'Is Part Of "B", and no record has that identifier', value="B"),
    finding("RC50", Origin(file="in/records.xml", line=2, record="TDLN-0423"), "nothing is said about rights"),
)
FULL = Report(
    title="deliver",
    files=("in/records.xml", "tapes.xlsx", "in/radio.csv", "in/clean.xml"),
    records=3,
    carriers=7,
    findings=FINDINGS,
    known=2,
    sums={"delivered": 70, "kept back": 20, "set aside": 9, "refused": 1},
    cells_read=100,
    written=("out/records-0001.xml",),
    schemas={"pbcore-2.1": "the project's own"},
    held={"not reviewed": 2},
    stamp="2026-03-02T09:00:00Z",
    version="0.1.0",
)
EMPTY = Report()
NASTY = [
    "<script>alert(1)</script>",
    "]]>",
    '"; drop table',
    "=1+1",
    "\x00\x0b\x1b[31m",
    "\ud800",
    "a\nb\r\nc",
    "ü 漢字 \u202e",
    "&amp; &lt;",
    "{{ report }}",
    "x" * 5000,
]


def nasty(text: str) -> Report:
    """A report in which this text stands wherever a text may."""
    origin = Origin(file=text, cell="", line=1, path=f"/{text}", record=text)
    found = Finding("RC30", Severity.ERROR, origin, text, text, text, ())
    suggested = Finding("VO12", Severity.NOTE, Origin(file="a.csv", cell=f"a.csv:{text}"), text, text, "", (text,))
    return Report(title=text or "t", files=(text,), findings=(found, suggested), written=(text,), held={text: 1})

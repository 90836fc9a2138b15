"""The report for people: plain in a pipe, coloured on a terminal, the same words in both."""

from __future__ import annotations

import re
import subprocess
import sys

import pytest

from crosswalk.findings import Origin, finding
from crosswalk.reports.model import Report
from crosswalk.reports.terminal import annotation, lines, place, summary
from tests.reports.reports import EMPTY, FINDINGS, FULL

ESCAPES = re.compile(r"\x1b\[[0-9;]*m")


def test_the_summary() -> None:
    assert (
        summary(FULL)
        == """\
read: 4 files, 3 records, 7 carriers

error   RC30  date.before-carrier  2 times
  in/records.xml:12:3  DAT came on the market in 1987; the carrier is dated 1969
  in/radio.csv:20:8  DAT came on the market in 1987; the carrier is dated 1970
  to mend: open the box and look at the carrier; give the date of the content to the asset

warning RL01  relation.to-nowhere  1 time
  in/records.xml:12:3  Is Part Of "B", and no record has that identifier
  to mend: correct the identifier, or deliver the other record too

note    RC50  rights.not-stated  1 time
  in/records.xml:2  nothing is said about rights
  to mend: state what is known, even that it is not known; local law and the rights holders decide what is allowed

note    VO12  term.other-spelling  1 time
  tapes.xlsx:Video 1980s!F27  "Umatic" is not the term itself
    perhaps: U-matic
  to mend: write the term as the list does

2 errors, 1 warning, 2 notes; 2 more are accepted for now

cells read 100
         70  delivered    70.0 %
         20  kept back    20.0 %
          9  set aside     9.0 %
          1  refused       1.0 %

held
          2  not reviewed

written
  out/records-0001.xml
"""
    )


def test_colour_changes_no_word() -> None:
    coloured = summary(FULL, colour=True)
    assert "\x1b[" in coloured
    assert ESCAPES.sub("", coloured) == summary(FULL)


def test_nothing_found() -> None:
    assert summary(EMPTY).endswith("nothing to report\n")


def test_only_the_first_examples_are_shown() -> None:
    many = tuple(finding("RC50", Origin(file=f"{number}.xml"), "m") for number in range(10))
    text = summary(Report(findings=many), examples=2)
    assert ("0.xml" in text, "1.xml" in text, "2.xml" in text) == (True, True, False)
    assert "and 8 more" in text


def test_counts_may_exceed_what_is_kept() -> None:
    """A run keeps the first findings and counts all."""
    report = Report(findings=FINDINGS[:1], code_counts={"RC30": 900}, severity_counts={"error": 900})
    text = summary(report)
    assert "900 times" in text
    assert "900 errors" in text


def test_sums_that_differ_are_told() -> None:
    assert "3  not accounted for" in summary(Report(sums={"delivered": 7}, cells_read=10))


PLACES = {
    "in.xml:12:3": Origin(file="in.xml", line=12, column=3, path="/a"),
    "in.xml:12": Origin(file="in.xml", line=12),
    "in.xml": Origin(file="in.xml"),
    "in/tapes.csv:27:6": Origin(file="in/tapes.csv", cell="tapes.csv:27:6"),
    "tapes.xlsx:Tapes!F27": Origin(file="tapes.xlsx", cell="Tapes!F27"),
    "Tapes!F27": Origin(cell="Tapes!F27"),
    "TDLN-0423": Origin(record="TDLN-0423"),
    "": Origin(),
}


@pytest.mark.parametrize("expected", PLACES)
def test_place(expected: str) -> None:
    assert place(PLACES[expected]) == expected


def test_lines_are_one_a_finding() -> None:
    odd = finding("RC50", Origin(file="a.xml", line=1), "two\nlines", next_step="mend\r\nit")
    assert lines(Report(findings=(*FINDINGS, odd))).count("\n") == len(FINDINGS) + 1
    assert annotation(odd) == "a.xml:1: note RC50: two lines; mend it"


def test_editors_read_the_lines() -> None:
    """The form `file:line:column: message` that compilers write (GNU coding standards, Formatting Error Messages)."""
    form = re.compile(r"(?P<file>[^:]+):(?P<line>\d+)(:(?P<column>\d+))?: (?P<message>.+)")
    first = form.fullmatch(lines(FULL).splitlines()[0])
    assert first is not None
    assert (first["file"], first["line"], first["column"]) == ("in/records.xml", "12", "3")


def test_a_pipe_needs_no_rich() -> None:
    code = (
        "import sys; from crosswalk.reports.terminal import summary; from crosswalk.reports.model import Report; "
        "summary(Report()); print('rich' in sys.modules)"
    )
    done = subprocess.run([sys.executable, "-c", code], check=True, capture_output=True, text=True)
    assert done.stdout.strip() == "False"

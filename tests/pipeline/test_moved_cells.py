"""Rows whose cells may stand in wrong columns: what stays in the house must not go out under a public heading."""

from __future__ import annotations

import csv
from pathlib import Path

import pytest

from crosswalk.pipeline.converting import convert
from crosswalk.pipeline.delivering import deliver
from crosswalk.pipeline.run import Options, Outcome
from tests.mapping.make import toml

MAPPING = """
asset-key = ["Code"]
ditto = ["same"]
delimiter = ";"
[[column]]
heading = "No"
aside = "counts the rows"
[[column]]
heading = "Code"
to = "asset.identifier"
source = "Log"
[[column]]
heading = "Title"
to = "asset.title"
[[column]]
heading = "Private remark"
to = "asset.annotation"
public = false
[[column]]
heading = "Carrier"
to = "asset.description"
[[column]]
heading = "Status"
aside = "of the shelf check"
"""
JOB = """
title = "Shelf"
holder = "Merrow Coast Public Media"
[[sheets]]
file = "log.csv"
mapping = ["mapping.toml"]
[review]
file = "review.csv"
asset = "Code"
decision = "Decision"
reason = "Why"
[[output]]
standard = "pbcore"
folder = "public"
[[output]]
standard = "pbcore"
audience = "house"
folder = "house"
"""
HEADER = "No;Code;Title;Private remark;Carrier;Status"
FIRST = "1;Q-1;Dusk;;VHS;ok"
LAST = "3;Q-3;Dawn;;VHS;ok"
OPEN = "Code;Title;Decision;Why\n" + "".join(f"Q-{number};;open;\n" for number in range(1, 6))


def run(folder: Path, *rows: str, review: str = OPEN, header: str = HEADER) -> Outcome:
    (folder / "log.csv").write_text("\n".join((header, *rows)) + "\n", encoding="utf-8")
    (folder / "review.csv").write_text(review, encoding="utf-8")
    toml(folder, MAPPING)
    return deliver(toml(folder, JOB, "job.toml"), Options(out=folder / "out"))


def written(folder: Path, audience: str = "public") -> str:
    return "".join(path.read_text(encoding="utf-8") for path in sorted((folder / "out" / audience).rglob("*.xml")))


def listed(folder: Path, name: str) -> list[dict[str, str]]:
    with (folder / "out" / "account" / name).open(encoding="utf-8", newline="") as file:
        return list(csv.DictReader(file))


def held(folder: Path) -> dict[str, str]:
    return {row["record"]: row["held because"] for row in listed(folder, "held.csv")}


LATER = "3;Q-3;Dawn;ring Mrs Tolland;VHS;ok"
MOVED = "cells may stand in wrong columns"
LONGER = {
    "a delimiter in a title": "2;Q-2;Salt; and Tide;ring Mrs Tolland;VHS;ok",
    "with nothing in the surplus cell": "2;Q-2;Salt; and Tide;ring Mrs Tolland;VHS;",
    "two delimiters": "2;Q-2;Salt; Tide; and Gull;ring Mrs Tolland;;",
}


@pytest.mark.parametrize("row", LONGER.values(), ids=LONGER.keys())
def test_a_row_with_more_cells_than_the_header_does_not_go_out(tmp_path: Path, row: str) -> None:
    outcome = run(tmp_path, FIRST, row, LAST)
    assert outcome.counts["SH05"] == 1
    assert held(tmp_path) == {"Q-2": MOVED}
    assert "Tolland" not in written(tmp_path) and "Dawn" in written(tmp_path)
    assert "Salt" in written(tmp_path, "house")
    accounts = {
        cell["cell"]: cell["account"] for cell in listed(tmp_path, "ledger.csv") if cell["cell"].startswith("log.csv:3")
    }
    assert len(accounts) == sum(1 for text in row.split(";") if text)
    assert set(accounts.values()) <= {"kept back", "refused", "set aside"}


def test_a_row_that_lost_a_delimiter_does_not_go_out(tmp_path: Path) -> None:
    outcome = run(tmp_path, FIRST, "2;Q-2;ring Mrs Tolland;VHS;ok", LAST, "4;Q-4;Noon;;VHS;ok")
    assert (outcome.counts["SH25"], held(tmp_path)) == (1, {"Q-2": MOVED})
    assert "Tolland" not in written(tmp_path)


def test_where_many_rows_leave_out_their_last_cells_none_has_moved(tmp_path: Path) -> None:
    outcome = run(tmp_path, FIRST, "2;Q-2;Salt;;VHS", "3;Q-3;Dawn;;VHS", "4;Q-4;Noon;;VHS")
    assert (outcome.counts["SH06"], held(tmp_path)) == (3, {})


def test_several_rows_that_lost_a_delimiter_do_not_go_out(tmp_path: Path) -> None:
    run(tmp_path, FIRST, "2;Q-2;ring Mrs Tolland;VHS;ok", "3;Q-3;ring Mrs Tolland;VHS;ok", LAST.replace("3", "4"))
    assert held(tmp_path) == {"Q-2": MOVED, "Q-3": MOVED}
    assert "Tolland" not in written(tmp_path)


def test_rows_that_are_longer_do_not_go_out_because_most_of_them_are(tmp_path: Path) -> None:
    run(tmp_path, FIRST, LONGER["with nothing in the surplus cell"], "3;Q-3;Salt; and Dune;ring Mrs Tolland;VHS;")
    assert held(tmp_path) == {"Q-2": MOVED, "Q-3": MOVED}
    assert "Tolland" not in written(tmp_path)


def test_convert_holds_it_too(tmp_path: Path) -> None:
    (tmp_path / "log.csv").write_text("\n".join((HEADER, FIRST, *LONGER.values(), LAST)), encoding="utf-8")
    options = Options(out=tmp_path / "out", mappings=(str(toml(tmp_path, MAPPING)),), public=True)
    outcome = convert([tmp_path / "log.csv"], options)
    assert (outcome.delivered, held(tmp_path)) == (2, {"Q-2": MOVED})
    assert "Tolland" not in "".join(path.read_text("utf-8") for path in (tmp_path / "out").glob("*.xml"))


def test_a_ditto_mark_below_it_repeats_what_has_moved(tmp_path: Path) -> None:
    run(
        tmp_path,
        FIRST,
        LONGER["a delimiter in a title"],
        "3;Q-3;Dawn;;same;ok",
        "4;Q-4;Noon;;same;ok",
        "5;Q-5;Eve;;VHS;ok",
    )
    assert held(tmp_path) == dict.fromkeys(("Q-2", "Q-3", "Q-4"), MOVED)
    assert "Tolland" not in written(tmp_path)


def test_a_delimiter_at_the_end_of_every_row_is_usual(tmp_path: Path) -> None:
    outcome = run(tmp_path, f"{FIRST};", "2;Q-2;Salt;;VHS;ok;", f"{LAST};")
    assert ("SH05" in outcome.counts, outcome.delivered) == (False, 3)
    run(tmp_path, f"{FIRST};", f"{LONGER['a delimiter in a title']};", f"{LAST};")
    assert held(tmp_path) == {"Q-2": MOVED}


SWALLOWED = {
    "closed by a title's own mark": ('2;Q-2;"Harbour lights;;VHS;ok', LATER, '4;Q-4;The "Falcon" reel;;VHS;ok'),
    "closed in the next row": ('2;Q-2;"Harbour lights;ring Mrs Tolland;VHS;ok', '4;Q-4;The "Falcon" reel;;VHS;ok'),
    "closed by an inch mark": ('2;Q-2;"Harbour lights;;VHS;ok', LATER, '4;Q-4;Reel 3";;VHS;ok'),
    "closed by an inch mark in the next row": ('2;Q-2;"Salt;ring Mrs Tolland;VHS;ok', '4;Q-4;Reel 3";;VHS;ok'),
    "closed in the same row": ('2;Q-2;"Salt;ring Mrs Tolland;VHS";ok',),
    "a ditto mark": ('2;Q-2;Salt;;";ok', LATER, '4;Q-4;Noon;;";ok'),
}


@pytest.mark.parametrize("rows", SWALLOWED.values(), ids=SWALLOWED.keys())
def test_a_cell_that_takes_in_others_does_not_go_out(tmp_path: Path, rows: tuple[str, ...]) -> None:
    outcome = run(tmp_path, FIRST, *rows, "5;Q-5;Eve;;VHS;ok", '6;"Q-6";Noon;;VHS;ok')
    assert outcome.counts["SH04"] == 1
    assert held(tmp_path)["Q-2"] == MOVED
    assert "Tolland" not in written(tmp_path) and "Eve" in written(tmp_path)
    assert "Q-2" not in written(tmp_path)


@pytest.mark.parametrize("end", ["", "\n"], ids=["no line end", "line end"])
def test_a_cell_that_is_never_closed_does_not_go_out(tmp_path: Path, end: str) -> None:
    rows = (HEADER, FIRST, LAST, '2;Q-2;"Salt;ring Mrs Tolland;VHS;ok')
    (tmp_path / "log.csv").write_text("\n".join(rows) + end, encoding="utf-8")
    convert([tmp_path / "log.csv"], Options(out=tmp_path / "out", mappings=(str(toml(tmp_path, MAPPING)),)))
    assert held(tmp_path) == {"Q-2": MOVED}


QUOTED = {
    "lines": '"Salt\nand Tide"',
    "a mark doubled": '"The ""Falcon"" reel,\nSalt"',
    "delimiters as in prose": '"Salt; Tide; Gull; Wrack;\nDune; Marsh"',
}


@pytest.mark.parametrize("title", QUOTED.values(), ids=QUOTED.keys())
def test_a_cell_over_lines_that_was_quoted_goes_out(tmp_path: Path, title: str) -> None:
    outcome = run(tmp_path, FIRST, f"2;Q-2;{title};;VHS;ok", LAST, '4;Q-4;"Salt; Tide; Gull";;VHS;')
    assert ("SH04" in outcome.counts, outcome.delivered) == (False, 4)


@pytest.mark.parametrize("row", ["Q-1;Dusk;open;hold;music", "Q-1;a;b;open;"], ids=["hold moved away", "open moved"])
def test_a_row_of_the_review_that_has_moved_opens_nothing(tmp_path: Path, row: str) -> None:
    outcome = run(tmp_path, FIRST, review=f"Code;Title;Decision;Why\n{row}\n")
    assert (outcome.delivered, held(tmp_path)) == (0, {"Q-1": "not reviewed"})
    assert outcome.counts["SH05"] == 1

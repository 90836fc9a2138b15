"""Job files: mistakes are said with their line; what is for the house never stands where the public is served."""

from __future__ import annotations

from pathlib import Path

import pytest

from crosswalk.delivery.job import load_job
from crosswalk.errors import MappingError

TOP = 'title = "Shelf"\nholder = "Merrow"\n'
SHEETS = '[[sheets]]\nfile = "tapes.csv"\nmapping = ["tapes.toml"]\n'
REVIEW = '[review]\nfile = "review.csv"\nasset = "ID"\ndecision = "Decision"\n'


def output(folder: str, audience: str = "public", more: str = "") -> str:
    return f'[[output]]\nstandard = "pbcore"\naudience = "{audience}"\nfolder = "{folder}"\n{more}'


def job(folder: Path, text: str) -> Path:
    path = folder / "job.toml"
    path.write_text(text, encoding="utf-8")
    return path


def test_a_job_is_read(tmp_path: Path) -> None:
    read = load_job(job(tmp_path, TOP + SHEETS + REVIEW + output("public/pbcore/") + output("house", "house")))
    assert [one.folder for one in read.output] == ["public/pbcore", "house"]
    assert read.folder == tmp_path


@pytest.mark.parametrize(
    ("outputs", "message"),
    [
        (output("public", "everyone"), 'job.toml:12: "everyone" is no audience; use public or house'),
        (output("."), '"." is no folder below'),
        (output(""), '"" is no folder below'),
        (output("../public"), '"../public" is no folder below'),
        (output("a/../.."), "is no folder below"),
        (output("/srv/public"), "is no folder below"),
        (output("C:/public"), "is no folder below"),
        (output("public") + output("public", "house"), "stands in the output"),
        (output("public") + output("public/", "house"), "stands in the output"),
        (output("public") + output("Public/house", "house"), 'the output "Public/house" stands in the output "public"'),
        (output("house/public") + output("house", "house"), 'the output "house/public" stands in the output "house"'),
        (output("public", more="batch = 0\n"), "job.toml:14: 0 is no size of a batch; use 1 to 500"),
        (output("public", more="batch = 501\n"), "501 is no size of a batch"),
        (output("public", more='batches = "x"\n'), "job.toml:14: unknown key `batches`"),
    ],
)
def test_outputs_that_make_no_sense_are_said(tmp_path: Path, outputs: str, message: str) -> None:
    with pytest.raises(MappingError) as raised:
        load_job(job(tmp_path, TOP + SHEETS + REVIEW + outputs))
    assert message in str(raised.value)


def test_an_output_for_the_public_needs_a_review(tmp_path: Path) -> None:
    with pytest.raises(MappingError, match="no rights review"):
        load_job(job(tmp_path, TOP + SHEETS + output("public")))
    assert load_job(job(tmp_path, TOP + SHEETS + output("house", "house"))).review is None


def test_a_job_without_its_holder_is_said(tmp_path: Path) -> None:
    with pytest.raises(MappingError, match=r"job\.toml:1: `holder` is missing; it takes a text"):
        load_job(job(tmp_path, 'title = "x"\n' + SHEETS + output("house", "house")))

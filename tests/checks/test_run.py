"""The layers put together: what each adds, one file after another, whatever stands in a folder."""

from __future__ import annotations

import os
import subprocess
import sys
from collections.abc import Iterator
from concurrent.futures import ProcessPoolExecutor, ThreadPoolExecutor
from pathlib import Path

import pytest

from crosswalk.checks.index import Gathered, RecordIndex
from crosswalk.checks.place import Place
from crosswalk.checks.run import Plan, Validator
from crosswalk.checks.selection import LAYERS
from crosswalk.errors import MappingError, UnreadableInput
from crosswalk.findings import Finding, Origin, finding
from crosswalk.records import Asset, Instantiation, Record
from tests.checks.documents import collection, record, single, to_record

# One fault of each layer, in one record.
FAULTY = (
    record(2)
    .replace("titleType", "type")  # schema
    .replace("U-matic", "Umatic")  # vocabulary
    .replace("1987-04-03", "1950")  # rules
    .replace("  <pbcoreAssetType>Episode</pbcoreAssetType>\n", "")  # profile
)
OF_LAYER = {"schema": "SC05", "vocabulary": "VO12", "rules": "RC30", "profile": "PF01"}


def found(content: bytes, **options: object) -> list[Finding]:
    plan = Plan(**options)  # type: ignore[arg-type]
    return list(Validator(plan).stream([content], "in.xml", to_record))


def test_a_good_collection_gives_nothing() -> None:
    validator = Validator(Plan())
    assert list(validator.stream([collection(record(1), record(2))], "in.xml", to_record)) == []
    assert (validator.records, validator.carriers) == (2, 2)


@pytest.mark.parametrize("layer", OF_LAYER)
def test_each_layer_by_itself(layer: str) -> None:
    profile = "national-index" if layer == "profile" else ""
    codes = {one.code for one in found(collection(FAULTY), layers=(layer,), profile=profile)}
    assert OF_LAYER[layer] in codes
    assert not codes & (set(OF_LAYER.values()) - {OF_LAYER[layer]})


def test_all_layers() -> None:
    codes = {one.code for one in found(collection(FAULTY), profile="national-index")}
    assert set(OF_LAYER.values()) <= codes


def test_well_formedness_is_always_checked() -> None:
    assert [one.code for one in found(b"<a>", layers=("rules",))] == ["SC01"]


def test_layers_are_as_the_command_names_them() -> None:
    assert LAYERS == ("well-formed", "schema", "vocabulary", "rules", "profile")


def test_a_schematron_profile(tmp_path: Path) -> None:
    path = tmp_path / "p.sch"
    path.write_text(
        '<schema xmlns="http://purl.oclc.org/dsdl/schematron"><pattern><rule context="*[local-name()=\'pbcoreTitle\']">'
        '<assert test="@titleType">a title needs its type</assert></rule></pattern></schema>'
    )
    [one] = [
        f for f in found(collection(record(1), FAULTY), layers=("profile",), profile=str(path)) if f.code == "PF06"
    ]
    assert one.origin.path.endswith("pbcoreDescriptionDocument[2]/pbcoreTitle")


def test_a_profile_that_makes_no_sense_stops_before_the_first_record(tmp_path: Path) -> None:
    path = tmp_path / "p.toml"
    path.write_text('title = "p"\n[[require]]\nfield = "asset.tilte"\n')
    with pytest.raises(MappingError):
        Validator(Plan(profile=str(path)))


def test_records_of_another_reader() -> None:
    def items() -> Iterator[tuple[Record | Finding, Place]]:
        yield finding("SC12", Origin(file="a.jsonl", line=1), "no JSON"), Place()
        yield Asset(), Place(file="a.jsonl", line=2)
        yield Instantiation(), Place(file="a.jsonl", line=3)

    validator = Validator(Plan(layers=("rules",)))
    told = list(validator.read(items()))
    assert [(one.origin.line, one.code) for one in told] == [
        (1, "SC12"),
        *[(2, "RC01")] * 3,
        (2, "RC50"),
        *[(3, "RC01")] * 2,
    ]
    assert (validator.records, validator.carriers) == (2, 1)


def test_findings_come_as_the_records_do() -> None:
    """The iterator form: the first finding is there before the second record is read."""
    content = collection(FAULTY, record(3))
    cut = content.index(b"TDLN-0003")
    read: list[int] = []

    def pieces() -> Iterator[bytes]:
        for number, piece in enumerate((content[:cut], content[cut:])):
            read.append(number)
            yield piece

    next(Validator(Plan()).stream(pieces(), "-", to_record))
    assert read == [0]


def in_worker(path: str) -> tuple[list[Finding], Gathered]:
    gathered = Gathered()
    return list(Validator(Plan(), gathered).file(Path(path), to_record)), gathered


def test_workers_find_what_one_process_finds(tmp_path: Path) -> None:
    paths = [tmp_path / f"{number}.xml" for number in range(4)]
    for number, path in enumerate(paths):
        path.write_bytes(collection(record(number), record(9), FAULTY.replace("TDLN-0002", f"A{number}")))
    alone = RecordIndex()
    expected = [one for path in paths for one in Validator(Plan(), alone).file(path, to_record)] + list(
        alone.findings()
    )
    shared, told = RecordIndex(), []
    with ProcessPoolExecutor(2) as pool:
        for findings, gathered in pool.map(in_worker, map(str, paths)):
            told += findings
            shared.add_rows(*gathered.rows)
    assert told + list(shared.findings()) == expected
    assert {"RC10", "RC30"} <= {one.code for one in expected}


def test_threads_find_what_one_thread_finds(tmp_path: Path) -> None:
    """Explained by xmlschema, with a profile of each kind: whatever is shared between threads shows here."""
    path = tmp_path / "p.sch"
    path.write_text(
        '<schema xmlns="http://purl.oclc.org/dsdl/schematron"><pattern><rule context="*[local-name()=\'pbcoreTitle\']">'
        '<assert test="@titleType">a title needs its type</assert></rule></pattern></schema>'
    )
    contents = [
        collection(
            record(n), FAULTY.replace("TDLN-0002", f"A{n}").replace("<pbcoreTitle", "<x/>" * (n % 4) + "<pbcoreTitle")
        )
        for n in range(60)
    ]

    def one(content: bytes) -> list[str]:
        plans = (Plan(profile=str(path)), Plan(profile="national-index"))
        return [str(told) for plan in plans for told in Validator(plan).stream([content], "in.xml", to_record)]

    expected = [one(content) for content in contents]
    with ThreadPoolExecutor(8) as pool:
        assert list(pool.map(one, contents)) == expected


def test_a_name_that_is_not_utf_8(tmp_path: Path) -> None:
    path = tmp_path / os.fsdecode(b"gr\xfcn.xml")
    try:
        path.write_bytes(single(record().replace("titleType", "type")))
    except OSError:
        pytest.skip("this file system takes names in UTF-8 only")
    told = [one for one in Validator(Plan()).file(path, to_record) if one.code == "SC05"]
    assert [one.origin.file for one in told] == [str(path)]


def test_a_file_that_is_not_there(tmp_path: Path) -> None:
    with pytest.raises(UnreadableInput):
        list(Validator(Plan()).file(tmp_path / "none.xml", to_record))


FLAT = """
import sys
from pathlib import Path
from crosswalk.checks.index import RecordIndex
from crosswalk.checks.run import Plan, Validator
from tests.checks.documents import record, to_record, collection
def pieces(count):
    whole = collection("@").split(b"@")
    yield whole[0]
    for number in range(count):
        yield record(number).encode()
    yield whole[1]
index = RecordIndex()
plan = Plan(layers=("well-formed", "schema", "rules"))
validator = Validator(plan, index)
found = list(validator.stream(pieces(int(sys.argv[1])), "-", to_record)) + list(index.findings())
assert not found, found[:3]
status = Path("/proc/self/status").read_text()
print(next(line for line in status.splitlines() if line.startswith("VmHWM")).split()[1])
"""


@pytest.mark.skipif(not Path("/proc/self/status").exists(), reason="peak memory is read from /proc")
def test_memory_is_flat() -> None:
    """Twelve times the records, within 15 MB; the benchmark has the large figures."""
    few, many = (
        int(subprocess.run([sys.executable, "-c", FLAT, str(n)], check=True, capture_output=True, text=True).stdout)
        for n in (500, 6000)
    )
    assert many - few < 15_000

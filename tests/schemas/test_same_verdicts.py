"""Our own schema documents accept and refuse what the published ones do.

Source of the verdicts: the published schemas named in schemas/catalogue.toml, by libxml2 and by xmlschema, recorded in
tests/data/schema by `python -m tests.schemas.record`. Where the published files are at hand, test_published_files.py
asks them directly.
"""

from __future__ import annotations

from itertools import islice

import pytest

from crosswalk.checks.schema import SchemaCheck
from tests.schemas.documents import groups
from tests.schemas.families import KEYS, family
from tests.schemas.verdicts import ENGINES, RECORDED, differences, load

# One in so many is asked of xmlschema, which is thirty times slower; libxml2 is asked about all of them.
EVERY = {"libxml2": 1, "xmlschema": 16}


def _some(found: list[str]) -> str:
    return f"{len(found)} differ, such as:\n" + "\n".join(found[:5])


@pytest.mark.parametrize("engine", ENGINES)
@pytest.mark.parametrize("key", KEYS)
def test_our_schema_gives_the_recorded_verdicts(key: str, engine: str) -> None:
    ours = family(key)
    recorded = load(RECORDED / f"{key}.verdicts.gz")
    found = list(differences(groups(ours), recorded, engine, ENGINES[engine](ours.ours), EVERY[engine]))
    assert not found, _some(found)


@pytest.mark.parametrize("key", KEYS)
def test_the_verdict_without_a_tree_is_the_same(key: str) -> None:
    ours = family(key)
    recorded = load(RECORDED / f"{key}.verdicts.gz")
    found = list(differences(groups(ours), recorded, "libxml2", SchemaCheck(str(ours.ours)).accepts))
    assert not found, _some(found)


@pytest.mark.parametrize("key", KEYS)
def test_recorded_verdicts_are_of_both_kinds_in_every_place(key: str) -> None:
    dull = [v.label for v in load(RECORDED / f"{key}.verdicts.gz").values() if set(v.bits["libxml2"]) != {"0", "1"}]
    assert not dull


def test_more_than_ten_thousand_documents_are_compared() -> None:
    recorded = load(RECORDED / "pbcore.verdicts.gz").values()
    assert sum(len(v.bits["libxml2"]) for v in recorded) > 10_000


def test_the_same_documents_are_made_twice() -> None:
    first, second = (list(islice(groups(family("pbcore")), 40)) for _ in range(2))
    assert first == second

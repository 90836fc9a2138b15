"""The published schemas themselves, asked side by side with ours, where they are at hand.

Source: the published files that schemas/catalogue.toml names.
"""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import pytest

from tests.schemas.documents import groups
from tests.schemas.families import KEYS, PUBLISHED, STANDARDS, family
from tests.schemas.verdicts import ENGINES, bits

EVERY = {"libxml2": 11, "xmlschema": 97}


@pytest.mark.live
@pytest.mark.skipif(not STANDARDS.is_dir(), reason="the published standards are not beside the checkout")
@pytest.mark.parametrize("engine", ENGINES)
@pytest.mark.parametrize("key", KEYS)
def test_published_schema_itself_agrees(key: str, engine: str, tmp_path: Path) -> None:
    """Over documents made from our schema, and over documents made from the published one."""
    theirs, ours = PUBLISHED[key].laid_out(tmp_path), family(key)
    judges = [ENGINES[engine](path) for path in (theirs, ours.ours)]
    for walked in (ours, replace(ours, ours=theirs)):
        for number, (label, cases) in enumerate(groups(walked)):
            chosen = cases[number % EVERY[engine] :: EVERY[engine]]
            published, own = (bits(judge, chosen) for judge in judges)
            assert published == own, label

from __future__ import annotations

import pytest

from tests.pipeline.merrow import Delivered


@pytest.fixture(scope="session")
def merrow(tmp_path_factory: pytest.TempPathFactory) -> Delivered:
    return Delivered(tmp_path_factory.mktemp("merrow") / "out")

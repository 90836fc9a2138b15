from __future__ import annotations

from hypothesis import settings

from tests.search import examples

settings.register_profile("examples", examples())
settings.load_profile("examples")

"""How much work a reading is, measured so that no clock disturbs it."""

from __future__ import annotations

import sys
from collections.abc import Callable
from types import FrameType
from typing import Any


def lines_run(work: Callable[[], object]) -> int:
    """How many lines of the package some work runs through."""
    count = 0

    def trace(frame: FrameType, event: str, argument: object) -> Any:
        nonlocal count
        if "crosswalk" not in frame.f_code.co_filename:
            return None
        count += event == "line"
        return trace

    sys.settrace(trace)
    try:
        work()
    finally:
        sys.settrace(None)
    return count

"""Lengths as people write them, to `HH:MM:SS` and milliseconds.

Of the context, `capacity_ms`, `fps`, `minutes_first`, `point_is_clock` and `bare_unit` are used; `column_context` fills
the last three from a column's evidence. That a length is only approximate is told beside the value (`also`).
"""

from crosswalk.values.durations.reader import read_duration
from crosswalk.values.durations.times import duration_ms, from_seconds

__all__ = ["duration_ms", "from_seconds", "read_duration"]

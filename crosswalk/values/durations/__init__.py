"""Lengths as people write them, to `HH:MM:SS` and milliseconds."""

from crosswalk.values.durations.reader import read_duration
from crosswalk.values.durations.times import duration_ms, from_seconds

__all__ = ["duration_ms", "from_seconds", "read_duration"]

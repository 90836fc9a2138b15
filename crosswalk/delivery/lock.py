"""One run at a time into one folder: two would take each other's files away."""

from __future__ import annotations

import sys
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path


@contextmanager
def locked(path: Path) -> Iterator[None]:
    """Holds the lock of that name. Raises BlockingIOError where another run has it.

    The system lets go of it when its process ends, however that comes about. On Windows there is none.
    """
    if sys.platform == "win32":
        yield
        return
    import fcntl

    with path.open("w") as file:
        fcntl.flock(file, fcntl.LOCK_EX | fcntl.LOCK_NB)
        try:
            yield
        finally:
            path.unlink(missing_ok=True)

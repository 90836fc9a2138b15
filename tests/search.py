"""How many examples a property test tries: the same in each `make test`; new ones, and many more, in `make search`."""

from __future__ import annotations

import os

from hypothesis import HealthCheck, settings

TIMES = int(os.environ.get("SEARCH_TIMES", "0"))  # 0: the same examples each time
SLOW_IS_FINE = (HealthCheck.too_slow, HealthCheck.data_too_large)


def examples(count: int = 100, *suppressed: HealthCheck) -> settings:
    """`count` examples that stay the same, so that a change is judged by what it changed; new ones in a search."""
    return settings(
        max_examples=count * max(TIMES, 1),
        derandomize=not TIMES,
        deadline=None,
        suppress_health_check=[*SLOW_IS_FINE, *suppressed],
        print_blob=bool(TIMES),
    )

"""Tests that draw many cases take long, and what they draw is the same on every Python: with LOTWISE_TESTS=light, as
.ci/run asks of every Python but the first, they are left out.
"""

import os
from pathlib import Path

from hypothesis import settings

settings.register_profile("lotwise", deadline=None)  # nothing is judged by time
settings.load_profile("lotwise")

HERE = Path(__file__).parent
LONG = (
    "bench/",
    "crash/",
    "fuzz/",
    "hostile/",
    "oracle/",
    "planner/changes/",
    "planner/priced/",
    "planner/racklist/",
    "planner/sheets/test_round_trip.py",
    "planner/test_against_brute.py",
    "planner/test_corrupted_plans.py",
    "planner/test_misplaced_plans.py",
    "planner/test_reckoning.py",
    "planner/test_settling.py",
    "test_ledger_runs.py",
)


def pytest_collection_modifyitems(config, items):
    if os.environ.get("LOTWISE_TESTS") != "light":
        return
    long = [item for item in items if item.path.relative_to(HERE).as_posix().startswith(LONG)]
    config.hook.pytest_deselected(items=long)
    items[:] = [item for item in items if item not in set(long)]

"""First fit is a bar: what is planned is never below it."""

import pytest

from planner.planning import plan
from tests.bench.generated import workspace
from tests.bench.greedy import first_fit

SEEDS = 6  # of the 200 that `python -m tests.bench.greedy` tries


@pytest.mark.parametrize("seed", range(SEEDS))
@pytest.mark.parametrize("way", ["exact", "priced"])
def test_a_plan_uses_no_less_than_first_fit(seed, way):
    drawn = workspace(20, 8, 1, seed, 8)
    projects, confidence = drawn.projects.projects, drawn.projects.confidence
    free = [project for project in projects if not project.must]  # a must comes before any grams
    assert plan(drawn, free, confidence, way=way).aim_value >= first_fit(drawn, free, confidence) - 0.02

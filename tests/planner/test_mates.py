"""Lots held two by two: exactly those that the rules let stand together, and none gains more than what is told."""

from itertools import combinations

import numpy as np
import pytest

from planner.instance import setting_of
from planner.mates import Mates
from planner.shelf import Shelf
from planner.suits import first_refusal, strands_unlike, wrong_colour, wrong_count
from tests.bench.generated import workspace


@pytest.mark.parametrize("seed", range(3))
def test_mates_are_the_twos_of_the_thickness_and_colour_asked(seed):
    drawn = workspace(30, 12, 1, seed, 12)
    shelf = Shelf(tuple(drawn.stash.lots.values()))
    found = 0
    for project in drawn.projects.projects:
        pattern = drawn.patterns[project.pattern]
        for need in pattern.needs.values():
            setting = setting_of(project, pattern, need)
            expected = {
                two
                for two in combinations(range(len(shelf.lots)), 2)
                if not first_refusal((wrong_count, wrong_colour, strands_unlike), need, shelf.yarn(two), setting)
            }
            mates = shelf.mates(need)
            pairs = list(zip(mates.lots.tolist(), mates.others.tolist(), strict=True))
            assert {tuple(sorted(two)) for two in pairs} == expected
            assert len(pairs) == 2 * len(expected)
            assert mates.any.tolist() == [any(place in two for two in expected) for place in range(len(shelf.lots))]
            found += len(expected)
    assert found >= 10


@pytest.mark.parametrize("quick", [False, True])
@pytest.mark.parametrize("count", [1, 3, 10, 1000])
@pytest.mark.parametrize("seed", range(20))
def test_the_best_twos_gain_most_and_no_other_gains_more_than_told(seed, count, quick):
    chance = np.random.default_rng(seed)
    near = np.triu(chance.random((40, 40)) < 0.2, 1)
    mates = Mates.of([np.flatnonzero(row) for row in near | near.T])
    worth = np.where(chance.random(40) < 0.8, np.round(chance.normal(size=40), 1), -np.inf)  # many alike
    twos = mates.best(worth, count, quick=quick)
    told = list(zip(twos.one.tolist(), twos.other.tolist(), strict=True))
    every = zip(*(own.tolist() for own in np.nonzero(near)), strict=True)
    gains = {two: gain for two in every if (gain := worth[list(two)].sum()) > -np.inf}
    assert [gains[two] for two in told] == twos.gains.tolist() == sorted(twos.gains, reverse=True)
    assert len(set(told)) == len(told)
    others = max((gain for two, gain in gains.items() if two not in told), default=-np.inf)
    assert others <= twos.beyond
    if not quick or count >= 40:
        assert len(told) == min(count, len(gains))
        assert others <= min(twos.gains, default=np.inf)
        assert twos.beyond > -np.inf or len(told) == len(gains)

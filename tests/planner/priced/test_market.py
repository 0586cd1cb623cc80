"""A way for every project that can be made at all, and what no choice is worth more than."""

from dataclasses import replace

import pytest

from planner import instance as instances
from planner.alone import judge
from planner.planning import plan
from planner.priced.hands import Hands
from planner.priced.market import Market
from planner.priced.planning import _Question
from planner.priced.ways import LOOK
from planner.stages import Limits
from tests.bench.generated import workspace


def market_of(drawn, asked):
    outline, shelf = instances.outline(drawn.stash, drawn.patterns, asked, drawn.projects.confidence)
    question = _Question(outline, shelf, Limits(), 0.0)
    insides = question.insides("grams")
    return Market(insides, question.projects, question.holds, frozenset(), 0, lambda: False, Hands(insides))


@pytest.mark.parametrize("seed", range(3))
def test_a_way_is_found_where_the_exact_model_finds_one_and_only_there(seed):
    drawn = workspace(30, 10, 1, seed, 10)
    asked, confidence = drawn.projects.projects, drawn.projects.confidence
    market = market_of(drawn, asked)
    insides = market.insides
    market.find()
    exact = instances.build(drawn.stash, drawn.patterns, asked, confidence)
    could = {i for i, making in enumerate(exact.makings) if judge(drawn, exact, making, confidence) is not None}
    assert {way.making for way in market.ways} == could
    assert 0 < len(could) < len(insides)


def test_a_market_whose_time_is_up_asks_nobody():
    drawn = workspace(30, 10, 1, 0, 10)
    market = market_of(drawn, drawn.projects.projects)
    market.over = lambda: True
    market.start()
    market.find()
    assert not market.spread()
    assert not market.ways


@pytest.mark.parametrize("steps", [1, LOOK])
def test_a_bound_of_however_few_steps_is_none_too_low(steps):
    drawn = workspace(30, 12, 1, 4, 12)
    asked = [replace(project, must=False) for project in drawn.projects.projects]
    best = plan(drawn, asked, drawn.projects.confidence, way="exact").aim_value
    market = market_of(drawn, asked)
    market.start()
    market.weigh()
    market.prove(closely=False, steps=steps)
    assert best <= market.bound + 1e-6
    assert set(market.most) == set(market.projects)

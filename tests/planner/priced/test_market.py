"""A way for every project that can be made at all."""

import pytest

from planner import instance as instances
from planner.covering import judge
from planner.priced.market import Market
from planner.priced.planning import _Question
from planner.stages import Limits
from tests.bench.generated import workspace


@pytest.mark.parametrize("seed", range(3))
def test_a_way_is_found_where_the_exact_model_finds_one_and_only_there(seed):
    drawn = workspace(30, 10, 1, seed, 10)
    asked, confidence = drawn.projects.projects, drawn.projects.confidence
    outline, shelf = instances.outline(drawn.stash, drawn.patterns, asked, confidence)
    question = _Question(outline, shelf, Limits(), 0.0)
    insides = question.insides("grams")
    market = Market(insides, question.projects, question.holds, question.musts, 0, lambda: False)
    market.find()
    exact = instances.build(drawn.stash, drawn.patterns, asked, confidence)
    could = {i for i, making in enumerate(exact.makings) if judge(drawn, exact, making, confidence) is not None}
    assert {way.making for way in market.ways} == could
    assert 0 < len(could) < len(insides)

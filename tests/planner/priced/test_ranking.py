"""What several yarns that share a need out gain at most, those that nobody looked at among them."""

from types import SimpleNamespace

import pytest

from planner.priced.ranking import Ranking

PLANNED, REST = 100, 4.0


@pytest.fixture
def ranking():
    """Of a need of 100 cm in which all may meet; what stands in the slots after it gains 4."""
    own = object.__new__(Ranking)
    own.rest = REST
    own.slot = SimpleNamespace(planned=PLANNED, need=0)
    own.search = SimpleNamespace(inside=SimpleNamespace(may_stand=lambda *_: True))
    return own


def test_the_best_carry_all_they_can_where_nothing_better_was_left_out(ranking):
    # half of it from a yarn of 10, half from one of 2
    assert ranking._at_most([(10 + REST, (0,), 50), (2 + REST, (1,), 80)], float("-inf")) == 6 + REST


def test_yarns_left_out_stand_beside_the_best_where_they_gain_more_than_those_looked_at(ranking):
    # half of it from a yarn of 10, half from one left out, of 8, rather than from one of 2
    assert ranking._at_most([(10 + REST, (0,), 50), (2 + REST, (1,), 80)], 8 + REST) == 9 + REST


def test_yarns_too_short_together_do_not_serve(ranking):
    assert ranking._at_most([(10 + REST, (0,), 50), (2 + REST, (1,), 49)], float("-inf")) == float("-inf")

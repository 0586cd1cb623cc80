"""What bounds say of one another, aim after aim; a cut that is hard to prove."""

import math
from fractions import Fraction

from planner.aims import GRAMS, MUST
from planner.planning import plan
from planner.settling import _tightest
from planner.solve import Answer, Status
from tests.bench.generated import workspace


def answers(*bounds):
    return [Answer(Status.OPTIMAL, (), bound, bound) for bound in bounds]


def test_a_bound_on_grams_beside_two_musts_says_nothing_once_only_one_can_be_made():
    thought = _tightest([-math.inf, -math.inf], answers(-2.0, -100.0), [MUST, GRAMS])
    assert thought == [-2.0, -100.0]
    assert _tightest(thought, answers(-1.0, -150.0), [MUST, GRAMS]) == [-1.0, -150.0]


def test_of_two_bounds_beside_as_many_musts_the_tighter_holds():
    assert _tightest([-1.0, -150.0], answers(-1.0, -140.0), [MUST, GRAMS]) == [-1.0, -140.0]
    assert _tightest([-1.0, -140.0], answers(-1.0, -150.0), [MUST, GRAMS]) == [-1.0, -140.0]


def test_an_aim_not_come_to_keeps_its_bound():
    assert _tightest([-1.0, -140.0], answers(-1.0), [MUST, GRAMS]) == [-1.0, -140.0]


def test_bounds_beside_fewer_musts_stand_against_those_beside_more():
    assert _tightest([-1.0, -150.0], answers(-2.0, -100.0), [MUST, GRAMS]) == [-1.0, -150.0]


def test_a_cut_whose_proof_does_not_end_does_not_keep_the_plan_back():
    """One lot of this stash, shared out, is cut to within a tenth of a gram at once, and to the last not in minutes."""
    drawn = workspace(30, 12, 1, 5, 12)
    found = plan(drawn, drawn.projects.projects, drawn.projects.confidence, within=Fraction(1, 100))
    assert found.proof == "within"
    assert found.aim_value > 3790

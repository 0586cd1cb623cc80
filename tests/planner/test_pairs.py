"""Which two working yarns may meet, at the edge of a limit."""

from itertools import product
from types import SimpleNamespace

import pytest

from planner.instance import build
from planner.pairs import PAIR_RULES, Meeting, steps_in_order
from tests.oracle.workspaces import random_case


def of(lightness):
    return SimpleNamespace(colour=SimpleNamespace(lightness=lightness))


@pytest.mark.parametrize(
    ("apart", "expected"),
    [
        (15.0, True),
        (15.0 - 2.9e-6, True),  # each of three steps may fall short by a millionth
        (15.0 - 3.1e-6, False),
    ],
)
def test_every_step_of_a_fade_may_fall_short_by_its_own_millionth(apart, expected):
    needs = [SimpleNamespace(name=name) for name in ("a", "d")]
    meeting = Meeting(*needs, wash="any", bleed_risk=False, order=("a", "b", "c", "d"))
    assert expected is steps_in_order(meeting, of(20.0), of(20.0 + apart))


def test_a_rule_that_a_meeting_is_not_asked_holds_in_it():
    left_out = 0
    for seed in range(40):
        case = random_case(seed)
        for making in build(case.stash, case.patterns, case.projects, case.confidence).makings:
            for one, other in product(making.needs, repeat=2):
                meeting = making.meeting(one, other)
                broken = {
                    rule for a, b in product(one.yarns, other.yarns) for rule in PAIR_RULES if not rule(meeting, a, b)
                }
                assert broken <= set(meeting.rules)
                left_out += len(PAIR_RULES) - len(meeting.rules)
    assert left_out > 1000

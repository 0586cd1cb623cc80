"""Which two working yarns may meet, at the edge of a limit."""

from types import SimpleNamespace

import pytest

from planner.pairs import Meeting, steps_in_order


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

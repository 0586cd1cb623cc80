"""Colours tried round a find's colour lie as far off as told, on every side."""

import pytest

from planner.racklist.reach import _spread, around
from stash.colour import difference, read_colour


@pytest.mark.parametrize("code", ["#5b6770", "#c4272f", "#efe6d2", "#232f55"])
@pytest.mark.parametrize("off", [1.5, 4.5, 10.5])
def test_every_colour_tried_is_so_far_off_and_no_further(code, off):
    colour = read_colour(code)
    others = list(around(colour, off))
    assert max(difference(colour, other) for other in others) <= off
    assert min(difference(colour, other) for other in others if 0 < other.lightness < 100) >= off - 0.02


def test_they_lie_lighter_darker_redder_greener_yellower_and_bluer():
    colour = read_colour("#7d8f86")
    others = list(around(colour, 5))
    for axis in range(3):
        assert min(other.lab[axis] for other in others) < colour.lab[axis] < max(other.lab[axis] for other in others)


def test_what_is_tried_between_is_spread_over_every_eighth_of_the_cube():
    assert len({(u > 0.5, v > 0.5, w > 0.5) for u, v, w in _spread()}) == 8

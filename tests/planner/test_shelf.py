"""The shelf finds exactly the working yarns that trying every one against every reason would."""

from itertools import combinations_with_replacement

import pytest

from planner.instance import setting_of
from planner.shelf import Shelf
from planner.suits import REASONS, first_refusal
from stash.colour import difference
from tests.bench.generated import workspace


@pytest.mark.parametrize("seed", range(4))
def test_what_suits_is_what_no_reason_refuses(seed):
    drawn = workspace(14, 12, 1, seed, 12)
    lots = tuple(drawn.stash.lots.values())
    shelf = Shelf(lots)
    held = 0
    for project in drawn.projects.projects:
        pattern = drawn.patterns[project.pattern]
        for need in pattern.needs.values():
            setting = setting_of(project, pattern, need)
            tried = (
                shelf.yarn(places)
                for strands in range(need.strands[0], need.strands[1] + 1)
                for places in combinations_with_replacement(range(len(lots)), strands)
            )
            fit = sorted(yarn.name for yarn in tried if not first_refusal(REASONS, need, yarn, setting))
            assert [yarn.name for yarn in shelf.suited(need, setting)] == fit
            held += sum(" + " in name for name in fit)
    assert held >= 10


def test_alike_is_within_three():
    lots = tuple(workspace(40, 1, 1, 5).stash.lots.values())
    shelf = Shelf(lots)
    for place, lot in enumerate(shelf.lots):
        expected = [at for at, other in enumerate(shelf.lots) if difference(lot.colour, other.colour) <= 3 + 1e-6]
        assert shelf.alike(place).tolist() == expected

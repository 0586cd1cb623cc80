"""The shelf finds exactly the working yarns that trying every one against every reason would."""

from dataclasses import replace
from itertools import combinations_with_replacement

import pytest

from planner.instance import build, setting_of
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


def test_who_may_not_meet_is_told_apart_by_what_is_asked_on_one_shelf():
    """What is found on a shelf that others asked before is what is found on a new one."""
    drawn = workspace(14, 12, 1, 1, 12)
    shelf, sure = Shelf(tuple(drawn.stash.lots.values())), drawn.projects.confidence
    found = []
    for wash in ("hand", "any", "machine"):
        patterns = {name: replace(pattern, wash=wash) for name, pattern in drawn.patterns.items()}
        shared = build(drawn.stash, patterns, drawn.projects.projects, sure, shelf=shelf)
        alone = build(drawn.stash, patterns, drawn.projects.projects, sure)
        assert named(shared) == named(alone)
        found.append(named(alone))
    assert all(found)
    assert found[0] != found[1]


def named(instance):
    """All pairs that are kept apart, by project, needs and names."""
    return {
        (making.project.name, one.need.name, other.need.name, a.name, b.name)
        for making in instance.makings
        for one in making.needs
        for other in making.needs
        for a, apart in instance.strangers(making, one, other).items()
        for b in apart
    }

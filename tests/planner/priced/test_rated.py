"""What a yarn of two lots that was not looked at gains beside another, at most: held against every two lots."""

import random

import numpy as np
import pytest

from planner import instance as instances
from planner.instance import END_CM
from planner.pairs import Contrast
from planner.priced.store import Store
from planner.priced.ways import Inside
from tests.bench.generated import workspace


def slots_of_two(seed):
    drawn = workspace(80, 30, 1, seed, 30)
    outlined, shelf = instances.outline(drawn.stash, drawn.patterns, drawn.projects.projects, drawn.projects.confidence)
    store = Store(shelf, outlined.stock)
    for index, making in enumerate(outlined.makings):
        for slot in Inside(store, index, making, 0.0, 1.0).slots:
            if slot.mixed and slot.sized.need.strands[1] == 2 and not slot.sized.need.marl:
                yield slot


def gain_of(slot, prices, place):
    """What a strand of a lot is worth less what it costs with its ends, as `Slot._held` has it."""
    most = min(float(slot.store.given(slot.least)[place]), slot.planned)
    ends = END_CM * (1 if slot.divisible else slot.store.fewest_of(place, slot.planned))
    worth = slot.planned * slot.rate * slot.store.tex[place]
    return worth - prices[place] * (slot.planned + ends * slot.planned / max(most, 1))


@pytest.mark.parametrize("seed", range(3))
def test_what_was_not_looked_at_gains_no_more_than_is_said_of_it(seed):
    chance = random.Random(seed)
    held_back = 0
    for slot in slots_of_two(seed):
        shelf = slot.store.shelf
        prices = np.array([chance.random() for _ in shelf.lots]) * slot.store.tex / 1000
        rated = slot.rated(prices, slot.store.most, mixed=True, twos=2, quick=True)
        listed = {kind.strands(at) for kind in rated.kinds[1:] for at in range(len(kind.gains))}
        may = np.zeros(len(shelf.lots), dtype=bool)
        may[slot.strand_places[slot.held()[1].takes < np.inf]] = True
        for lightness in (15.0, 40.0, 70.0):
            for contrast in (Contrast(10.0, np.inf), Contrast(np.inf, 10.0), Contrast(20.0, 20.0)):
                most = rated.beyond_beside(np.array([lightness]), [contrast])[0]
                held_back += most < rated.beyond
                for pair in shelf.mates(slot.sized.need).among(may):
                    rise = shelf.yarn(pair).colour.lightness - lightness
                    if tuple(pair) not in listed and (rise <= -contrast.darker or rise >= contrast.lighter):
                        assert sum(gain_of(slot, prices, place) for place in pair) <= most + 1e-6
    assert held_back

"""What a yarn of several lots that was not looked at gains beside another, at most: held against every such yarn."""

import random
from dataclasses import replace
from itertools import combinations, combinations_with_replacement

import numpy as np
import pytest

from planner import instance as instances
from planner.instance import END_CM
from planner.pairs import Contrast
from planner.priced import slots
from planner.priced.market import CM_IN_KM
from planner.priced.store import Store
from planner.priced.ways import Inside
from planner.yarns import alike, thickest_and_finest
from tests.bench.generated import workspace


def slots_of(lots, seed, strands, *, marl):
    """Those of drawn patterns that may be held together, each so many strands, and marls or not."""
    drawn = workspace(lots, 30, 1, seed, 30)
    patterns = {name: held(own, strands, marl=marl) for name, own in drawn.patterns.items()}
    outlined, shelf = instances.outline(drawn.stash, patterns, drawn.projects.projects, drawn.projects.confidence)
    store = Store(shelf, outlined.stock)
    for index, making in enumerate(outlined.makings):
        yield from (slot for slot in Inside(store, index, making, 0.0, 1.0).slots if slot.mixed)


def held(pattern, strands, *, marl):
    needs = {
        name: replace(need, strands=strands, marl=marl) if need.strands[1] > 1 else need
        for name, need in pattern.needs.items()
    }
    return replace(pattern, needs=needs)


def gain_of(slot, prices, place):
    """What a strand of a lot is worth less what it costs with its ends, as `Slot._held` has it."""
    most = min(float(slot.store.given(slot.least)[place]), slot.planned)
    ends = END_CM * (1 if slot.divisible else slot.store.fewest_of(place, slot.planned))
    worth = slot.planned * slot.rate * slot.store.tex[place]
    return worth - prices[place] * (slot.planned + ends * slot.planned / max(most, 1))


def yarns_of(slot):
    """Every yarn of several lots for the slot, of lots that hold enough for a strand."""
    need, shelf = slot.sized.need, slot.store.shelf
    thickest, finest = thickest_and_finest(need)
    may = slot.strand_places[slot.held()[1].takes < np.inf].tolist()
    for strands in range(max(need.strands[0], 2), need.strands[1] + 1):
        for places in combinations_with_replacement(may, strands):
            one, *others = sorted(set(places))
            lots = [shelf.lots[place] for place in (one, *others)]
            thick = finest <= sum(shelf.wool[place] for place in places) <= thickest
            if others and thick and (need.marl or all(alike(a.colour, b.colour) for a, b in combinations(lots, 2))):
                yield places


@pytest.mark.parametrize("seed", range(3))
@pytest.mark.parametrize(("lots", "strands", "marl"), [(80, (1, 2), False), (25, (1, 2), True), (25, (2, 3), False)])
def test_what_was_not_looked_at_gains_no_more_than_is_said_of_it(seed, lots, strands, marl, monkeypatch):
    monkeypatch.setattr(slots, "STEMS", 2)
    monkeypatch.setattr(slots, "FOUND", 2)
    chance = random.Random(seed)
    held_back = 0
    for slot in slots_of(lots, seed, strands, marl=marl):
        shelf = slot.store.shelf
        prices = np.array([chance.random() for _ in shelf.lots]) * slot.store.tex / CM_IN_KM
        rated = slot.rated(prices, slot.store.most, mixed=True, twos=2, quick=True)
        listed = {kind.strands(at) for kind in rated.kinds[1:] for at in range(len(kind.gains))}
        others = [
            (shelf.yarn(places).colour.lightness, sum(gain_of(slot, prices, place) for place in places))
            for places in yarns_of(slot)
            if places not in listed
        ]
        assert all(gain <= rated.beyond + 1e-6 for _, gain in others)
        for lightness in (15.0, 40.0, 70.0):
            for contrast in (Contrast(10.0, np.inf), Contrast(np.inf, 10.0), Contrast(20.0, 20.0)):
                most = rated.beyond_beside(np.array([lightness]), [contrast])[0]
                held_back += most < rated.beyond
                for own, gain in others:
                    if own - lightness <= -contrast.darker or own - lightness >= contrast.lighter:
                        assert gain <= most + 1e-6
    assert held_back

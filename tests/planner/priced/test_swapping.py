"""Ways swapped one project at a time: what is given back is put back unless something better is found."""

import math
from dataclasses import replace

import numpy as np
import pytest

from planner import instance as instances
from planner.priced.choosing import fill
from planner.priced.hands import Hands
from planner.priced.market import CM_IN_KM
from planner.priced.planning import _Question
from planner.priced.swapping import swap
from planner.stages import Limits
from tests.bench.generated import workspace


def never():
    return False


def one_after_another(seed):
    """A choice made without looking ahead, and the prices per cm at which each gram is worth itself."""
    drawn = workspace(40, 16, 2, seed, 16)
    asked = drawn.projects.projects
    question = _Question(
        *instances.outline(drawn.stash, drawn.patterns, asked, drawn.projects.confidence), Limits(0.0), 0.0
    )
    insides = question.insides("grams")
    choice = replace(question.nothing(), insides={inside.index: inside for inside in insides})
    fill(choice, sorted(choice.insides), (), never)
    return choice, insides[0].store.tex / CM_IN_KM


def hands_of(choice):
    return Hands(list(choice.insides.values()))


def held_cm(choice):
    """What the pieces of every lot that was cut hold still."""
    return {place: bench.left() for place, bench in choice.benches.items()}


@pytest.mark.parametrize("seed", range(4))
def test_at_no_price_a_choice_only_gets_better_and_nothing_made_is_lost(seed):
    choice, prices = one_after_another(seed)
    worth, made = choice.worth, choice.made
    for _ in range(3):
        swap(choice, 0 * prices, never, hands_of(choice))
        assert choice.worth >= worth - 1e-6
        assert choice.made >= made
        worth, made = choice.worth, choice.made


@pytest.mark.parametrize("seed", range(4))
def test_at_any_price_what_is_made_stays_made_and_no_piece_is_cut_beyond_its_end(seed):
    choice, prices = one_after_another(seed)
    made = choice.made
    for share in (1.0, 0.5, 2.0):
        swap(choice, share * prices, never, hands_of(choice))
        assert choice.made >= made
        assert min(min(left) for left in held_cm(choice).values()) >= 0
        worth = math.fsum(choice.insides[making].worth(way.runs) for making, way in choice.ways.items())
        assert choice.worth == pytest.approx(worth)


def test_a_choice_is_left_as_it_is_where_time_is_up():
    choice, prices = one_after_another(0)
    ways, held = dict(choice.ways), held_cm(choice)
    swap(choice, prices, lambda: True, hands_of(choice))
    assert (choice.ways, held_cm(choice)) == (ways, held)


def test_each_asks_for_nothing_but_what_gains_more_than_it_has():
    choice, prices = one_after_another(1)
    for making, way in choice.ways.items():
        inside = choice.insides[making]
        inside.store.hold_all({})
        holds = np.full(len(prices), np.inf)
        best = inside.best(0 * prices, holds)
        assert best.way is not None
        assert best.gain >= way.worth - 1e-6
        assert inside.best(0 * prices, holds, above=best.gain + 1e-6).way is None

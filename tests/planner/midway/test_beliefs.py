"""A measurement moves what is believed as the conditioned normal distribution says."""

import math
import random

import pytest

from planner.midway.beliefs import believe, chance_all_above

A, B, C, D = ("a",), ("b",), ("c",), ("d",)


def test_nothing_measured_leaves_every_error_as_it_was():
    beliefs = believe([{A: 2.0, B: 1.0}], [])
    assert (0.0, math.sqrt(5)) == (beliefs.mean({A: 2.0, B: 1.0}), beliefs.spread({A: 2.0, B: 1.0}))


def test_two_values_are_weighted_by_the_inverses_of_their_variances():
    # prior 0 +/- 0.05, measured 0.1 +/- 0.02: mean 0.1 x 0.05^2/(0.05^2 + 0.02^2), variance 1/(1/0.05^2 + 1/0.02^2)
    own = {A: 0.05}
    beliefs = believe([own], [({A: 0.05, B: 0.02}, 0.1)])
    expected = (0.1 * 0.0025 / 0.0029, math.sqrt(1 / (400 + 2500)))
    assert expected == pytest.approx((beliefs.mean(own), beliefs.spread(own)), rel=1e-12)


def test_the_order_of_measurements_makes_no_difference():
    told = [({A: 1.0, B: 0.3}, 0.4), ({A: 1.0, C: 0.5}, -0.2), ({B: 1.0, C: 1.0, D: 0.2}, 1.1)]
    one, other = believe([], told), believe([], told[::-1])
    for form in ({A: 1.0}, {B: 1.0}, {A: 1.0, C: -2.0}):
        assert one.mean(form) == pytest.approx(other.mean(form), abs=1e-12)
        assert one.spread(form) == pytest.approx(other.spread(form), abs=1e-12)


def test_what_is_known_exactly_cannot_be_measured():
    beliefs = believe([{A: 1.0}], [({A: 1.0}, 0.7), ({A: 1.0}, 0.7)])
    assert (beliefs.mean({A: 1.0}), beliefs.spread({A: 1.0})) == (0.7, 0.0)


MARGINS = {
    "one": [(0.5, {A: 1.0})],
    "two alike": [(0.5, {A: 1.0}), (0.5, {A: 1.0})],
    "two that share an error": [(0.5, {A: 1.0, B: 1.0}), (0.2, {A: 1.0, C: 2.0})],
    "two that pull apart": [(0.5, {A: 1.0, B: 0.5}), (0.5, {A: -1.0, C: 0.5})],
    "three": [(0.5, {A: 1.0, B: 1.0}), (0.2, {A: 1.0, C: 2.0}), (1.0, {B: 1.0, C: -1.0})],
}


@pytest.mark.parametrize("name", MARGINS)
def test_the_chance_of_all_is_that_of_a_simulation(name):
    margins, draw = MARGINS[name], random.Random(7).gauss
    draws, above = 20_000, 0
    for _ in range(draws):
        errors = {error: draw(0, 1) for error in (A, B, C)}
        above += all(
            constant + sum(errors[error] * times for error, times in form.items()) > 0 for constant, form in margins
        )
    chance = chance_all_above(believe([{A: 1.0, B: 1.0, C: 1.0}], []), margins)
    # three standard errors of the draws, and 0.002 for the lattice
    assert above / draws == pytest.approx(chance, abs=3 * math.sqrt(chance * (1 - chance) / draws) + 0.002)


def test_margins_that_cannot_both_hold_have_no_chance():
    assert chance_all_above(believe([{A: 1.0}], []), [(-0.1, {A: 1.0}), (-0.1, {A: -1.0})]) == pytest.approx(
        0, abs=1e-9
    )

"""Samples of one yarn: what each tells of its count, what they tell together, and whether they agree."""

import math
import random
from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from stash.count import CountError
from stash.measuring import Reading, chance_of_more, pool, sample_of
from stash.units import YARD_M, read_length, read_mass
from tests.stash.measured import count_of, laid, wound

TURN = 1 / math.sqrt(3)
DIGIT = 1 / math.sqrt(12)


def test_turns_on_a_swift_give_length_and_count():
    # 120 turns of 1.5 m weigh 42 g: 180 m, 233.3 tex, 428.6 m/100 g
    count = count_of(wound(120, "1.5", 42, apart=True, text="t"))
    assert (Fraction(700, 3), True, "t") == (count.tex, count.apart, count.text)
    assert math.hypot(TURN / 120, 0.005, 0.01, DIGIT / 42) == pytest.approx(count.relative_u, rel=1e-12)


def test_52_grams_on_a_1_gram_scale_and_130_metres_give_400_tex_with_2_99_from_scale_and_length():
    # u = 400 x sqrt((1/sqrt(12)/52)^2 + 0.005^2) = 2.99; the pull of the hand, 1 % or 4 tex, comes on top
    pooled = pool([laid(130, 52)])
    assert pooled.tex == 400
    assert round(400 * math.hypot(pooled.parts["scale"], pooled.parts["length"]), 2) == 2.99
    assert round(400 * pooled.count().relative_u, 2) == round(math.hypot(2.988, 4), 2)


def test_counting_strands_on_a_61_inch_swift_gives_yards_by_61_36():
    # common practice, no source: yards = strands x inches round / 36
    for strands in (36, 100, 241):
        reading = Reading(Fraction(strands), read_length("61 in"), (read_mass("50 g"),))
        assert Fraction(strands * 61, 36) == reading.length_m / YARD_M


def test_270_yards_in_50_grams_make_2300_to_2400_yards_of_440_grams():
    # common practice, no source
    count = count_of(laid(read_length("270 yd").value, 50))
    assert 2300 <= 1000 * 440 / count.tex / YARD_M <= 2400


def test_a_mass_by_difference_has_the_error_of_both_readings():
    reading = Reading(None, read_length("180 m"), (read_mass("118 g"), read_mass("76.0 g")))
    sample = sample_of(reading, (Fraction(1), Fraction(1, 10)))
    assert sample.mass_g == 42
    assert sample.text == "118 g less 76.0 g in 180 m"
    assert math.hypot(DIGIT, DIGIT / 10) / 42 == pytest.approx(math.sqrt(sample.scale_variance), rel=1e-12)


@pytest.mark.parametrize(("turns", "around", "mass"), [(0, "1 m", "5 g"), (5, "0 m", "5 g"), (5, "1 m", "0 g")])
def test_a_sample_of_nothing_is_refused(turns, around, mass):
    reading = Reading(Fraction(turns), read_length(around), (read_mass(mass),))
    with pytest.raises(CountError, match="not above zero"):
        sample_of(reading, (Fraction(1),))


def test_readings_mixed_up_are_refused():
    with pytest.raises(CountError, match="mass is not above zero"):
        sample_of(Reading(None, read_length("9 m"), (read_mass("5 g"), read_mass("7 g"))), (Fraction(1), Fraction(1)))


def test_a_pair_is_weighed_by_the_inverse_of_its_own_variances():
    # own variances 1/12/30^2 and 1/12/60^2, as 4 to 1: weights 1/5 and 4/5
    pooled = pool([laid(100, 30), laid(200, 60)])
    assert (Fraction(1, 5), Fraction(4, 5)) == pooled.weights
    assert pooled.tex == 300


def test_four_samples_alike_halve_what_is_their_own_and_keep_what_they_share():
    one, four = pool([wound(20, "1.5", 10)]), pool([wound(20, "1.5", 10)] * 4)
    for name, times in {"turns": 2, "scale": 2, "around": 1, "tension": 1}.items():
        assert one.parts[name] == pytest.approx(times * four.parts[name], rel=1e-12)


@pytest.mark.parametrize("number", [2, 4, 8])
def test_samples_alike_that_always_show_the_same_mass_keep_the_error_of_its_last_digit(number):
    # 10 m show 2 g on a scale of 1 g each time; that it might be 1.6 g or 2.4 g is no less so the eighth time
    one, many = pool([laid(10, 2)]), pool([laid(10, 2)] * number)
    assert one.parts["scale"] == pytest.approx(DIGIT / 2, rel=1e-12)
    assert one.parts["scale"] == pytest.approx(many.parts["scale"], rel=1e-12)


def test_samples_of_other_lengths_average_the_last_digit_out():
    parts = [Fraction(1, 5), Fraction(4, 5)]  # by the inverse of their variances
    expected = math.hypot(*(part * DIGIT / mass for part, mass in zip(parts, (30, 60), strict=True)))
    assert expected == pytest.approx(pool([laid(100, 30), laid(200, 60)]).parts["scale"], rel=1e-12)


@pytest.mark.parametrize(("number", "metres"), [(1, 10), (4, 10), (8, 10), (4, 30), (8, 30)])
def test_nineteen_in_twenty_yarns_are_at_least_as_long_as_samples_weighed_alike_guard(number, metres):
    """2,000 yarns, each laid out and weighed so often on a scale of 1 g: the guarded length at 95 % holds."""
    randomly = random.Random(11)
    held = 0
    for _ in range(2000):
        tex = 300 * math.exp(randomly.gauss(0, 0.2))
        pull = 1 + randomly.gauss(0, math.hypot(0.005, 0.01))
        shown = max(round(metres * tex / 1000 / pull), 1)
        count = count_of(*[laid(metres, shown)] * number)
        held += tex / float(count.tex) * (1 - 1.6448536 * count.relative_u) <= 1
    assert held / 2000 >= 0.95 - 3 * math.sqrt(0.95 * 0.05 / 2000)


def test_samples_wound_and_laid_out_share_how_their_length_was_measured():
    assert set(pool([wound(20, "1.5", 10), laid(30, 10)]).parts) == {"turns", "scale", "length", "tension"}


def test_any_sample_weighed_apart_makes_the_count_so():
    assert [count_of(laid(30, 10), laid(30, 10, apart=apart)).apart for apart in (False, True)] == [False, True]


@pytest.mark.parametrize(
    ("degrees", "limit"), [(1, 3.841), (2, 5.991), (3, 7.815), (4, 9.488), (5, 11.070), (10, 18.307), (29, 42.557)]
)
def test_the_chance_of_a_chi_square_is_that_of_the_handbook(degrees, limit):
    # NIST/SEMATECH e-Handbook of Statistical Methods, 1.3.6.7.4, upper critical values at 0.05
    assert chance_of_more(limit, degrees) == pytest.approx(0.05, abs=5e-5)
    assert chance_of_more(0.0, degrees) == 1


def test_samples_that_agree_are_not_widened():
    scatter = pool([wound(120, "1.5", 42), wound(100, "1.5", 35), wound(80, "1.5", 28)]).scatter
    assert (scatter.agree, scatter.ratio, scatter.degrees) == (True, 1, 2)


def test_samples_that_disagree_widen_the_interval_by_their_scatter_and_the_odd_one_is_named():
    samples = [wound(120, "1.5", 42), wound(100, "1.5", 35), wound(80, "1.5", 33)]
    pooled = pool(samples)
    chi_square = sum(float((one.tex / pooled.tex - 1) ** 2 / one.own_variance) for one in samples)
    assert chi_square == pytest.approx(pooled.scatter.chi_square, rel=1e-12)
    assert (pooled.scatter.agree, pooled.scatter.odd) == (False, 2)
    parts = [w * one.tex / pooled.tex for w, one in zip(pooled.weights, samples, strict=True)]
    own = math.sqrt(sum(part**2 * one.own_variance for part, one in zip(parts, samples, strict=True)))
    widened = math.hypot(own * math.sqrt(chi_square / 2), 0.005, 0.01)
    assert widened == pytest.approx(pooled.count().relative_u, rel=1e-9)


def test_a_heavy_sample_that_pulls_the_mean_to_itself_is_still_found_out():
    # two small ones agree on 200 tex; the large one alone says 240, and has most of the weight
    samples = [wound(30, "1.5", "9.0", "0.1"), wound(100, "1.5", "36.0", "0.1"), wound(30, "1.5", "9.1", "0.1")]
    pooled = pool(samples)
    nearest = min(samples, key=lambda one: (one.tex / pooled.tex - 1) ** 2 / one.own_variance)
    assert nearest is samples[1]
    assert pooled.scatter.odd == 1


def test_two_samples_cannot_tell_which_is_off():
    scatter = pool([wound(120, "1.5", 42), wound(120, "1.5", 52)]).scatter
    assert (scatter.agree, scatter.odd) == (False, None)


def test_one_sample_has_nothing_to_agree_with():
    assert pool([wound(120, "1.5", 42)]).scatter is None


SIZES = st.integers(10, 400)


@given(st.lists(st.tuples(SIZES, SIZES), min_size=1, max_size=5))
def test_the_order_of_samples_does_not_matter_and_the_mean_lies_within_them(sizes):
    samples = [wound(turns, "1.5", mass) for turns, mass in sizes]
    there, back = pool(samples), pool(samples[::-1])
    assert there.tex == back.tex
    assert there.count().relative_u == pytest.approx(back.count().relative_u, rel=1e-12)
    assert sum(there.weights) == 1
    assert min(one.tex for one in samples) <= there.tex <= max(one.tex for one in samples)


@given(st.integers(5, 400), st.integers(1, 400))
def test_more_turns_of_the_same_yarn_are_never_less_sure(turns, more):
    few, many = wound(turns, "1.5", Fraction(turns, 3) + 1), wound(turns + more, "1.5", Fraction(turns + more, 3) + 1)
    assert count_of(many).relative_u <= count_of(few).relative_u

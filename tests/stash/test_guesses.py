import math

import pytest
from hypothesis import given
from hypothesis import strategies as st
from uncertainties import ufloat

from stash.guesses import Guess, apart, combined, exactly

ERRORS = st.dictionaries(st.sampled_from(["gauge", "tape", "scale"]), st.floats(0.01, 0.2), min_size=1)
GUESSES = st.builds(Guess, st.floats(0.5, 2000), ERRORS)


def test_errors_of_one_source_cancel_in_a_quotient():
    metres, rows = Guess(100, {"gauge": 0.05}), Guess(20, {"gauge": 0.05})
    assert (metres / rows).relative_u == 0


def test_errors_add_as_the_library_adds_them():
    """PyPI `uncertainties`, linear propagation, as oracle: f = a^2 / b with a shared."""
    a, b = Guess(1.9, {"loop": 0.03}), Guess(435, {"loop": 0.06, "tightness": 0.24})
    loop, tight = ufloat(1, 1), ufloat(1, 1)
    theirs = (1.9 * (1 + 0.03 * (loop - 1))) ** 2 / (435 * (1 + 0.06 * (loop - 1)) * (1 + 0.24 * (tight - 1)))
    ours = a**2 / b
    assert ours.best == pytest.approx(theirs.n)
    assert ours.relative_u == pytest.approx(theirs.s / theirs.n)


def test_the_interval_is_as_many_times_less_as_more():
    low, high = Guess(900, {"all": 0.07}).interval(1.6448536)
    assert (low, high) == pytest.approx((900 / math.exp(0.07 * 1.6448536), 900 * math.exp(0.07 * 1.6448536)))


def test_two_independent_guesses_weigh_by_their_variances():
    """JCGM 100: weights 1/u^2 are 4 and 1, so the mean of ln 100 and ln 200 lies a fifth of the way."""
    mean = combined(Guess(100, {"one": 0.1}), Guess(200, {"other": 0.2}))
    assert mean.best == pytest.approx(100 * 2**0.2)
    assert mean.relative_u == pytest.approx(1 / math.sqrt(1 / 0.01 + 1 / 0.04))


@given(GUESSES, GUESSES)
def test_a_mean_is_never_less_sure_than_either(one, other):
    assert combined(one, other).relative_u <= min(one.relative_u, other.relative_u) + 1e-12


@given(GUESSES, GUESSES)
def test_a_mean_lies_between_the_two(one, other):
    low, high = sorted((one.best, other.best))
    assert low * (1 - 1e-12) <= combined(one, other).best <= high * (1 + 1e-12)


@given(GUESSES, GUESSES)
def test_it_does_not_matter_which_guess_comes_first(one, other):
    first, second = combined(one, other), combined(other, one)
    if (one / other).relative_u > 1e-6:  # else either stands
        assert first.best == pytest.approx(second.best)
    assert apart(one, other) == pytest.approx(apart(other, one))


def test_exact_numbers_that_differ_are_infinitely_apart():
    assert apart(exactly(1), exactly(2)) == math.inf
    assert apart(exactly(2), exactly(2)) == 0

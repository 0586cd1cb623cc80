from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from stash.read import read_stash
from stash.sampling import WELL_KNOWN, WHOLE_TURNS, grams_needed, sample_u, turns_needed

AROUND = Fraction("1.5")


def test_the_fewest_turns_are_asked_that_make_the_count_known_to_2_percent():
    turns = turns_needed(AROUND, 436.0, Fraction(1))
    assert turns == 45
    assert sample_u(turns, AROUND, 436.0, Fraction(1)) <= WELL_KNOWN
    assert sample_u(turns - WHOLE_TURNS, AROUND, 436.0, Fraction(1)) > WELL_KNOWN


@pytest.mark.parametrize(("turns", "grams", "scale"), [(120, 79, 1), (33, 22, 2), (80, 54, "0.1")])
def test_the_uncertainty_is_the_stash_files_own(turns, grams, scale):
    """What the reader of a lot's count makes of the same sample."""
    text = f"""\
lots:
  one: {{fibre: wool, colour: red, count: {{turns: {turns}, around: 1.5 m, mass: {grams} g, scale: {scale} g}}, skeins: {{one-1: 50 g}}}}
"""
    lot = read_stash([("a.yaml", text.encode())]).stash.lots["one"]
    tex = 1000 * grams / (turns * 1.5)
    assert sample_u(turns, AROUND, tex, Fraction(str(scale))) == pytest.approx(lot.count.relative_u)


@given(st.floats(20, 3000), st.sampled_from([Fraction(1, 100), Fraction(1, 10), Fraction(1), Fraction(5)]))
def test_a_coarser_scale_never_asks_for_fewer_turns(tex, scale):
    fine, coarse = turns_needed(AROUND, tex, scale), turns_needed(AROUND, tex, scale * 2)
    assert coarse is None or (fine is not None and fine <= coarse)


def test_a_scale_far_too_coarse_has_no_sane_number():
    assert turns_needed(AROUND, 20.0, Fraction(500)) is None


def test_of_unknown_thickness_the_scale_alone_tells_the_grams():
    """60 turns leave sqrt(0.02^2 - 0.005^2 - 0.01^2 - (0.577/60)^2) = 1.35 % for the scale: d/sqrt(12) / 1.35 %."""
    assert round(grams_needed(Fraction(1)), 1) == 21.4
    assert grams_needed(Fraction(2)) == pytest.approx(2 * grams_needed(Fraction(1)))

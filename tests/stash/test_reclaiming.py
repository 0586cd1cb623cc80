from dataclasses import replace
from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from stash.fabric import Gauge
from stash.fibre import read_blend
from stash.garment import Garment, read_panel
from stash.reclaiming import Z90, NoGaugeError, reclaim, stitches_across_to_metre
from stash.stitches import STITCHES

# Two squares of a metre, 22 stitches and 30 rows in 10 cm: sqrt(23.1 x 2.2 x 3) = 12.348 m in 1000 cm2 of fabric.
GAUGE = Gauge(Fraction("2.2"), Fraction(3))
SQUARES = Garment(gauge=GAUGE, panels=(read_panel("2 x 100 cm x 100 cm"),), seams="linked")


def test_metres_are_stitches_times_the_yarn_in_one():
    """2 m2 x 100 x sqrt(23.1 x 2.2 x 3) = 2469.5 m; a stitch takes sqrt(23.1 / 6.6) = 1.871 cm (Munden 1959)."""
    found = reclaim(SQUARES)
    assert found.in_garment_m.best == pytest.approx(2469.5, abs=0.1)
    assert found.loop_cm.best == pytest.approx(1.8708, abs=0.0001)
    assert found.length_m.best == pytest.approx(0.85 * 2469.5, abs=0.1)


def test_the_scale_tells_the_thickness():
    """2469.5 m of 1086.6 g are 440 tex, however tight knitting usually is; the mass tells metres but little."""
    found = reclaim(replace(SQUARES, mass_g=Fraction("1086.6")))
    assert found.tex.best * found.in_garment_m.best / 1000 == pytest.approx(1086.6)
    assert found.tex.best == pytest.approx(440, rel=0.02)
    assert found.in_garment_m.relative_u < reclaim(SQUARES).in_garment_m.relative_u


def test_without_a_scale_grams_come_from_metres_and_thickness_and_are_far_less_sure():
    known, guessed = reclaim(replace(SQUARES, mass_g=Fraction(1000))), reclaim(SQUARES)
    assert guessed.mass_g.best == pytest.approx(guessed.length_m.best * guessed.tex.best / 1000)
    assert guessed.mass_g.relative_u > 3 * known.mass_g.relative_u


def test_without_panels_the_mass_tells_the_metres():
    found = reclaim(Garment(gauge=GAUGE, mass_g=Fraction(500), seams="linked"))
    assert found.by_panels is None
    assert found.in_garment_m.best == pytest.approx(1000 * 500 / found.tex.best)
    assert found.in_garment_m.relative_u > 0.2
    assert len(found.panels) == 2  # of a pullover, scaled to the yarn


def test_without_panels_and_mass_the_kind_tells_the_size():
    """A pullover M, 0.990 m2: 100 x sqrt(23.1 x 6.6) x 0.990 = 1222 m in it."""
    found = reclaim(Garment(gauge=GAUGE, kind="pullover", size="M"))
    assert found.in_garment_m.best == pytest.approx(1222, abs=1)
    low, high = found.in_garment_m.interval(Z90)
    assert high / low > 1.5


def test_without_rows_they_are_reckoned_from_the_stitches():
    """Rows by Kc / Kw: 22 stitches go with 28.8 rows."""
    found = reclaim(replace(SQUARES, gauge=Gauge(Fraction("2.2"), None)))
    counted = reclaim(replace(SQUARES, gauge=Gauge(Fraction("2.2"), Fraction("2.881"))))
    assert found.in_garment_m.best == pytest.approx(counted.in_garment_m.best, rel=1e-3)
    assert found.in_garment_m.relative_u > counted.in_garment_m.relative_u


@pytest.mark.parametrize("garment", [Garment(mass_g=Fraction(400)), Garment(gauge=GAUGE)])
def test_too_little_known_is_no_guess(garment):
    with pytest.raises(NoGaugeError):
        reclaim(garment)


def test_twice_as_heavy_as_the_panels_explain_is_reported():
    """The two ways lie apart by more than two joint standard uncertainties: the factor tells which is more."""
    likely = reclaim(SQUARES).tex.best * 2.4695
    assert reclaim(replace(SQUARES, mass_g=Fraction(round(likely)))).apart is None
    heavy = reclaim(replace(SQUARES, mass_g=Fraction(round(2 * likely))))
    assert heavy.apart == pytest.approx(0.5, rel=0.01)
    light = reclaim(replace(SQUARES, mass_g=Fraction(round(likely / 2))))
    assert light.apart == pytest.approx(2, rel=0.01)
    assert heavy.in_garment_m.relative_u > reclaim(SQUARES).in_garment_m.relative_u


def test_other_stitches_hold_more_by_their_factor():
    for stitch in STITCHES.values():
        found = reclaim(replace(SQUARES, stitch=stitch))
        assert found.in_garment_m.best == pytest.approx(2469.5 * float(stitch.factor), rel=1e-4)


def test_the_main_colour_is_its_share():
    whole, main = reclaim(SQUARES), reclaim(replace(SQUARES, colours=3, main_share=Fraction(6, 10)))
    assert main.length_m.best == pytest.approx(0.6 * whole.length_m.best)
    assert main.length_m.relative_u > whole.length_m.relative_u


def test_felted_gives_no_yarn_but_is_reckoned_all_the_same():
    found = reclaim(replace(SQUARES, felted="felted"))
    assert (found.length_m, found.mass_g) == (None, None)
    assert found.in_garment_m.best == pytest.approx(2469.5, abs=0.1)


@given(st.integers(50, 2000), st.integers(1, 500))
def test_more_grams_never_mean_fewer_metres(grams, more):
    light, heavy = (reclaim(Garment(gauge=GAUGE, mass_g=Fraction(mass))) for mass in (grams, grams + more))
    assert heavy.length_m.best > light.length_m.best


@given(st.integers(2, 5))
def test_so_many_times_the_panels_are_so_many_times_the_metres(times):
    panel = SQUARES.panels[0]
    larger = replace(SQUARES, panels=(replace(panel, times=panel.times * times),))
    assert reclaim(larger).length_m.best == pytest.approx(times * reclaim(SQUARES).length_m.best)


@given(st.sampled_from(["linked", "cut", None]), st.sampled_from(["wool", "cotton", "unknown"]))
def test_the_best_guess_lies_within_its_interval(seams, fibre):
    found = reclaim(replace(SQUARES, seams=seams, blend=read_blend(fibre)))
    low, high = found.length_m.interval(Z90)
    assert 0 < low < found.length_m.best < high


def test_stitches_that_nobody_counted_are_not_guessed():
    assert stitches_across_to_metre(SQUARES) == pytest.approx(220)  # 22 in 10 cm
    with pytest.raises(NoGaugeError):
        stitches_across_to_metre(replace(SQUARES, gauge=None))

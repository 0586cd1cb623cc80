"""The budget of what makes metres uncertain adds up, and what it says would sharpen them does so."""

import math
from dataclasses import replace
from fractions import Fraction

import pytest

from stash.budget import WORTH, Measured, relative_u, sharpen, sources
from stash.fibre import read_blend
from stash.lengths import humidity_u
from tests.stash.measured import laid, wound

WOOL = read_blend("wool")
SMALL = Measured((wound(12, "1.5", 4),), None, WOOL)


def shares(measured):
    return {one.name: one.share for one in sources(measured)}


def test_the_shares_add_up_to_all_of_it_and_the_largest_comes_first():
    for measured in (SMALL, replace(SMALL, batch_g=Fraction(440), batch_step_g=Fraction(1))):
        found = sources(measured)
        assert sum(one.share for one in found) == pytest.approx(1)
        assert [one.share for one in found] == sorted((one.share for one in found), reverse=True)


def test_four_grams_on_a_whole_gram_scale_are_mostly_the_scales_fault():
    # (1/sqrt(12)/4)^2 : (1/sqrt(3)/12)^2 : 0.005^2 : 0.01^2 = 0.005208 : 0.002315 : 0.000025 : 0.0001
    assert list(shares(SMALL)) == ["scale", "turns", "tension", "around"]
    assert shares(SMALL)["scale"] == pytest.approx(0.005208333 / 0.007648148, rel=1e-6)


def test_the_batch_brings_its_own_scale_and_being_weighed_apart_the_rooms_air():
    batch = replace(SMALL, batch_g=Fraction(20), batch_step_g=Fraction(1), samples=(wound(12, "1.5", 4, apart=True),))
    extra = {one.name: one.relative_u for one in sources(batch)}
    assert extra["batch scale"] == pytest.approx(1 / math.sqrt(12) / 20)
    assert extra["humidity"] == humidity_u(WOOL)


def test_a_better_scale_is_what_it_says():
    best = {one.what: one for one in sharpen(SMALL)}
    assert best["scale"].figure == Fraction(1, 10)
    then = Measured((wound(12, "1.5", 4, "0.1"),), None, WOOL)
    assert (best["scale"].before_u, best["scale"].after_u) == (relative_u(SMALL), relative_u(then))


def test_more_turns_weigh_more_too():
    best = sharpen(SMALL)[0]
    assert (best.what, best.figure) == ("turns", 100)
    assert best.after_u == relative_u(Measured((wound(100, "1.5", Fraction(400, 12)),), None, WOOL))


def test_no_sample_is_longer_than_all_there_is():
    best = {one.what: one for one in sharpen(replace(SMALL, batch_g=Fraction(10), batch_step_g=Fraction(1)))}
    assert best["turns"].figure == 30


def test_a_laid_out_sample_is_to_be_four_times_as_long():
    best = {one.what: one for one in sharpen(Measured((laid("12.4", "5.1", "0.1"),), None, WOOL))}
    assert best["length"].figure == Fraction("49.6")


def test_wraps_are_bettered_by_a_sample():
    best = sharpen(Measured((), Fraction(16), WOOL))
    assert [one.what for one in best] == ["sample"]
    assert best[0].before_u == 0.2
    assert best[0].after_u < 0.02


def test_weighing_apart_is_bettered_by_one_room():
    big = Measured((wound(400, "1.5", 200, "0.01", apart=True),), None, WOOL)
    assert sharpen(big)[0].what == "same day"
    assert sharpen(big)[0].after_u == relative_u(Measured((wound(400, "1.5", 200, "0.01"),), None, WOOL))


def test_samples_that_disagree_are_bettered_by_more_of_them():
    measured = Measured((wound(120, "1.5", 42), wound(100, "1.5", 35), wound(80, "1.5", 33)), None, WOOL)
    best = sharpen(measured)[0]
    assert (best.what, best.figure) == ("more samples", 3)
    assert best.after_u < best.before_u


def test_nothing_is_said_to_help_that_hardly_does():
    assert sharpen(Measured((wound(1000, "1.5", 400, "0.01"),), None, WOOL)) == ()
    for measured in (SMALL, Measured((laid(10, 4),), None, WOOL)):
        assert all(one.after_u < WORTH * one.before_u for one in sharpen(measured))


def test_a_sample_on_a_swift_is_not_advised_where_there_is_no_turn_of_it():
    """Of a yarn of 223 m/100 g, (13 / 0.87)^2, half a gram is 1.1 m: less than one turn of 1.5 m."""
    wrapped = Measured((), Fraction(13), WOOL, batch_g=Fraction(100), batch_step_g=Fraction(1, 100))
    assert "sample" in {one.what for one in sharpen(wrapped)}
    assert "sample" not in {one.what for one in sharpen(replace(wrapped, batch_g=Fraction(1, 2)))}

"""Weight classes: bins, names, what a class accepts, and thickness across fibres."""

import math
from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from stash.weightclass import (
    CLASSES,
    accepted,
    class_mean,
    class_of,
    class_relative_u,
    m_per_100g,
    mean_bounds,
    read_class,
    wool_equivalent_tex,
)


def test_the_bins_follow_on_one_another_without_gap():
    assert [one.low for one in CLASSES] == [600, 350, 260, 200, 130, 90, 40, 0]
    assert [one.low for one in CLASSES[:-1]] == [one.high for one in CLASSES[1:]]


@pytest.mark.parametrize(
    ("metres", "number"),
    [(600, 0), (5000, 0), (599, 1), (350, 1), (349, 2), (200, 3), (199, 4), (130, 4), (90, 5), (40, 6), (39, 7)],
)
def test_a_bin_holds_its_low_end_and_not_its_high_end(metres, number):
    assert number == class_of(Fraction(metres)).number


@pytest.mark.parametrize(
    ("number", "names"),
    [
        (0, "lace, Lace, 0"),
        (1, "super fine, superfine, fingering, sock, 4-ply, 4 ply, 4ply, 1"),
        (2, "fine, sport, 2"),
        (3, "light, dk, DK, Dk, 3"),
        (4, "medium, worsted, aran, 4"),
        (5, "bulky, chunky, 5"),
        (6, "super bulky, super-bulky, 6"),
        (7, "jumbo, 7"),
    ],
)
def test_trade_names_and_numbers_name_their_class(number, names):
    # Names of the Craft Yarn Council's standard yarn weight system.
    assert {number} == {read_class(name).number for name in names.split(", ")}


def test_other_words_and_numbers_name_no_class():
    assert [read_class(text) for text in ("8", "-1", "thick", "", "3.5")] == [None] * 5


def test_a_class_accepts_five_percent_beyond_its_bin():
    assert (Fraction(190), Fraction(273)) == accepted(CLASSES[3])


def test_the_open_classes_accept_as_thin_and_as_thick_as_there_is():
    assert accepted(CLASSES[0])[0] == 570
    assert accepted(CLASSES[0])[1] > 10_000
    assert (Fraction(0), Fraction(42)) == accepted(CLASSES[7])


@pytest.mark.parametrize("one", CLASSES)
def test_a_class_stands_for_the_geometric_mean_of_its_bin(one):
    low, high = mean_bounds(one)
    assert math.sqrt(low * high) == pytest.approx(float(class_mean(one)), abs=1e-6)


def test_the_open_classes_are_cut_at_1000_and_20_for_their_mean():
    assert [mean_bounds(CLASSES[0]), mean_bounds(CLASSES[7])] == [(600, 1000), (20, 40)]


def test_the_uncertainty_of_a_class_is_rectangular_over_its_bin():
    # dk: half-width 30 about sqrt(200 x 260) = 228.04; JCGM 100, 4.3.7 (from memory): a/sqrt(3).
    assert 30 / math.sqrt(3) / 228.0351 == pytest.approx(class_relative_u(CLASSES[3]), rel=1e-6)


def test_the_bins_knit_to_the_stitches_the_standard_gives_their_class():
    # Craft Yarn Council, standard yarn weight system, stitches in 4 inches. Stitches go with the square root of m/100 g;
    # from the middle of dk (22.5 stitches) each bin's stitches overlap those of its class, down to super bulky.
    published = {0: (33, 40), 1: (27, 32), 2: (23, 26), 3: (21, 24), 4: (16, 20), 5: (12, 15), 6: (7, 11)}
    for number, (fewest, most) in published.items():
        low, high = (22.5 * math.sqrt(end / class_mean(CLASSES[3])) for end in mean_bounds(CLASSES[number]))
        assert low <= most
        assert high >= fewest


def test_the_bins_overlap_the_wraps_the_standard_gives_their_class():
    # Craft Yarn Council, standard yarn weight system, wraps per inch; lace (30 and more) lies beyond our own fit.
    published = {1: (14, 30), 2: (12, 18), 3: (11, 15), 4: (9, 12), 5: (6, 9), 6: (5, 6), 7: (1, 4)}
    for number, (fewest, most) in published.items():
        low, high = (0.87 * math.sqrt(end) for end in mean_bounds(CLASSES[number]))
        assert low <= most
        assert high >= fewest


def test_diameter_goes_with_the_square_root_of_the_count():
    # Taylor, Cotton Weaving and Designing, 6th ed., p. 453: 60s lie 213 to the inch, 15s lie 106.5.
    assert math.sqrt(15 / 60) == 106.5 / 213


def test_cotton_is_as_thick_as_lighter_wool():
    # tex x 1.31 / density; cotton 1.52 (Morton & Hearle, Table 5.1)
    assert Fraction(131, 152) * 400 == wool_equivalent_tex(Fraction(400), Fraction("1.52"))


def test_strands_held_together_add_their_tex():
    # 800 m/100 g held 2, 3, 4, 5 together: 400, 266.7, 200, 160.
    one = Fraction(100_000, 800)
    assert [round(float(m_per_100g(one * strands)), 1) for strands in (2, 3, 4, 5)] == [400.0, 266.7, 200.0, 160.0]


@given(st.fractions(Fraction(1), Fraction(100_000)))
def test_every_count_lies_in_the_bin_of_its_class(metres):
    one = class_of(metres)
    assert one.low <= metres < one.high

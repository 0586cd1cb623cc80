"""Quantities and lists read as a knitter would say them."""

from fractions import Fraction

import pytest

from planner.show import words
from stash.weightclass import NO_UPPER_END


@pytest.mark.parametrize(
    ("cm", "units", "expected"),
    [
        (4321, "metric", "43.3 m"),
        (4320, "metric", "43.2 m"),
        (1, "metric", "0.1 m"),
        # 1 yd = 0.9144 m exactly (international yard)
        (9144, "imperial", "100.0 yd"),
        (9145, "imperial", "100.1 yd"),
    ],
)
def test_a_length_to_find_is_rounded_up(cm, units, expected):
    assert expected == words.length_up(cm, units)


@pytest.mark.parametrize(
    ("grams", "units", "expected"),
    [
        (80.0, "metric", "80 g"),
        (80.01, "metric", "81 g"),
        # 1 oz = 28.349523125 g exactly (a sixteenth of the international pound)
        (28.349523125, "imperial", "1.0 oz"),
        (28.35, "imperial", "1.1 oz"),
    ],
)
def test_a_mass_to_find_is_rounded_up(grams, units, expected):
    assert expected == words.mass_up(grams, units)


def test_a_count_range_names_one_end_where_the_other_is_open():
    assert words.count_range(Fraction(190), Fraction(273), "metric") == "190 to 273 m/100g"
    assert words.count_range(Fraction(570), NO_UPPER_END, "metric") == "570 m/100g or more"
    assert words.count_range(Fraction(0), Fraction(42), "metric") == "42 m/100g or less"


def test_a_count_in_yards_an_ounce():
    # 230 m in 100 g: 230 / 0.9144 yd in 100 / 28.349523125 oz
    assert words.count(230, "imperial") == "71 yd/oz"


@pytest.mark.parametrize(
    ("stitches", "rows", "units", "expected"),
    [
        (22, 30, "metric", "22 stitches x 30 rows in 10 cm"),
        (Fraction(45, 2), None, "metric", "22.5 stitches in 10 cm"),
        # 4 in = 10.16 cm exactly (international inch): 22 x 1.016 and 30 x 1.016
        (22, 30, "imperial", "22.4 stitches x 30.5 rows in 4 in"),
    ],
)
def test_a_gauge_is_told_over_ten_centimetres_or_four_inches(stitches, rows, units, expected):
    assert words.gauge(stitches, rows, units, 1) == expected


@pytest.mark.parametrize(
    ("share", "expected"),
    [
        (Fraction(0), "0 %"),
        (Fraction(1, 20), "5 %"),
        (Fraction(19, 20), "95 %"),
        (Fraction(999, 1000), "99.9 %"),
        (0.0123, "1.2 %"),
        (0.0004, "0.04 %"),
        (0.00001, "under 0.01 %"),
        (Fraction(1), "100 %"),
    ],
)
def test_a_share_is_never_0_when_it_is_not(share, expected):
    assert expected == words.percent(share)


@pytest.mark.parametrize(
    ("share", "expected"), [(0.0121, "1.3 %"), (0.012, "1.2 %"), (0.00001, "0.01 %"), (0.0, "0 %")]
)
def test_what_is_promised_is_rounded_up(share, expected):
    assert expected == words.percent_at_most(share)


@pytest.mark.parametrize(
    ("share", "expected"), [(0.0, "under 1 %"), (0.01, "about 1 %"), (0.072, "about 7 %"), (0.995, "over 99 %")]
)
def test_a_chance_is_told_no_finer_than_it_is_known(share, expected):
    assert expected == words.chance(share)


@pytest.mark.parametrize(
    ("seconds", "expected"), [(0.2, "under a second"), (30.2, "30 s"), (119.6, "2 min 0 s"), (125, "2 min 5 s")]
)
def test_a_time_is_told_in_seconds_and_minutes(seconds, expected):
    assert expected == words.duration(seconds)


def test_things_are_listed_with_an_and():
    assert words.listing([]) == ""
    assert words.listing(["a"]) == "a"
    assert words.listing(["a", "b"]) == "a and b"
    assert words.listing(["a", "b", "c"]) == "a, b and c"


@pytest.mark.parametrize(
    ("lots", "expected"),
    [
        ({"slate": 1}, "slate"),
        ({"slate": 2}, "slate held double"),
        ({"slate": 3}, "slate held triple"),
        ({"slate": 4}, "slate 4 strands held together"),
        ({"slate": 1, "fog": 1}, "slate with fog"),
        ({"slate": 2, "fog": 1}, "2 strands of slate with fog"),
    ],
)
def test_a_working_yarn_in_words(lots, expected):
    assert expected == words.working_yarn(lots)


def test_a_name_with_a_terminal_escape_is_shown_not_obeyed():
    assert "\x1b" not in words.working_yarn({"\x1b[31mslate": 1})

"""Rows of a part as a share of its area."""

from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as some

from planner.midway.knitting import Rows, done_by_rows, done_by_share

WIDTH = some.fractions(Fraction(1, 100), 2, max_denominator=100)


def test_rows_of_one_width_are_their_own_share():
    assert Fraction(90, 150) == done_by_rows(Rows(90, 150, None)).share


def test_rows_of_a_part_that_narrows_are_a_share_of_its_area():
    # 90 rows from 50 cm to 40 cm: 90 x 0.45 = 40.5; 60 rows from 40 cm to 20 cm: 60 x 0.30 = 18; 40.5/58.5
    rows = Rows(90, 150, (Fraction("0.5"), Fraction("0.4"), Fraction("0.2")))
    assert Fraction(405, 585) == done_by_rows(rows).share


def test_a_triangle_from_its_tip_is_done_by_the_square_of_its_rows():
    rows = Rows(30, 60, (Fraction(0), Fraction(1), Fraction(2)))
    assert Fraction(1, 4) == done_by_rows(rows).share


@given(some.integers(1, 99), WIDTH, WIDTH, some.fractions(0, 2, max_denominator=100))
def test_the_area_to_come_ends_at_the_last_row_and_half_of_it_before(now, first, width, last):
    rows = Rows(now, 100, (first, width, last))
    done = rows.areas[0] / sum(rows.areas)
    assert rows.row_at(0.0) == now
    assert rows.row_at(float(1 - done)) == 100
    half = rows.row_at(float(1 - done) / 2)
    # exact area of so many rows, and of one more
    areas = [k * width + (last - width) * k * k / 2 / rows.left for k in (half - now, half - now + 1)]
    assert areas[0] - Fraction(1, 10**6) <= rows.areas[1] / 2
    assert rows.areas[1] / 2 <= areas[1] + Fraction(1, 10**6)


def test_a_share_is_least_sure_in_the_middle_and_certain_at_the_end():
    assert pytest.approx(done_by_share(Fraction(1, 2)).u) == 0.03
    assert done_by_share(Fraction(9, 10)).u < done_by_share(Fraction(1, 2)).u
    assert (done_by_share(Fraction(1)).u, done_by_rows(Rows(150, 150, None)).u) == (0.0, 0.0)


def test_counted_rows_are_surer_than_a_guess():
    assert done_by_rows(Rows(90, 150, None)).u < done_by_share(Fraction(3, 5)).u

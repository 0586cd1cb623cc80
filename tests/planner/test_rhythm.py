"""A rhythm of alternate rows is short, can be kept to the end, and wastes nothing it need not."""

from fractions import Fraction
from itertools import product

import pytest

from planner.rhythm import MOST_ROWS, Rhythm, rhythm


def test_two_to_one():
    """300 m and 150 m for a need of 400 m: 2 rows and 1 row take 266.67 m and 133.33 m."""
    assert rhythm([30000, 15000], Fraction(40000)) == Rhythm((2, 1), (3333, 1666))


def test_alike_lengths_take_turns():
    assert rhythm([20000, 21000], Fraction(36000)).rows == (1, 1)


def test_a_yarn_that_would_run_out_gives_fewer_rows():
    """160 m of 490 m: 1 row in 3 would take 163.3 m, 1 in 4 takes 122.5 m, and the other 367.5 m of its 380 m."""
    assert rhythm([38000, 16000], Fraction(49000)) == Rhythm((3, 1), (1250, 3750))


def test_no_rhythm_where_none_can_be_kept():
    assert rhythm([40000, 900], Fraction(40000)) is None


@pytest.mark.parametrize("planned", list(product((5000, 12000, 30000), repeat=3)))
def test_no_shorter_repeat_can_be_kept(planned):
    need = Fraction(sum(planned) * 10, 11)
    found = rhythm(planned, need)
    shortest = next(
        (
            total
            for total in range(3, MOST_ROWS + 1)
            for a, b in product(range(1, total), repeat=2)
            if a + b < total and all(need * n / total <= p for n, p in zip((a, b, total - a - b), planned, strict=True))
        ),
        None,
    )
    assert (None if found is None else sum(found.rows)) == shortest
    if found is not None:
        assert min(found.left_cm) >= 0

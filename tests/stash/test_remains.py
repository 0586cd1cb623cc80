"""What was knitted tells of a lot's count, where it tells anything."""

from fractions import Fraction

import pytest

from stash.read import read_stash
from stash.remains import Knitted, farther_off, recounted

(LOT,) = read_stash(
    [("stash.yaml", b"lots:\n  slate: {fibre: wool, colour: navy, count: 250 m/100g, skeins: {s-1: 90 g}}\n")]
).stash.lots.values()


def test_knitting_that_took_as_counted_is_not_off():
    """250 m in 100 g are 400 tex, and so are 50 m of 20 g."""
    assert farther_off(LOT, Knitted(Fraction(50), Fraction(20), 0.02)) == 0


@pytest.mark.parametrize(("metres", "grams"), [(0, 20), (50, 0), (0, 0)])
def test_what_took_no_yarn_tells_nothing(metres, grams):
    nothing = Knitted(Fraction(metres), Fraction(grams), 0.02)
    assert farther_off(LOT, nothing) is None
    assert recounted(LOT, [nothing]) is LOT

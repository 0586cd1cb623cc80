import math
from fractions import Fraction

import pytest

from stash.fabric import KW
from stash.stitches import STITCHES, StitchError, read_stitch


def test_there_is_a_factor_for_each_stitch_with_its_source_and_spread():
    assert list(STITCHES) == ["plain", "garter", "moss", "rib", "cable", "stranded", "lace"]
    assert all(one.source and 0 < one.relative_u <= 0.12 for one in STITCHES.values())


def test_plain_knitting_is_the_measure_of_the_others():
    assert STITCHES["plain"].factor == 1


def test_garter_comes_from_a_published_pair_of_swatches():
    """15 stitches, 18 rows, one yarn: plain 8 x 8 cm, garter 8.5 x 6 cm, so garter is sqrt(64 / 51) as long."""
    assert round(math.sqrt(8 * 8 / (8.5 * 6)), 2) == float(STITCHES["garter"].factor)


def test_in_the_same_area_garter_holds_as_much_more_as_the_swatches_were_smaller():
    """One yarn and as many stitches: 64 cm2 plain, 51 cm2 garter."""
    assert float(STITCHES["garter"].in_area) == pytest.approx(64 / 51, abs=0.01)


def test_cables_hold_a_quarter_more_in_the_same_area_and_floats_no_more_than_their_length():
    assert float(STITCHES["cable"].in_area) == pytest.approx(1.25, abs=0.01)
    assert STITCHES["stranded"].in_area == STITCHES["stranded"].factor
    assert (STITCHES["plain"].in_area, STITCHES["plain"].in_area_u) == (1, 0)


def test_a_float_is_as_wide_as_the_stitch_it_lies_behind():
    """A stitch is l / Kw wide."""
    assert round(1 + 1 / KW, 2) == STITCHES["stranded"].factor


def test_a_quarter_more_stitches_as_long_as_plain_ones_give_the_factor_for_cables():
    """l = factor x sqrt(Ks / (1.25 s r)) is that of plain knitting at s x r."""
    assert round(math.sqrt(1.25), 2) == float(STITCHES["cable"].factor)


@pytest.mark.parametrize(("written", "name"), [("Rib", "rib"), ("stocking  stitch", "plain"), (" seed ", "moss")])
def test_other_names_and_capitals_are_understood(written, name):
    assert read_stitch(written).name == name


def test_a_near_miss_is_offered():
    with pytest.raises(StitchError, match="'gartre' is not a stitch known here") as told:
        read_stitch("gartre")
    assert told.value.hint == "did you mean garter?"


def test_anything_else_is_answered_with_the_names():
    with pytest.raises(StitchError) as told:
        read_stitch("zigzag")
    assert told.value.hint == "write one of plain, garter, moss, rib, cable, stranded, lace"
    assert STITCHES["lace"].factor < Fraction(1)

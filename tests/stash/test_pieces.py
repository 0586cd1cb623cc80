from dataclasses import replace
from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from stash.fabric import Gauge
from stash.garment import Garment, read_panel
from stash.pieces import pieces_of
from stash.reclaiming import reclaim

PULLOVER = Garment(
    gauge=Gauge(Fraction("2.2"), Fraction(3)),
    panels=(read_panel("2 x 50 cm x 60 cm"), read_panel("2 x 20-40 cm x 45 cm")),
    seams="linked",
)


def pieces(garment):
    return pieces_of(garment, reclaim(garment))


def test_a_linked_panel_is_one_piece():
    found = reclaim(PULLOVER)
    front, sleeve = pieces(PULLOVER)
    assert (front.number, sleeve.number) == (2, 2)
    # 0.60 m2 and 0.27 m2 of 0.87
    assert front.each_m == pytest.approx(found.length_m.best * 0.60 / 0.87 / 2)
    assert sleeve.each_m == pytest.approx(found.length_m.best * 0.27 / 0.87 / 2)


def test_every_hole_and_stain_makes_one_more():
    assert sum(run.number for run in pieces(replace(PULLOVER, holes=3, stains=2))) == 4 + 5


def test_a_cut_panel_is_one_piece_a_row():
    """50 cm x 22 stitches in 10 cm = 110 stitches of 1.871 cm: 2.06 m; a sleeve of 30 cm in the mean 1.23 m."""
    front, sleeve = pieces(replace(PULLOVER, seams="cut"))
    assert round(front.each_m, 2) == 2.06
    assert round(sleeve.each_m, 2) == 1.23
    # 360 rows of front and back, three quarters of which come off
    assert front.number == round(0.75 * 360)


def test_stripes_run_as_high_as_five_centimetres():
    striped = pieces(replace(PULLOVER, colours=2, main_share=Fraction(1, 2)))
    assert striped[0].number == 2 * 6  # 60 cm in pairs of stripes of 5 cm


def test_felted_comes_in_no_pieces():
    assert pieces(replace(PULLOVER, felted="felted")) == ()


@given(
    st.sampled_from(["linked", "cut", None]),
    st.integers(0, 30),
    st.booleans(),
    st.booleans(),
    st.sampled_from(["no", "slightly"]),
)
def test_pieces_add_up_to_the_metres(seams, holes, pilled, moths, felted):
    garment = replace(PULLOVER, seams=seams, holes=holes, pilled=pilled, moths=moths, felted=felted)
    total = sum(run.number * run.each_m for run in pieces(garment))
    assert total == pytest.approx(reclaim(garment).length_m.best, rel=0.01)

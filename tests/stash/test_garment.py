from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from stash.garment import KINDS, SIZES, Panel, area_of, read_panel, scaled, usual_panels
from stash.units import UnitError

CM = Fraction(1, 100)


@pytest.mark.parametrize(
    ("written", "times", "widths", "length"),
    [
        ("2 x 52 cm x 60 cm", 2, (52, 52), 60),
        ("2 x 20-38 cm x 45 cm", 2, (20, 38), 45),
        ("52 cm × 60 cm", 1, (52, 52), 60),
        ("2x20 cm - 38 cm x45 cm", 2, (20, 38), 45),
    ],
)
def test_panels_are_read_as_people_write_them(written, times, widths, length):
    panel = read_panel(written)
    assert (times, widths, length) == (
        panel.times,
        tuple(width * 100 for width in panel.widths),
        panel.length * 100,
    )


def test_a_tape_read_in_inches_is_so_coarse():
    assert read_panel("20 in x 28 in").step == Fraction("0.0254")
    assert read_panel("52.5 cm x 60 cm").step == CM  # the coarser of the two


@pytest.mark.parametrize(
    "written", ["52 cm", "x", "2 x 52 cm", "52 g x 60 cm", "0 x 52 cm x 60 cm", "0 cm x 9 cm", "9 cm x 20.1 m"]
)
def test_what_is_no_panel_is_refused(written):
    with pytest.raises(UnitError):
        read_panel(written)


def test_a_panel_without_its_unit_is_told_what_to_write():
    with pytest.raises(UnitError, match="'52' has no unit") as told:
        read_panel("2 x 52 x 60 cm")
    assert told.value.hint == "write 2 x 52 cm x 60 cm"


def test_a_drop_shoulder_pullover_is_a_square_metre_but_for_a_hundredth():
    """Two 20 x 28 in, two sleeves (8 + 15) / 2 x 18 in: 1534 in2 (Knitting & Crocheting All-in-One, Dummies)."""
    area = area_of(KINDS["pullover"])
    assert area == 1534 * Fraction("0.0254") ** 2
    assert round(float(area), 3) == 0.990


def test_sizes_rise_from_child_to_xl():
    areas = [area_of(usual_panels("pullover", size)) for size in SIZES]
    assert areas == sorted(areas)
    assert usual_panels("pullover", None) == usual_panels("pullover", "M")


def test_a_blanket_has_no_size():
    assert usual_panels("blanket", "XL") == usual_panels("blanket", None)


@given(st.fractions(Fraction(1, 10), 10))
def test_scaled_panels_have_so_many_times_the_area(factor):
    before = (Panel(2, (20 * CM, 38 * CM), 45 * CM, CM),)
    assert float(area_of(scaled(before, factor)) / area_of(before)) == pytest.approx(float(factor), rel=1e-3)


def test_two_widths_without_a_unit_are_told_what_to_write():
    with pytest.raises(UnitError) as told:
        read_panel("20-38 x 45 cm")
    assert told.value.hint == "write 20-38 cm x 45 cm"

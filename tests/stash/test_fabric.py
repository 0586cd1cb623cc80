from fractions import Fraction

import pytest

from stash.fabric import KC, KS, KW, Gauge, loop_length_m


def test_stitches_across_alone_tell_the_loop_length():
    """22 stitches in 10 cm, fully relaxed (Munden 1959: Kw 4.2): a loop of 1.91 cm, and 28.8 rows by Kc 5.5."""
    loop_cm = loop_length_m(Gauge(Fraction(22, 10), None)) * 100
    assert round(float(loop_cm), 2) == 1.91
    assert round(float(10 * KC / loop_cm), 1) == 28.8


def test_a_loop_of_half_a_centimetre_lies_92_to_the_square_centimetre():
    """GATE Textile 2015, Q54: l = 0.5 cm, Kc 5.5, Kw 4.2."""
    assert KS / Fraction(1, 2) ** 2 == Fraction("92.4")


def test_rows_as_geometry_has_them_change_nothing():
    loop_cm = KW / Fraction(22, 10)
    assert float(loop_length_m(Gauge(Fraction(22, 10), KC / loop_cm))) == pytest.approx(float(loop_cm) / 100, rel=1e-5)

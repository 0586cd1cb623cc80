"""Relaxed plain knitting: how gauge, loop length and the yarn in a piece of fabric hang together (Munden 1959).

stitches per cm = Kw / l, rows per cm = Kc / l, their product Ks / l^2, with l the loop length in cm and the constants
of the fully relaxed state, as handbooks restate them.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from fractions import Fraction

KC = Fraction("5.5")
KW = Fraction("4.2")
KS = KC * KW
GRID = 10**6  # square roots are cut to a millionth of their unit


@dataclass(frozen=True)
class Gauge:
    """Stitches and rows in a centimetre of relaxed fabric; rows None when they are not given."""

    stitches: Fraction
    rows: Fraction | None


def loop_length_m(gauge: Gauge) -> Fraction:
    """Return the yarn in one stitch, in metres: l = sqrt(Ks / (stitches x rows)); Kw / stitches without rows."""
    if gauge.rows is None:
        return KW / gauge.stitches / 100
    return root(KS / (gauge.stitches * gauge.rows)) / 100


def metres_per_square_metre(gauge: Gauge) -> Fraction:
    """Return the metres of yarn in a square metre of relaxed plain knitting; the gauge must give rows.

    stitches x rows x l = sqrt(Ks x stitches x rows).
    """
    return 100 * root(KS * gauge.stitches * (gauge.rows or Fraction(0)))


def root(square: Fraction) -> Fraction:
    """Return a square root cut to a millionth, the same on every machine."""
    return Fraction(math.isqrt(square.numerator * GRID**2 // square.denominator), GRID)

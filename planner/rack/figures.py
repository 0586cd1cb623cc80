"""What the yarn of a garment is alone and held together: count, class, and the gauge to expect."""

from __future__ import annotations

import math
from dataclasses import dataclass
from fractions import Fraction
from typing import TYPE_CHECKING

from planner.rack.lot import blend_of
from stash.fabric import KC, KW
from stash.fibre import density
from stash.guesses import exactly
from stash.weightclass import class_of, m_per_100g, wool_equivalent_tex

if TYPE_CHECKING:
    from stash.garment import Garment
    from stash.guesses import Guess
    from stash.reclaiming import Reclaimed
    from stash.weightclass import WeightClass


@dataclass(frozen=True)
class Strands:
    """So many strands held together, or a part of them: `stitches` and `rows` in 10 cm, knitted as tightly."""

    name: str  # "one" | "as it is" | "double" | "triple"
    tex: Guess
    weight_class: WeightClass
    stitches: float
    rows: float


def strands_of(garment: Garment, found: Reclaimed) -> tuple[Strands, ...]:
    """One strand alone where several run side by side, the yarn as it is, and held double and triple.

    tex adds over strands; stitches in a width go with 1 / sqrt(tex) (square-root law, Taylor, Cotton Weaving and
    Designing, 6th ed., p. 453).
    """
    parts = [("as it is", Fraction(1)), ("double", Fraction(2)), ("triple", Fraction(3))]
    if garment.plies > 1:
        parts.insert(0, ("one", Fraction(1, garment.plies)))
    return tuple(_strands(name, part, garment, found) for name, part in parts)


def _strands(name: str, part: Fraction, garment: Garment, found: Reclaimed) -> Strands:
    tex = found.tex * exactly(part)
    wool = m_per_100g(wool_equivalent_tex(Fraction(tex.best), density(blend_of(garment))))
    stitches = float(garment.gauge.stitches * 10) if garment.gauge is not None else 0.0
    rows = stitches * float(KC / KW)
    if garment.gauge is not None and garment.gauge.rows is not None:
        rows = float(garment.gauge.rows * 10)
    scale = 1 / math.sqrt(part)
    return Strands(name, tex, class_of(wool), stitches * scale, rows * scale)

"""How much yarn may be taken from each piece, worked out anew from the lot (law of propagation, JCGM 100)."""

from __future__ import annotations

import math
from fractions import Fraction
from typing import TYPE_CHECKING

from planner.verify.facts import rounded_down_cm
from stash.fibre import allowance

if TYPE_CHECKING:
    from planner.verify.facts import Facts
    from stash.lots import Lot, Skein

STATED_LENGTH_U = 0.0112  # relative standard uncertainty of a length the user states


def pieces_cm(facts: Facts, lot: Lot, skein: Skein) -> tuple[int, ...]:
    """What each piece of a skein may give, in whole centimetres, in the order listed."""
    length = _length_m(lot, skein)
    if not facts.best_guess:
        length *= max(Fraction(0), Fraction(1 - facts.z * _relative_u(lot, skein)))
    return tuple(rounded_down_cm(length * share) for share in skein.shares)


def lot_cm(facts: Facts, lot: Lot) -> int:
    """What a whole lot may give."""
    return sum(cm for skein in lot.skeins for cm in pieces_cm(facts, lot, skein))


def _length_m(lot: Lot, skein: Skein) -> Fraction:
    if skein.length_m is not None:
        return skein.length_m
    return 1000 * (skein.mass_g or Fraction(0)) / lot.count.tex


def _relative_u(lot: Lot, skein: Skein) -> float:
    """One standard uncertainty as a share of the length: count, this skein's scale, and damp where weighed apart."""
    if skein.length_m is not None:
        return STATED_LENGTH_U
    if not skein.mass_g:
        return 0.0
    scale = float(skein.scale_g / skein.mass_g) / math.sqrt(12)
    damp = 0.0
    if lot.count.apart:
        regain = allowance(lot.blend)
        damp = float(Fraction("0.15") * regain / (100 + regain)) / math.sqrt(3)
    return math.hypot(lot.count.relative_u, scale, damp)

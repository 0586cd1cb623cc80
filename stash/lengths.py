"""How long the skeins of a lot are: best guess, uncertainty, and the guarded length that may be planned with.

Length is 1000 x mass / tex; its relative standard uncertainty follows the law of propagation (JCGM 100): what the
skeins of a lot share (the count, and the room's humidity where the sample was weighed apart) and what each has of its
own (the scale).
"""

from __future__ import annotations

import math
from fractions import Fraction
from statistics import NormalDist
from typing import TYPE_CHECKING

from stash.fibre import allowance

if TYPE_CHECKING:
    from stash.fibre import Blend
    from stash.lots import Lot, Skein

STATED_LENGTH_U = 0.0112  # relative, of a length the user measured
HUMIDITY_HALF_WIDTH = 0.15  # of a yarn's moisture: how far two weighings on different days may differ
AGREE_WITHIN = 2  # combined standard uncertainties

SLACK_CM = Fraction(1, 10_000)  # 1e-6 m: limits are inclusive to it


def length_m(lot: Lot, skein: Skein) -> Fraction:
    """Return a skein's best-guess length in metres: as stated, else from its mass."""
    return skein.length_m if skein.length_m is not None else _weighed_length_m(lot, skein)


def mass_g(lot: Lot, skein: Skein) -> Fraction:
    """Return a skein's mass in grams: as stated, else from its length."""
    return skein.mass_g if skein.mass_g is not None else length_m(lot, skein) * lot.count.tex / 1000


def shared_u(lot: Lot, skein: Skein | None = None) -> float:
    """Return the relative standard uncertainty all weighed skeins of a lot share; 0 for a `skein` of stated length."""
    if skein is not None and skein.length_m is not None:
        return 0.0
    return math.hypot(lot.count.relative_u, _humidity_u(lot))


def humidity_u(blend: Blend) -> float:
    """Return what the room's humidity adds to masses weighed on different days, as a relative standard uncertainty.

    A rectangular half-width of 0.15 R/(100 + R), R the blend's agreed moisture allowance in %.
    """
    moisture = float(allowance(blend))
    return HUMIDITY_HALF_WIDTH * moisture / (100 + moisture) / math.sqrt(3)


def own_u(lot: Lot, skein: Skein) -> float:  # noqa: ARG001 - beside shared_u, with the same arguments
    """Return the relative standard uncertainty a skein has for itself: its weighing, or its stated length."""
    return STATED_LENGTH_U if skein.length_m is not None else skein.scale_u


def relative_u(lot: Lot, skein: Skein) -> float:
    """Return the relative standard uncertainty of a skein's length."""
    return math.hypot(shared_u(lot, skein), own_u(lot, skein))


def guarded_factor(lot: Lot, skein: Skein, confidence: Fraction) -> float:
    """Return guarded length / best guess: 1 - z u, never below 0; z the one-sided normal quantile of `confidence`."""
    return max(1.0 - NormalDist().inv_cdf(float(confidence)) * relative_u(lot, skein), 0.0)


def guarded_cm(lot: Lot, skein: Skein, confidence: Fraction) -> tuple[int, ...]:
    """Return the guarded length of each piece in whole centimetres, rounded down."""
    factor = Fraction(guarded_factor(lot, skein, confidence))
    return _on_grid(length_m(lot, skein) * factor, skein)


def best_cm(lot: Lot, skein: Skein) -> tuple[int, ...]:
    """Return the best-guess length of each piece in whole centimetres, rounded down."""
    return _on_grid(length_m(lot, skein), skein)


def disagreement(lot: Lot, skein: Skein) -> tuple[Fraction, Fraction] | None:
    """Return (length from the mass, length stated) in metres when a skein has both and they cannot both be right.

    They may differ by two combined standard uncertainties.
    """
    if skein.mass_g is None or skein.length_m is None:
        return None
    weighed, stated = _weighed_length_m(lot, skein), skein.length_m
    weighed_u = float(weighed) * math.hypot(lot.count.relative_u, _humidity_u(lot), skein.scale_u)
    allowed = AGREE_WITHIN * math.hypot(weighed_u, float(stated) * STATED_LENGTH_U)
    return (weighed, stated) if abs(weighed - stated) > Fraction(allowed) + SLACK_CM / 100 else None


def _weighed_length_m(lot: Lot, skein: Skein) -> Fraction:
    return 1000 * (skein.mass_g or Fraction(0)) / lot.count.tex


def _humidity_u(lot: Lot) -> float:
    return humidity_u(lot.blend) if lot.count.apart else 0.0


def _on_grid(metres: Fraction, skein: Skein) -> tuple[int, ...]:
    cm = 100 * metres
    return tuple(math.floor(cm * share + SLACK_CM) for share in skein.shares)

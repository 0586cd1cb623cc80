"""What a find weighs: the yarn, and the lightest garment that holds it, by class of yarn."""

from __future__ import annotations

import math
from dataclasses import dataclass
from statistics import NormalDist
from typing import TYPE_CHECKING

from stash.count import LABEL_U
from stash.fibre import density, read_blend
from stash.lengths import STATED_LENGTH_U
from stash.weightclass import CLASSES, WOOL_DENSITY
from stash.yielding import CUT, LINKED

if TYPE_CHECKING:
    from fractions import Fraction

    from planner.racklist.listing import Find

SCALE_G = 1.0  # what it will be weighed to


@dataclass(frozen=True)
class ClassMass:
    """Grams of yarn of a class, at its thick end in the find's range, and of a garment to unravel for it."""

    name: str
    yarn_g: float
    linked_g: float
    cut_g: float | None  # None: cut seams will not do


def masses(find: Find, confidence: Fraction) -> tuple[ClassMass, ...]:
    """For every class of yarn that the find may be of, thickest first.

    Enough also where the count is only known from a label, weighed to the gram, and for the heaviest of its fibres.
    """
    low, high = find.latitude.counts
    rows = []
    for one in sorted(CLASSES, key=lambda one: one.low):
        if one.low < high and low < one.high:
            thick = max(low, one.low)
            yarn = _grams(find, find.metres, thick, confidence)
            more = find.latitude.cut_metres
            cut = None if more is None else _grams(find, more, thick, confidence) / CUT.left
            rows.append(ClassMass(one.name, yarn, yarn / LINKED.left, cut))
    return tuple(rows)


def _grams(find: Find, metres: int, wool_m_per_100g: Fraction, confidence: Fraction) -> float:
    z = NormalDist().inv_cdf(float(confidence))
    sure = metres * (1 - z * STATED_LENGTH_U)  # what may be counted on of so many measured metres
    heaviest = max(density(read_blend(name)) for name in find.latitude.fibres)
    own = wool_m_per_100g * WOOL_DENSITY / heaviest
    best = sure / float(own) * 100
    count, scale = z * LABEL_U, z * SCALE_G / math.sqrt(12)
    # the larger root of (mass - best)^2 = (count x mass)^2 + scale^2: what is left when both are taken off is `best`
    left = 1 - count**2
    return (best + math.sqrt(best**2 - left * (best**2 - scale**2))) / left

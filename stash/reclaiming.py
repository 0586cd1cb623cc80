"""What a garment may give: loop length, thickness, metres, grams and pieces, each as a guess with its errors.

The gauge tells the yarn in a stitch (stash/fabric.py, a factor for other stitches), the panels how many stitches there
are: metres = stitches x yarn in a stitch. The other way: how tight knitting usually is tells the thickness from the
yarn in a stitch, and the mass then tells the metres. Where both can be gone they are compared.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from fractions import Fraction
from typing import TYPE_CHECKING

from stash.fabric import KC, KS, KW
from stash.garment import area_of, scaled, usual_panels
from stash.guesses import Guess, apart, combined, exactly
from stash.lengths import AGREE_WITHIN
from stash.tightness import tightness
from stash.yielding import share_kept

if TYPE_CHECKING:
    from stash.garment import Garment, Panel

Z90 = 1.6448536  # standard uncertainties to each end of a 90 % interval

# Relative standard uncertainties.
HALF_STITCH = 0.5 / math.sqrt(12)  # a count to the half stitch: d/sqrt(12), JCGM 100 F.2.2.1 (from memory)
RELAXED_U = 0.015  # of the loop: a hung or folded garment lies 2 % too wide or long; common practice, no source
ROWS_U = 0.08  # of rows reckoned from stitches: trade norms have 1.25 to 1.4 rows a stitch; common practice, no source
LAID_U = 0.01  # of a width or length laid flat and taped; common practice, no source
SIZE_U, NO_SIZE_U = 0.15, 0.25  # of the area a kind and size of garment tells; common practice, no source
NOT_YARN_U = 0.01  # of the mass: thread, labels, buttons; common practice, no source
COLOURS_U = 0.15  # of the main colour's part, judged by eye; common practice, no source

UNKNOWN_KIND = "pullover"  # whose panels stand in, scaled, where neither panels nor a kind are known


class NoGaugeError(ValueError):
    """Nothing can be said of a garment whose stitches were not counted."""


@dataclass(frozen=True)
class Reclaimed:
    """Metres of the yarn as it was knitted with (all its strands together); tex likewise.

    `by_panels`, `by_mass`: the two ways to the metres in the garment, where each can be gone; `apart`: how far they
    differ beyond what their uncertainties explain, as the factor panels / mass; None when they agree.
    `length_m` and `mass_g` are what is to be had of the main colour; None where nothing can be unravelled.
    """

    loop_cm: Guess
    tex: Guess
    in_garment_m: Guess
    by_panels: Guess | None
    by_mass: Guess | None
    apart: float | None
    panels: tuple[Panel, ...]  # as measured, or as usual
    share: Guess | None
    length_m: Guess | None
    mass_g: Guess | None


def reclaim(garment: Garment) -> Reclaimed:
    """Return what a garment may give. Raises NoGaugeError without a gauge, or without a mass, panels and kind."""
    dense = stitches_to_square_metre(garment)
    loop_m = (exactly(KS * garment.stitch.factor**2) / dense) ** 0.5 * _fabric(garment)
    loop_cm = loop_m * exactly(100)
    usual_tex = tightness(loop_cm, garment.blend)
    panels, area = _panels(garment)
    by_panels = None if area is None else area * dense * loop_m
    by_mass = None if garment.mass_g is None else _mass(garment) * exactly(1000) / usual_tex
    in_garment, differ = _metres(by_panels, by_mass)
    tex = usual_tex if garment.mass_g is None else _mass(garment) * exactly(1000) / in_garment
    if not panels:
        wanted = (in_garment / (dense * loop_m)).best
        usual = usual_panels(UNKNOWN_KIND, None)
        panels = scaled(usual, Fraction(wanted).limit_denominator(10_000) / area_of(usual))
    share = share_kept(garment)
    colours = _main_colour(garment)
    length = None if share is None else in_garment * share * colours
    mass = None if share is None or length is None else length * tex * exactly(0.001)
    return Reclaimed(loop_cm, tex, in_garment, by_panels, by_mass, differ, panels, share, length, mass)


def stitches_to_square_metre(garment: Garment) -> Guess:
    """Return how many stitches lie in a square metre. Raises NoGaugeError without a gauge."""
    gauge = garment.gauge
    if gauge is None:
        raise NoGaugeError
    centimetres = garment.over_m * 100
    across = Guess(stitches_across_to_metre(garment), {"stitches": HALF_STITCH / float(gauge.stitches * centimetres)})
    if gauge.rows is None:
        up = across * Guess(float(KC / KW), {"rows": ROWS_U})
    else:
        up = Guess(float(gauge.rows * 100), {"rows": HALF_STITCH / float(gauge.rows * centimetres)})
    return across * up


def stitches_across_to_metre(garment: Garment) -> float:
    """Return how many stitches lie in a metre of width. Raises NoGaugeError without a gauge."""
    if garment.gauge is None:
        raise NoGaugeError
    return float(garment.gauge.stitches * 100)


def _fabric(garment: Garment) -> Guess:
    """How far the yarn in a stitch may be off though the gauge were known exactly."""
    return Guess(1.0, {"fabric": garment.stitch.relative_u, "relaxed": RELAXED_U})


def _mass(garment: Garment) -> Guess:
    mass = garment.mass_g or Fraction(0)
    return Guess(float(mass), {"scale": float(garment.scale_g / mass) / math.sqrt(12), "not yarn": NOT_YARN_U})


def _panels(garment: Garment) -> tuple[tuple[Panel, ...], Guess | None]:
    """The panels and their area: measured, else by kind and size; none where neither is known."""
    if garment.panels:
        total = float(area_of(garment.panels))
        own = math.hypot(*(float(one.area) * _taped_u(one) for one in garment.panels)) / total
        return garment.panels, Guess(total, {"panels": own})
    if garment.kind is None:
        return (), None
    panels = usual_panels(garment.kind, garment.size)
    return panels, Guess(float(area_of(panels)), {"size": NO_SIZE_U if garment.size is None else SIZE_U})


def _taped_u(panel: Panel) -> float:
    tape = float(panel.step) / math.sqrt(12)
    return math.hypot(tape / float(panel.width), tape / float(panel.length), LAID_U, LAID_U)


def _metres(by_panels: Guess | None, by_mass: Guess | None) -> tuple[Guess, float | None]:
    """The metres in the garment, and by what factor the two ways disagree, if they do.

    Where they do, something is not as it seems: the mean stands, its uncertainty widened by how far they lie apart
    (the Birge ratio), up to half the way between them.
    """
    if by_panels is None or by_mass is None:
        one = by_panels or by_mass
        if one is None:
            raise NoGaugeError
        return one, None
    mean = combined(by_panels, by_mass)
    ratio = apart(by_panels, by_mass)
    if ratio <= AGREE_WITHIN:
        return mean, None
    factor = by_panels.best / by_mass.best
    widening = min(mean.relative_u * math.sqrt(ratio**2 - 1), abs(math.log(factor)) / 2)
    return mean * Guess(1.0, {"disagreement": widening}), factor


def _main_colour(garment: Garment) -> Guess:
    """The main colour's part of the yarn; without a word about it, colours are taken to be equal parts."""
    if garment.colours == 1:
        return exactly(1)
    return Guess(float(garment.main_share or Fraction(1, garment.colours)), {"colours": COLOURS_U})

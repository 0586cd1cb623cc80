"""From a garment on the scale to metres: a table for paper, and the figures a pocket calculator needs to say the same.

Both are `rack` asked by mass and gauge alone. The calculator is templates/reckoner.js; its figures are those of the
modules named here, and a test compares its answers with `rack`'s.
"""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction
from typing import TYPE_CHECKING

from planner.rack.figures import strands_of
from planner.racklist.finds import FIBRES
from stash import reclaiming, tightness, yielding
from stash.fabric import KC, KS, KW, Gauge
from stash.fibre import density, read_blend
from stash.garment import Garment
from stash.reclaiming import Z90, reclaim
from stash.stitches import PLAIN
from stash.units import OUNCE_G, YARD_M, show_length
from stash.weightclass import CLASSES, WOOL_DENSITY

if TYPE_CHECKING:
    from collections.abc import Collection

    from stash.units import System

MASSES = {
    "metric": tuple((f"{grams} g", Fraction(grams)) for grams in (250, 500)),
    "imperial": tuple((f"{ounces} oz", ounces * OUNCE_G) for ounces in (8, 16)),
}
STITCHES = range(8, 45)  # in 10 cm: from the coarsest by hand to fine machine knitting
MOST_ROWS = 9  # of the table on paper
SEAMS = (("linked", yielding.LINKED), ("cut", yielding.CUT), ("not looked at", yielding.UNKNOWN_SEAMS))


@dataclass(frozen=True)
class GaugeRow:
    """What garments of a gauge give: yarn of a class, and for each mass the metres to be sure of and the best guess."""

    stitches: int
    weight_class: str
    lengths: tuple[tuple[str, str], ...]


def gauge_rows(classes: Collection[str], units: System) -> tuple[GaugeRow, ...]:
    """Gauges whose yarn is of these classes, a few of each, coarsest first; linked seams, plain knitting, wool."""
    found: dict[str, list[int]] = {}
    for stitches in STITCHES:
        found.setdefault(_class_of(stitches), []).append(stitches)
    wanted = [own for name, own in found.items() if name in classes]
    each = max(MOST_ROWS // max(len(wanted), 1), 1)
    shown = sorted(stitches for own in wanted for stitches in _spread(own, each))
    return tuple(
        GaugeRow(stitches, _class_of(stitches), tuple(_lengths(stitches, grams, units) for _, grams in MASSES[units]))
        for stitches in shown
    )


def constants(units: System) -> dict[str, object]:
    """The calculator's figures: masses and lengths in the reader's units, counts in tex."""
    return {
        "mass_unit_g": float(OUNCE_G if units == "imperial" else 1),
        "length_unit_m": float(YARD_M if units == "imperial" else 1),
        "length_unit": "yd" if units == "imperial" else "m",
        "scale_g": 1.0,
        "ks": float(KS),
        "rows_to_stitches": float(KC / KW),
        "wool_density": float(WOOL_DENSITY),
        "fine": (tightness.FINE_LOOP_CM, tightness.FINE),
        "coarse": (tightness.COARSE_LOOP_CM, tightness.COARSE),
        "half_stitch": reclaiming.HALF_STITCH,
        "rows_u": reclaiming.ROWS_U,
        "not_yarn_u": reclaiming.NOT_YARN_U,
        # the metres go with the inverse of the tex, and that with the square of the loop
        "fixed_u": (2 * tightness.TIGHTNESS_U, 2 * PLAIN.relative_u, 2 * reclaiming.RELAXED_U),
        "z": Z90,
        "classes": [(float(one.low), one.name) for one in CLASSES],
        "seams": [(name, loss.left, loss.relative_u) for name, loss in SEAMS],
    }


def fibres() -> list[tuple[str, float]]:
    """The labels the calculator knows, each with its density in g/cm3."""
    return [(name, float(density(read_blend(name)))) for name in FIBRES]


def beside_wool(name: str) -> float:
    """How many metres a garment of that label gives beside one of wool of the same mass and gauge."""
    return float(WOOL_DENSITY / density(read_blend(name)))


def _garment(stitches: int, grams: Fraction) -> Garment:
    return Garment(mass_g=grams, gauge=Gauge(Fraction(stitches, 10), None), seams="linked")


def _class_of(stitches: int) -> str:
    garment = _garment(stitches, Fraction(100))
    whole = next(one for one in strands_of(garment, reclaim(garment)) if one.name == "as it is")
    return whole.weight_class.name


def _lengths(stitches: int, grams: Fraction, units: System) -> tuple[str, str]:
    length = reclaim(_garment(stitches, grams)).length_m
    if length is None:
        raise ValueError("a garment that is not felted gives yarn")
    low, best = (show_length(metres, units) for metres in (length.interval(Z90)[0], length.best))
    return low, best


def _spread(own: list[int], most: int) -> list[int]:
    """At most so many of a run, its ends and evenly between; of one alone the middle."""
    if len(own) <= most:
        return own
    if most == 1:
        return [own[len(own) // 2]]
    return [own[round(at * (len(own) - 1) / (most - 1))] for at in range(most)]

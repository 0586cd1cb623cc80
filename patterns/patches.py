"""Patches of fabric: what yarn a piece of known measures takes, by gauge and stitch or by a swatch, and how surely.

Metres of working yarn, exact; uncertainties are relative and standard (JCGM 100).
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from fractions import Fraction
from typing import TYPE_CHECKING

from patterns.needs import Amount
from stash.fabric import metres_per_square_metre
from stash.stitches import PLAIN, Stitch

if TYPE_CHECKING:
    from collections.abc import Sequence

    from stash.fabric import Gauge

SHAPE_U = 0.10  # of an estimate from shape and gauge in plain knitting; common practice, no source
FACTOR_U = 0.15  # with a bare factor for another stitch; common practice, no source
SWATCH_U = 0.03  # of an estimate from a weighed or measured swatch; common practice, no source


@dataclass(frozen=True)
class Swatch:
    """So much yarn in a rectangle of fabric; metres."""

    length: Fraction
    width: Fraction
    height: Fraction


@dataclass(frozen=True)
class Patch:
    """A trapezoid, `times` over, in metres, and the share of its yarn that is meant.

    At most one of `stitch`, `factor` and `swatch`; none of them: plain knitting.
    """

    lower: Fraction
    upper: Fraction
    length: Fraction
    times: Fraction = Fraction(1)
    share: Fraction = Fraction(1)
    stitch: Stitch | None = None
    factor: Fraction | None = None
    swatch: Swatch | None = None

    @property
    def area(self) -> Fraction:
        """Square metres of all of them, whatever the share."""
        return (self.lower + self.upper) / 2 * self.length * self.times


def patch_amount(patch: Patch, gauge: Gauge | None) -> Amount:
    """Return what a patch takes; without a swatch the gauge must give rows."""
    area = patch.area * patch.share
    if patch.swatch is not None:
        return Amount(area * patch.swatch.length / (patch.swatch.width * patch.swatch.height), SWATCH_U, (patch,))
    if gauge is None:
        raise ValueError("a patch without a swatch needs a gauge")
    plain = area * metres_per_square_metre(gauge)
    if patch.factor is not None:
        return Amount(plain * patch.factor, FACTOR_U, (patch,))
    stitch = patch.stitch or PLAIN
    return Amount(plain * stitch.in_area, math.hypot(SHAPE_U, stitch.in_area_u), (patch,))


def together(amounts: Sequence[Amount]) -> Amount:
    """Return the sum of amounts that err together.

    One knitter, one gauge and one set of constants are behind all patches of a thing, so their errors are taken to be
    the same way, which is the careful choice: the uncertainties add up, and not as the root of their squares.
    """
    metres = sum((one.metres for one in amounts), Fraction(0))
    if not metres:
        return Amount(metres, 0.0)
    relative_u = math.fsum(float(one.metres / metres) * one.relative_u for one in amounts)
    return Amount(metres, relative_u, tuple(patch for one in amounts for patch in one.patches))


def patch_text(patch: Patch) -> str:
    """Return a patch as a pattern file has it; its measures must lie on the millimetre, its share on 0.0001 %."""
    wide = _cm(patch.lower) if patch.lower == patch.upper else f"[{_cm(patch.lower)}, {_cm(patch.upper)}]"
    keys = {"width": wide, "length": _cm(patch.length)}
    if patch.times != 1:
        keys["times"] = plain_decimal(patch.times)
    if patch.share != 1:
        keys["share"] = f"{plain_decimal(patch.share * 100)}%"
    if patch.stitch is not None:
        keys["stitch"] = patch.stitch.name
    if patch.factor is not None:
        keys["stitch-factor"] = plain_decimal(patch.factor)
    if patch.swatch is not None:
        one = patch.swatch
        keys["swatch"] = (
            f"{{length: {plain_decimal(one.length)} m, width: {_cm(one.width)}, height: {_cm(one.height)}}}"
        )
    return "{" + ", ".join(f"{key}: {value}" for key, value in keys.items()) + "}"


def _cm(metres: Fraction) -> str:
    return f"{plain_decimal(metres * 100)} cm"


def plain_decimal(value: Fraction) -> str:
    """Return an exact number of at most four decimals as files have it: "22", "28.8"."""
    if (value * 10_000).denominator != 1:
        raise ValueError(f"{value} has more than four decimals")
    return f"{float(value):.4f}".rstrip("0").rstrip(".")

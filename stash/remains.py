"""What is left of a lot: its skeins less what was taken from their pieces, and its count by what was knitted of it."""

from __future__ import annotations

import math
from dataclasses import dataclass, replace
from fractions import Fraction
from typing import TYPE_CHECKING

from stash.lengths import guarded_factor, length_m, shared_u

if TYPE_CHECKING:
    from collections.abc import Iterable, Sequence

    from stash.lots import Lot, Skein

BELIEVED_WITHIN = 2  # combined standard uncertainties; what is farther off is a mistake rather than news


@dataclass(frozen=True)
class Taken:
    """So many guarded centimetres of a piece, counted from 1, as sure as `confidence`."""

    piece: int
    cm: int
    confidence: Fraction


@dataclass(frozen=True)
class Knitted:
    """Metres of one strand that were knitted, by the pattern, how unsure these are, and the grams that went."""

    metres: Fraction
    grams: Fraction
    relative_u: float


def shares_left(lot: Lot, skein: Skein, takes: Iterable[Taken]) -> tuple[Fraction, ...]:
    """Return what is left of each piece as its part of the skein's length; below 0 where more was taken than there is.

    What is taken is a share of its piece: taken / guarded length of the piece at the confidence it was taken with.
    So what is left is guarded length - taken at that confidence, and in proportion at any other. Raises IndexError
    where there is no such piece.
    """
    shares = list(skein.shares)
    for take in takes:
        held_cm = guarded_whole_cm(lot, skein, take.confidence)
        shares[take.piece - 1] -= take.cm / held_cm if held_cm else Fraction(2 if take.cm else 0)
    return tuple(shares)


def guarded_whole_cm(lot: Lot, skein: Skein, confidence: Fraction) -> Fraction:
    """Return the guarded length of a skein in centimetres, not rounded."""
    return 100 * length_m(lot, skein) * Fraction(guarded_factor(lot, skein, confidence))


def less(skein: Skein, shares: Sequence[Fraction]) -> Skein:
    """Return the skein with only these parts of its length left, each piece in its place; parts below 0 are 0.

    The step of its scale shrinks with it: the relative uncertainty stays, so that what was guarded remains guarded.
    """
    kept = [max(share, Fraction(0)) for share in shares]
    left = sum(kept, Fraction(0))
    return replace(
        skein,
        mass_g=None if skein.mass_g is None else skein.mass_g * left,
        length_m=None if skein.length_m is None else skein.length_m * left,
        scale_g=skein.scale_g * left,
        shares=tuple(share / left for share in kept) if left else skein.shares,
        opened=True,
    )


def reweighed(skein: Skein, mass_g: Fraction, scale_g: Fraction) -> Skein:
    """Return the skein as it was weighed anew; its pieces are as long to each other as before."""
    return replace(skein, mass_g=mass_g, length_m=None, scale_g=scale_g)


def recounted(lot: Lot, knitted: Sequence[Knitted]) -> Lot:
    """Return the lot with its count sharpened by what was knitted of it, observation by observation.

    Each is metres by the pattern for so many grams; the count becomes the mean weighted by the inverses
    of the variances. One that is off by more than two combined standard uncertainties is left out. `farther_off`
    tells which.
    """
    count = lot.count
    for one in knitted:
        if (off := farther_off(replace(lot, count=count), one)) is None or abs(off) > BELIEVED_WITHIN:
            continue
        seen = _seen_tex(one)
        before, new = (float(count.tex) * count.relative_u) ** 2, (float(seen) * one.relative_u) ** 2
        weight = Fraction(before / (before + new)) if before else Fraction(0)
        tex = count.tex + weight * (seen - count.tex)
        count = replace(count, tex=tex, relative_u=math.sqrt(before * new / (before + new)) / float(tex))
    return lot if count is lot.count else replace(lot, count=count)


def farther_off(lot: Lot, one: Knitted) -> float | None:
    """Return how far what was knitted is from the lot's count, in combined standard uncertainties; None: untold."""
    if one.metres <= 0 or one.grams <= 0:
        return None
    seen = _seen_tex(one)
    return float(seen - lot.count.tex) / math.hypot(float(seen) * one.relative_u, float(lot.count.tex) * shared_u(lot))


def _seen_tex(one: Knitted) -> Fraction:
    return 1000 * one.grams / one.metres

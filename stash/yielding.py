"""The part of a garment's yarn that comes off it whole enough to wind, and what takes from it."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from stash.guesses import Guess

if TYPE_CHECKING:
    from stash.garment import Garment


@dataclass(frozen=True)
class Loss:
    """One thing that takes from what can be had: the part left, and its relative standard uncertainty."""

    why: str
    left: float
    relative_u: float


# All of these: common practice, no source.
LINKED = Loss("linked seams, taken apart with care", 0.85, 0.06)
CUT = Loss("cut seams: edges and shaped rows are lost", 0.75, 0.10)
UNKNOWN_SEAMS = Loss("seams not looked at", 0.80, 0.12)
HOLE = 0.99  # the rows round a hole
STAIN = 0.995
PILLED = Loss("pilled: worn places break", 0.95, 0.04)
MOTHS = Loss("moths: more is bitten than is seen", 0.85, 0.12)
SLIGHTLY_FELTED = Loss("slightly felted: much tears or cannot be freed", 0.50, 0.35)
FANCY = Loss("fancy yarn: loops and hairs catch and break", 0.85, 0.12)
STRANDED = Loss("stranded: short runs of each colour", 0.90, 0.06)


def losses(garment: Garment) -> tuple[Loss, ...]:
    """Return what takes from a garment's yarn, its seams first; felted ones are not asked."""
    seams = {"linked": LINKED, "cut": CUT, None: UNKNOWN_SEAMS}[garment.seams]
    found = [seams]
    if garment.holes:
        found.append(Loss("holes", HOLE**garment.holes, 0.005 * garment.holes**0.5))
    if garment.stains:
        found.append(Loss("stains cut out", STAIN**garment.stains, 0.003 * garment.stains**0.5))
    for seen, loss in (
        (garment.pilled, PILLED),
        (garment.moths, MOTHS),
        (garment.felted == "slightly", SLIGHTLY_FELTED),
        (garment.fancy, FANCY),
        (garment.stitch.name == "stranded", STRANDED),
    ):
        if seen:
            found.append(loss)
    return tuple(found)


def share_kept(garment: Garment) -> Guess | None:
    """Return the part of the yarn to be had; None for a felted garment, which cannot be unravelled."""
    if garment.felted == "felted":
        return None
    share = Guess(1.0, {})
    for loss in losses(garment):
        share *= Guess(loss.left, {loss.why: loss.relative_u})
    return share

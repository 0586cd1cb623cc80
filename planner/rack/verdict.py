"""Whether a garment is worth unravelling: what speaks for and against it, in order of weight."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from stash.fibrenames import UNKNOWN
from stash.reclaiming import Z90

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence

    from stash.fibre import Blend
    from stash.garment import Garment
    from stash.pieces import Pieces
    from stash.reclaiming import Reclaimed

WORTH, DOUBTFUL, LEAVE = "worth unravelling", "doubtful", "leave it"
DECIDES = 90  # one such reason against it settles the matter
IN_DOUBT = 50  # so much against it in all makes it doubtful

LEAST_PIECE_M = 5.0  # what a plan asks of a piece
SHORT_ROW_M = 1.0  # threads of less serve nothing but fringes and filling
FEW_METRES = 100.0  # that can be counted on; hardly a pair of mittens


@dataclass(frozen=True)
class Reason:
    """One thing that speaks for a garment or against it; the weights are our own, no source."""

    key: str
    weight: int
    speaks_for: bool = False


def reasons_for(
    garment: Garment, found: Reclaimed, pieces: Sequence[Pieces], blend: Blend, opened: int
) -> tuple[Reason, ...]:
    """Every reason that holds, the weightiest first; `opened`: how many projects it would unlock."""
    reasons = [
        *_of_its_state(garment),
        *_of_its_make(garment, pieces),
        *_of_its_yarn(garment, found, blend),
        *_for_it(garment, found, opened),
    ]
    return tuple(sorted(reasons, key=lambda one: (-one.weight, one.key)))


def verdict_of(reasons: Sequence[Reason]) -> str:
    """What the reasons come to."""
    against = [one.weight for one in reasons if not one.speaks_for]
    if any(weight >= DECIDES for weight in against):
        return LEAVE
    return DOUBTFUL if sum(against) >= IN_DOUBT else WORTH


def _of_its_state(garment: Garment) -> Iterator[Reason]:
    if garment.felted == "felted":
        yield Reason("felted", 100)
    elif garment.felted == "slightly":
        yield Reason("slightly-felted", 65)
    if garment.moths:
        yield Reason("moths", 60)
    if garment.holes:
        yield Reason("holes", min(10 + 4 * garment.holes, 50))
    if garment.pilled:
        yield Reason("pilled", 20)
    if garment.smell:
        yield Reason("smell", 15)
    if garment.stains:
        yield Reason("stains", min(5 + 2 * garment.stains, 40))


def _of_its_make(garment: Garment, pieces: Sequence[Pieces]) -> Iterator[Reason]:
    longest = max((run.each_m for run in pieces), default=0.0)
    if garment.seams == "cut" and garment.felted != "felted":
        yield Reason("cut", DECIDES if longest < LEAST_PIECE_M else 55)
    if garment.seams is None:
        yield Reason("seams-unknown", 30)
    if garment.seams != "cut" and pieces and longest < LEAST_PIECE_M:
        yield Reason("short-pieces", 55)
    if garment.colours > 1 or garment.stitch.name == "stranded":
        yield Reason("colours", 25)
    if garment.stitch.name == "lace":
        yield Reason("lace", 15)


def _of_its_yarn(garment: Garment, found: Reclaimed, blend: Blend) -> Iterator[Reason]:
    if found.apart is not None:
        yield Reason("disagreement", 45)
    if found.length_m is not None and found.length_m.interval(Z90)[0] < FEW_METRES:
        yield Reason("few-metres", 50)
    if garment.fancy:
        yield Reason("fancy", 40)
    if UNKNOWN in blend.shares:
        yield Reason("fibre-unknown", 25)


def _for_it(garment: Garment, found: Reclaimed, opened: int) -> Iterator[Reason]:
    if opened:
        yield Reason("unlocks", 80, speaks_for=True)
    if garment.seams == "linked" and found.length_m is not None:
        yield Reason("linked", 35, speaks_for=True)
    if found.length_m is not None and found.length_m.interval(Z90)[0] >= FEW_METRES:
        yield Reason("metres", 30, speaks_for=True)

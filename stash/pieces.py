"""The pieces a garment's yarn comes in: whole panels where it was knitted to shape, one a row where it was cut."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from stash.garment import area_of
from stash.reclaiming import stitches_across_to_metre

if TYPE_CHECKING:
    from stash.garment import Garment, Panel
    from stash.reclaiming import Reclaimed

# Metres of yarn to a break, and the height of a stripe in metres; common practice, no source.
WORN_BREAK_M = 60.0  # pilled, or a fancy yarn
MOTH_BREAK_M = 25.0
FELT_BREAK_M = 5.0
STRIPE_M = 0.05


@dataclass(frozen=True)
class Pieces:
    """So many continuous lengths, `each_m` metres long on average, from the panels at `panel` in their list."""

    panel: int
    number: int
    each_m: float


def pieces_of(garment: Garment, found: Reclaimed) -> tuple[Pieces, ...]:
    """Return the pieces to expect, best guess, panel by panel; none where nothing can be unravelled."""
    if found.length_m is None:
        return ()
    total = float(area_of(found.panels))
    metres = [found.length_m.best * float(panel.area) / total for panel in found.panels]
    if garment.seams == "cut":
        rows = [row_m(garment, found, float(panel.width)) for panel in found.panels]
        return tuple(
            Pieces(at, max(1, round(long / row)), row) for at, (long, row) in enumerate(zip(metres, rows, strict=True))
        )
    numbers = _shared_out(_breaks(garment, found.length_m.best), [long / sum(metres) for long in metres])
    runs = [panel.times * _stripes(garment, panel) + more for panel, more in zip(found.panels, numbers, strict=True)]
    return tuple(Pieces(at, run, long / run) for at, (run, long) in enumerate(zip(runs, metres, strict=True)))


def row_m(garment: Garment, found: Reclaimed, width_m: float) -> float:
    """Return the yarn in one row of a panel so wide: stitches across x yarn in a stitch."""
    return width_m * stitches_across_to_metre(garment) * found.loop_cm.best / 100


def _breaks(garment: Garment, metres: float) -> int:
    """How often the yarn ends within the panels: every hole and stain cut out makes one more piece."""
    breaks = garment.holes + garment.stains
    for seen, to_a_break in (
        (garment.pilled or garment.fancy, WORN_BREAK_M),
        (garment.moths, MOTH_BREAK_M),
        (garment.felted == "slightly", FELT_BREAK_M),
    ):
        if seen:
            breaks += round(metres / to_a_break)
    return breaks


def _stripes(garment: Garment, panel: Panel) -> int:
    """Runs of the main colour in one panel: one, or as many as there are stripes of it."""
    if garment.colours == 1:
        return 1
    return max(1, round(float(panel.length) / (STRIPE_M * garment.colours)))


def _shared_out(number: int, shares: list[float]) -> list[int]:
    """Whole numbers by share that add up to `number`."""
    given, reached, so_far = [], 0, 0.0
    for share in shares:
        so_far += share
        upto = round(number * min(so_far, 1.0))
        given.append(upto - reached)
        reached = upto
    return given

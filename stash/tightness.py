"""Tightness: how thick the yarn in a knitted fabric usually is for the length of its loops.

The tightness (cover) factor of plain knitting is sqrt(tex) / loop length in cm.
"""

from __future__ import annotations

import math
from typing import TYPE_CHECKING

from stash.fibre import density
from stash.guesses import Guess, exactly
from stash.weightclass import WOOL_DENSITY

if TYPE_CHECKING:
    from stash.fibre import Blend

# Machine-knitted wool in fine loops: 9 to 19, most often 14 to 15 (textbooks of knitting, from memory). By hand: 10.4,
# computed from the standard yarn weight system's stitches and our classes' middle counts (10.2, 10.5, 11.0, 10.5 and
# 9.6 for classes 1 to 5). Between the two, by the logarithm of the loop.
FINE_LOOP_CM, FINE = 0.7, 14.0
COARSE_LOOP_CM, COARSE = 1.4, 10.4
TIGHTNESS_U = 0.12  # relative, standard: 9 to 19 round 14 are two and a half of it; the classes' own widths as much


def usual_tightness(loop_cm: float) -> float:
    """Return the usual sqrt(tex) / loop length for a loop of so many cm of wool."""
    share = math.log(loop_cm / FINE_LOOP_CM) / math.log(COARSE_LOOP_CM / FINE_LOOP_CM)
    share = min(max(share, 0.0), 1.0)
    return FINE + (COARSE - FINE) * share


def tightness(loop_cm: Guess, blend: Blend | None) -> Guess:
    """Return the tex a yarn usually has in loops of this length; a denser fibre as thick weighs more."""
    usual = Guess(usual_tightness(loop_cm.best), {"tightness": TIGHTNESS_U})
    beside_wool = 1.0 if blend is None else float(density(blend) / WOOL_DENSITY)
    return (usual * loop_cm) ** 2 * exactly(beside_wool)

"""How large a sample must be for its count to be known well enough."""

from __future__ import annotations

import math
from typing import TYPE_CHECKING

from stash.count import AROUND_U, TENSION_U

if TYPE_CHECKING:
    from fractions import Fraction

WELL_KNOWN = 0.02  # relative standard uncertainty of a count
WHOLE_TURNS = 5  # turns are asked in fives
MOST_TURNS = 5000
TURNS_IF_THICKNESS_UNKNOWN = 60  # leaves the scale about half of what may be in doubt


def sample_u(turns: int, around_m: Fraction, tex: float, scale_g: Fraction) -> float:
    """Return the relative standard uncertainty of the count of a sample: turns, circumference, tension, scale."""
    grams = turns * float(around_m) * tex / 1000
    return math.hypot(1 / math.sqrt(3) / turns, AROUND_U, TENSION_U, float(scale_g) / math.sqrt(12) / grams)


def turns_needed(around_m: Fraction, tex: float, scale_g: Fraction) -> int | None:
    """Return the fewest turns, in fives, that make the count known to 2 %; None where no sane number does."""
    for turns in range(WHOLE_TURNS, MOST_TURNS + 1, WHOLE_TURNS):
        if sample_u(turns, around_m, tex, scale_g) <= WELL_KNOWN:
            return turns
    return None


def grams_needed(scale_g: Fraction) -> float:
    """Return the grams a sample of TURNS_IF_THICKNESS_UNKNOWN turns must weigh for its count to be known to 2 %."""
    rest = WELL_KNOWN**2 - AROUND_U**2 - TENSION_U**2 - (1 / math.sqrt(3) / TURNS_IF_THICKNESS_UNKNOWN) ** 2
    return float(scale_g) / math.sqrt(12) / math.sqrt(rest)

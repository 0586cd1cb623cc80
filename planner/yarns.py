"""Working yarns: what is knitted with, one strand or several held together."""

from __future__ import annotations

import math
from dataclasses import dataclass
from functools import cached_property
from itertools import combinations
from typing import TYPE_CHECKING

from stash import colour, fibre, weightclass

if TYPE_CHECKING:
    from collections.abc import Iterator
    from fractions import Fraction

    from patterns.needs import Need
    from stash.colour import Colour
    from stash.fibre import Blend
    from stash.lots import Lot

STRANDS_APART = 3.0  # CIEDE2000 between strands of different lots, unless `marl: yes`
ROUNDING = 1e-12  # relative
LIMIT = 1e-6  # every limit is inclusive to this much of its unit


@dataclass(frozen=True, eq=False)
class WorkingYarn:
    """Lots held together, in id order, each with its number of strands; compare by `name`."""

    lots: tuple[tuple[Lot, int], ...]

    @cached_property
    def name(self) -> str:
        """Its strands' lot ids, for sorting and comparing."""
        return " + ".join(lot.id for lot, strands in self.lots for _ in range(strands))

    @cached_property
    def lot_ids(self) -> frozenset[str]:
        return frozenset(lot.id for lot, _ in self.lots)

    @cached_property
    def strands(self) -> int:
        return sum(strands for _, strands in self.lots)

    @cached_property
    def tex(self) -> Fraction:
        """Grams in a kilometre of working yarn: tex adds over strands."""
        return sum((lot.count.tex * strands for lot, strands in self.lots), start=self.lots[0][0].count.tex * 0)

    @cached_property
    def wool_m_per_100g(self) -> float:
        """Wool-equivalent count of the working yarn; wool-equivalent tex adds over strands."""
        return 1e5 / sum(wool_tex(lot) * strands for lot, strands in self.lots)

    @cached_property
    def colour(self) -> Colour:
        """The mean of its strands in linear light, weighted by tex."""
        if len(self.lots) == 1:
            return self.lots[0][0].colour
        return colour.mix([(lot.colour, float(lot.count.tex * strands)) for lot, strands in self.lots])

    @cached_property
    def blend(self) -> Blend:
        """Its fibres by mass."""
        if len(self.lots) == 1:
            return self.lots[0][0].blend
        return fibre.mix([(lot.blend, lot.count.tex * strands) for lot, strands in self.lots])


def wool_tex(lot: Lot) -> float:
    """Tex of the wool yarn as thick as this lot's."""
    return float(weightclass.wool_equivalent_tex(lot.count.tex, fibre.density(lot.blend)))


def thickest_and_finest(need: Need) -> tuple[float, float]:
    """The most and the least wool-equivalent tex that the need accepts, a rounding error to either side."""
    finest = 1e5 / (float(need.yarn.high) + LIMIT) * (1 - ROUNDING)
    return (1e5 / (float(need.yarn.low) - LIMIT) * (1 + ROUNDING) if need.yarn.low > 0 else math.inf), finest


def alike(one: Colour, other: Colour) -> bool:
    """Whether lots of these colours may be strands of one working yarn that is no marl."""
    return colour.difference(one, other) <= STRANDS_APART + LIMIT


def pairs_of_lots(yarn: WorkingYarn) -> Iterator[tuple[Lot, Lot]]:
    """Every two different lots held together in it."""
    return combinations((lot for lot, _ in yarn.lots), 2)

"""The search for offers that may stand together in one project: depth first, the likeliest first."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np

from planner.priced.ranking import Ranking

if TYPE_CHECKING:
    from planner.priced.offers import Offer
    from planner.priced.rated import Rated
    from planner.priced.store import Numbers
    from planner.priced.ways import Inside


@dataclass
class Search:
    """Depth first over the slots, from what could be best on, left where the rest cannot make it good."""

    inside: Inside
    rated: list[Rated]
    prices: Numbers
    holds: Numbers
    limit: int
    any_will_do: bool = False  # stop at the first found
    best: list[Offer] | None = None
    gain: float = -np.inf
    most: float = -np.inf  # what was left untried gains no more
    steps: int = 0

    def grow(self, chosen: list[Offer], value: float) -> None:
        place = len(chosen)
        if place == len(self.rated):
            if value > self.gain and self.inside.may_be(chosen):
                self.best, self.gain = list(chosen), value
            return
        ranking = Ranking(self, place, chosen)
        tries = 0
        while not (self.any_will_do and self.best is not None):
            ranked = ranking.get(tries)
            tries += 1
            if ranked is None:
                self.most = max(self.most, value + ranking.beyond)
                return
            potential, offer = ranked
            if value + potential <= self.gain:
                self.most = max(self.most, value + ranking.beyond)
                return
            if self.steps >= self.limit:
                self.most = max(self.most, value + potential, value + ranking.beyond)
                return
            self.steps += 1
            if self._fits(chosen, offer):
                self.grow([*chosen, offer], value + offer.gain)

    def _fits(self, chosen: list[Offer], offer: Offer) -> bool:
        for place, taken in offer.takes.items():
            if taken + sum(own.takes.get(place, 0.0) for own in chosen) > self.holds[place]:
                return False
        return all(
            self.inside.may_stand((run.need, run.strands), (other.need, other.strands))
            for run in offer.runs
            for before in chosen
            for other in before.runs
        )

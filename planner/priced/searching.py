"""The search for offers that may stand together in one project: depth first, the likeliest first."""

from __future__ import annotations

import math
import operator
from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np

from planner.priced.ranking import Ranking
from planner.priced.rated import Left

if TYPE_CHECKING:
    from collections.abc import Sequence

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

    def run(self) -> None:
        """Search from the start on."""
        left = [Left([kind.gains for kind in rated.kinds], rated.beyond) for rated in self.rated]
        for offer in self.inside.beside:
            left = [self._beside(offer, place, own) for place, own in enumerate(left)]
        self._grow([], 0.0, left)

    def _grow(self, chosen: list[Offer], value: float, left: Sequence[Left]) -> None:
        """Choose for the next slot; `left`: what may still stand in it and in those after it."""
        place = len(chosen)
        if place == len(self.rated):
            if value > self.gain and self.inside.may_be([*self.inside.beside, *chosen]):
                self.best, self.gain = list(chosen), value
            return
        could = value + math.fsum(own.top for own in left)
        if could <= self.gain:
            self.most = max(self.most, could)
            return
        ranking = Ranking(self, place, left)
        tries = 0
        while not (self.any_will_do and self.best is not None):
            ranked = ranking.get(tries, self.gain - value)
            tries += 1
            if ranked is None:
                self.most = max(self.most, value + ranking.beyond)
                return
            potential, offer = ranked
            if value + potential <= self.gain:
                self.most = max(self.most, value + ranking.beyond)
                return
            if self.steps >= self.limit or self.inside.over():
                self.most = max(self.most, value + potential, value + ranking.beyond)
                return
            self.steps += 1
            if self._fits(chosen, offer):
                after = [self._beside(offer, place + 1 + at, own) for at, own in enumerate(left[1:])]
                self._grow([*chosen, offer], value + offer.gain, after)

    def _beside(self, offer: Offer, place: int, left: Left) -> Left:
        """What may still stand in a slot beside an offer, as far as colour and felting tell."""
        slot, inside = self.inside.slots[place], self.inside
        gains, beyond = list(left.gains), left.beyond
        for run in offer.runs:
            contrasts, match = inside.contrasts[run.need][slot.need], inside.matches[run.need][slot.need]
            washed = inside.washed[inside.store.shelf.felting_of(run.strands)]
            if not contrasts and match is None and washed.all():
                continue
            colour = inside.store.shelf.yarn(run.strands).colour
            if beyond > -np.inf and contrasts:
                beyond = min(beyond, *self.rated[place].beyond_beside(np.array([colour.lightness]), contrasts).tolist())
            for number, kind in enumerate(self.rated[place].kinds):
                may = [kind.shades.may_stand(colour.lightness, contrast) for contrast in contrasts]
                may += [] if washed.all() else [washed[kind.felting]]
                may += [kind.shades.is_near(colour, match)] if match is not None else []
                gains[number] = np.where(np.logical_and.reduce(may), gains[number], -np.inf)
        same = beyond == left.beyond and all(map(operator.is_, gains, left.gains))
        return left if same else Left(gains, beyond)

    def _fits(self, chosen: list[Offer], offer: Offer) -> bool:
        for place, taken in offer.takes.items():
            if taken + math.fsum(own.takes.get(place, 0.0) for own in chosen) > self.holds[place]:
                return False
        return all(
            self.inside.may_stand((run.need, run.strands), (other.need, other.strands))
            for run in offer.runs
            for before in (*self.inside.beside, *chosen)
            for other in before.runs
        )

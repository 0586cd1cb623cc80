"""What may serve one slot beside what is chosen already, ranked by what the whole project could gain with it."""

from __future__ import annotations

import math
from itertools import compress
from typing import TYPE_CHECKING

import numpy as np

from planner.mates import largest

if TYPE_CHECKING:
    from collections.abc import Sequence

    from planner.priced.offers import Lengths, Offer
    from planner.priced.rated import Kind, Left, Places
    from planner.priced.searching import Search
    from planner.priced.store import Numbers

FIRST, MORE = 12, 8  # yarns ranked at first, and how many times as many next
SHARERS = 36  # yarns tried to share a need out, where it is looked at closely
FEW = 500  # steps of a search that does not


class Ranking:
    """Offers for a slot beside what is chosen, by what the whole could gain with each; ranked no further than asked."""

    def __init__(self, search: Search, place: int, left: Sequence[Left]) -> None:
        self.search, self.place = search, place
        self.slot = search.inside.slots[place]
        self.rated = search.rated[place]
        self.given = [own.top for own in left[1:]]
        self.rest = math.fsum(self.given)
        self.gains, self.unlisted = left[0].gains, left[0].beyond
        self.left_out = np.inf  # what is not in the pool gains no more
        self.count = 0
        self.pool: list[tuple[float, int, int]] = []  # potential, kind and number of yarns, the best last
        self.seen: set[tuple[int, int]] = set()
        self.listed = not self.slot.divisible  # whether offers of several yarns are among the ranked
        self.shared: list[tuple[float, Lengths]] = []  # what these gain with the rest, the best last
        self.at_most = np.inf if self.slot.divisible else -np.inf  # what any such offer gains at most with the rest
        self.first: list[tuple[float, int, int]] = []  # the pool as it was first, the best first
        self.left_out_first = np.inf
        self.ranked: list[tuple[float, Offer]] = []

    @property
    def beyond(self) -> float:
        """What is not ranked yet gains no more."""
        return max(self.left_out, self._next(), self.at_most, self.unlisted + self.rest)

    def get(self, place: int, floor: float) -> tuple[float, Offer] | None:
        """What could be gained with the offer at a place from 0, and the offer; None past the last above the floor."""
        while place >= len(self.ranked):
            following = self._next()
            several = -np.inf if self.listed else self.at_most
            if max(following, self.left_out, several) <= floor:
                return None
            if following < self.left_out:
                self._widen()
            elif following < several:
                self._share_out()
            elif self.shared and self.shared[-1][0] == following:
                self.ranked.append((following, self.slot.offer(self.search.prices, self.shared.pop()[1])))
            else:
                potential, kind, at = self.pool.pop()
                self.seen.add((kind, at))
                offer = self._whole(self.rated.kinds[kind].strands(at))
                if offer is not None:
                    self.ranked.append((potential, offer))
        return self.ranked[place]

    def _next(self) -> float:
        return max(self.pool[-1][0] if self.pool else -np.inf, self.shared[-1][0] if self.shared else -np.inf)

    def _widen(self) -> None:
        """Take more yarns into the pool, those that gain most."""
        first = not self.count
        self.count = MORE * self.count or (SHARERS if self.slot.divisible else FIRST)
        self.left_out = -np.inf
        pool: list[tuple[float, int, int]] = []
        for number, (kind, gains) in enumerate(zip(self.rated.kinds, self.gains, strict=True)):
            best = largest(gains, self.count + 1)
            if len(best) > self.count:
                self.left_out = max(self.left_out, float(gains[best.pop()]) + self.rest)
            potentials = self._potentials(kind, gains, best).tolist()
            pool += zip(potentials, [number] * len(best), best, strict=True)
        self.pool = sorted(own for own in pool if own[0] > -np.inf and own[1:] not in self.seen)
        if first:
            self.first, self.left_out_first = self.pool[::-1], self.left_out
            self.at_most = min(self.at_most, max(self._next(), self.left_out))

    def _whole(self, places: Places) -> Offer | None:
        """The offer of this yarn alone, if it suits and is long enough."""
        slot = self.slot
        if not slot.fits(places) or (slot.divisible and slot.longest(places) < slot.planned):
            return None
        return slot.offer(self.search.prices, [(places, slot.planned)])

    def _share_out(self) -> None:
        """Find offers of several yarns together, and what any of them gain at most."""
        count = SHARERS if self.search.limit > FEW else SHARERS // 3
        best = [(potential, self.rated.kinds[kind].strands(at)) for potential, kind, at in self.first[:count]]
        fitting = [
            (potential, places, self.slot.longest(places)) for potential, places in best if self.slot.fits(places)
        ]
        unranked = max(self.left_out_first, self.unlisted + self.rest)
        left_out = max(unranked, self.first[count][0] if len(self.first) > count else -np.inf)
        yarns = [places for _, places, _ in fitting]
        meets = self.search.inside.may_meet(self.slot.need, yarns)
        beside = ([fitting[at], *compress(fitting[at + 1 :], meets[at])] for at in range(len(fitting)))
        self.at_most = max([left_out, *(self._at_most(own, left_out) for own in beside)])
        self.listed = True
        if fitting and fitting[0][2] < self.slot.planned:
            found = self.slot.shared_out(self.search.prices, yarns, meets)
            self.shared = sorted(((gain + self.rest, lengths) for gain, lengths in found), key=lambda own: own[0])

    def _at_most(self, fitting: Sequence[tuple[float, Places, int]], left_out: float) -> float:
        """What the first of these gains at most with the others beside it, each as long as it can be, however many.

        From where these gain no more than what is `left_out`, the rest may come from yarns that are not among them.
        """
        gain, missing = 0.0, self.slot.planned
        for potential, _, longest in fitting:
            if not missing or potential <= left_out:
                break
            part = min(missing, longest)
            gain += part * (potential - self.rest) / self.slot.planned
            missing -= part
        return gain + self.rest + (missing * (left_out - self.rest) / self.slot.planned if missing else 0.0)

    def _potentials(self, kind: Kind, gains: Numbers, best: list[int]) -> Numbers:
        """For some yarns of a kind, what they and the slots after them gain at most beside what is chosen."""
        potential = gains[best]
        inside = self.search.inside
        for after, given in zip(range(self.place + 1, len(self.search.rated)), self.given, strict=True):
            contrasts = inside.contrasts[self.slot.need][inside.slots[after].need]
            beside = self.search.rated[after].beside(kind.shades.lightness[best], contrasts) if contrasts else given
            potential = potential + np.minimum(beside, given)
        return potential

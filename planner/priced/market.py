"""Prices for the lots, found by asking every project for its best way and weighing the ways against each other."""

from __future__ import annotations

import math
from dataclasses import dataclass, field, replace
from typing import TYPE_CHECKING

import numpy as np

from planner.priced.hands import Asked, Terms
from planner.priced.master import Master
from planner.priced.ways import GLANCE, LOOK, STUDY, Priced

if TYPE_CHECKING:
    import random
    from collections.abc import Callable, Iterator, Sequence

    from planner.priced.choice import Choice
    from planner.priced.hands import Hands
    from planner.priced.store import Numbers
    from planner.priced.ways import Inside, Way

CROWDED = 0.01  # of a lot: asked for by so much more than it holds, it is dearer by a yarn's worth
DRAWN = 0.3  # of a yarn's worth: what a lot is dearer by at most where prices are drawn
NEARER = 0.5  # how far prices go from the best of before to those of the last weighing
OPEN, LITTLE_OPEN = 0.0015, 0.0003  # of the worth: what may stay unproved of ways asked for at the same prices
OPEN_SHARE = 0.25  # likewise, of what the bound is above the worth
FULLEST = 1e5  # cm: as if all of a lot cost so much, so that the fullest is tried first
CM_IN_KM = 100_000
TIMES = 16  # while all are asked around: that lots grow dearer
NEW = 1e-7  # relative: a way that gains less more than the ways known is not new


@dataclass
class Market:
    """The projects still to be decided, and what is left for them.

    `insides` by making; `projects`: the project of each making; at `least` so many of the `musts` are made.
    """

    insides: Sequence[Inside]
    projects: Sequence[int]
    holds: Numbers
    musts: frozenset[int]
    least: int
    over: Callable[[], bool]
    hands: Hands
    ways: list[Way] = field(default_factory=list)
    first: list[Way] = field(default_factory=list)  # those found at the start, the likely large first
    worth: float = 0.0  # of the best weighing, ways chosen in part
    bound: float = field(init=False)
    center: tuple[Numbers, float] | None = None  # prices and favour of the best bound
    most: dict[int, float] = field(default_factory=dict)  # what each project gains at most at those

    def __post_init__(self) -> None:
        self._of: dict[int, list[Way]] = {inside.index: [] for inside in self.insides}
        self._own = {inside.index: project for inside, project in zip(self.insides, self.projects, strict=True)}
        self.master = Master(self._own, self.holds, self.musts, self.least)
        wants = sorted(inside.weight for inside in self.insides)
        tex = self.insides[0].store.tex if self.insides else np.zeros(len(self.holds))
        self.unit = (wants[len(wants) // 2] if wants else 0.0) * tex / CM_IN_KM  # a yarn's worth, for each cm of a lot
        rewards = {project: inside.reward for inside, project in zip(self.insides, self.projects, strict=True)}
        grams = float(self.holds @ tex) / CM_IN_KM
        self.bound = math.fsum(rewards.values()) + max(wants, default=0.0) * grams  # all there is, and everything made

    def project_of(self, way: Way) -> int:
        return self._own[way.making]

    def add(self, ways: Sequence[Way]) -> None:
        self.master.add(ways)
        self.ways += ways
        for way in ways:
            self._of[way.making].append(way)

    def start(self) -> None:
        """A few ways at a time, from what those before them left, those that could be worth most first."""
        took = np.zeros(len(self.holds))
        made: set[int] = set()
        ranked = sorted(self.insides, key=lambda own: (-own.could, own.index))
        for some in _runs(ranked):
            prices = self.unit * np.minimum(1.5 * took / np.maximum(self.holds, 1), 1.2)
            asked = [Asked(own.index, 0.0) for own in some if self._own[own.index] not in made]
            terms = Terms(prices, np.maximum(self.holds - took, 0.0), GLANCE, mixed=False)
            for found in self.hands.best(asked, terms, self.over):
                if found.way is not None and self.project_of(found.way) not in made:
                    made.add(self.project_of(found.way))
                    self.first.append(found.way)
                    for place, taken in found.way.takes.items():
                        took[place] += taken
        self.add(self.first)

    def spread(self, chance: random.Random | None = None) -> int:
        """Ask all at the prices of the last weighing, a lot asked for too often growing dearer; ways that are new.

        With `chance` prices are drawn around those, so that ways differ, and all that come of it are kept.
        """
        prices = self.master.prices
        if chance is not None:
            drawn = np.array([chance.random() for _ in range(2 * len(prices))]).reshape(2, -1)
            prices = prices * (0.5 + drawn[0]) + DRAWN * self.unit * drawn[1]
        took = np.zeros(len(self.holds))
        new = []
        for some in _runs(self.insides):
            crowded = self.unit * np.maximum(took / np.maximum(self.holds, 1) - 1, 0) / CROWDED
            for found, asked in self._asked(some, prices + crowded, GLANCE):
                if asked.way is not None and asked.gain + self._favour(asked.way) > 0:
                    for place, taken in asked.way.takes.items():
                        took[place] += taken
                if found.way is not None and (chance is not None or self._is_new(found.way)):
                    new.append(found.way)
        self.add(new)
        return len(new)

    def find(self) -> None:
        """For every making without a way any that there is."""
        prices = self.unit.max(initial=0) * FULLEST / np.maximum(self.holds, 1)
        for inside in self.insides:
            if not self._of[inside.index] and inside.possible and not inside.impossible and not self.over():
                way = inside.any(prices, self.holds).way
                self.add([] if way is None else [way])

    def prove(self, *, closely: bool = True, steps: int = LOOK, left_open: float = OPEN) -> None:
        """Ask all at the same prices, which bounds what can be reached.

        `closely`: again with more patience, until a share of the worth is `left_open`.
        """
        prices, favour = self.master.prices, self.master.favour
        if self.center is not None:
            prices = self.center[0] + NEARER * (prices - self.center[0])
            favour = self.center[1] + NEARER * (favour - self.center[1])
        found = [best for _, best in self._asked(self.insides, prices, steps)]
        bound, _ = self._bound(found, prices, favour)
        unproved = [max(own.most, 0.0) - max(own.gain, 0.0) for own in found]
        allowed = max(left_open * abs(self.worth), OPEN_SHARE * (bound - self.worth))
        open_still = math.fsum(unproved)
        for place in sorted(range(len(found)), key=lambda place: -unproved[place]):
            if not closely or open_still <= allowed or self.over():
                break
            open_still -= unproved[place]
            known = self._known(self.insides[place].index, prices)
            found[place] = _best(self.insides[place].best(prices, self.holds, STUDY, above=known.gain), known)
        new = [own.way for own in found if own.way is not None and self._is_new(own.way)]
        bound, most = self._bound(found, prices, favour)
        if bound < self.bound:
            self.bound, self.center, self.most = bound, (prices, favour), most
        self.add(new)

    def _bound(self, found: Sequence[Priced], prices: Numbers, favour: float) -> tuple[float, dict[int, float]]:
        """What no choice is worth more than: all the lots at their prices, and what each project gains at most."""
        most = dict.fromkeys(self.projects, 0.0)
        for project, own in zip(self.projects, found, strict=True):
            most[project] = max(most[project], own.most + favour * (project in self.musts))
        return float(prices @ self.holds) + math.fsum(most.values()) - favour * self.least, most

    def _asked(self, insides: Sequence[Inside], prices: Numbers, steps: int) -> list[tuple[Priced, Priced]]:
        """For each the way found, if one is better than those known, and the best of both, at these prices."""
        known = [self._known(inside.index, prices) for inside in insides]
        asked = [Asked(inside.index, own.gain) for inside, own in zip(insides, known, strict=True)]
        found = self.hands.best(asked, Terms(prices, self.holds, steps), self.over)
        return [(own, _best(own, before)) for own, before in zip(found, known, strict=True)]

    def _known(self, making: int, prices: Numbers) -> Priced:
        """The best way known for a making, at these prices."""
        ways = [(way.gain(prices), way) for way in self._of[making]]
        gain, way = max(ways, key=lambda own: own[0], default=(-np.inf, None))
        return Priced(way, gain, np.inf)

    def weigh(self) -> None:
        self.worth = self.master.solve()

    def regret(self, making: int, choice: Choice) -> float:
        """How much less a project gains as chosen than the prices say that it could."""
        way = choice.ways.get(making)
        if way is None and self._own[making] in choice.made:
            return 0.0
        could = float(self.master.gains[self.master.row[making]])
        return could - (0.0 if way is None else self._gain(way))

    def _gain(self, way: Way) -> float:
        return way.gain(self.master.prices) + self._favour(way)

    def _favour(self, way: Way) -> float:
        return self.master.favour * (way.making in self.master.musts)

    def _is_new(self, way: Way) -> bool:
        return bool(self._gain(way) > self.master.gains[self.master.row[way.making]] + NEW * max(1.0, abs(way.worth)))


def _runs(insides: Sequence[Inside]) -> Iterator[Sequence[Inside]]:
    """A few after a few."""
    size = max(1, len(insides) // TIMES)
    return (insides[start : start + size] for start in range(0, len(insides), size))


def _best(found: Priced, known: Priced) -> Priced:
    """The better of a way found and the best known: what is found gains more. Nothing gains more than was found out."""
    return found if found.way is not None else replace(known, most=found.most)

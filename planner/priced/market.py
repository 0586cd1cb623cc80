"""Prices for the lots, found by asking every project for its best way and weighing the ways against each other."""

from __future__ import annotations

import math
from dataclasses import dataclass, field
from typing import TYPE_CHECKING

import numpy as np

from planner.priced.master import Master

if TYPE_CHECKING:
    from collections.abc import Callable, Sequence

    from planner.priced.store import Numbers
    from planner.priced.ways import Inside, Way

CROWDED = 0.5  # of a yarn's worth: what a lot asked for twice over is dearer by
NEARER = 0.5  # how far prices go from the best of before to those of the last weighing
NEW = 1e-7  # relative: a way that gains less more than the ways known is not new


@dataclass
class Market:
    """The projects still to be decided, and what is left for them.

    `insides` by making; `projects`: the project of each making; `needed`: those that must be made.
    """

    insides: Sequence[Inside]
    projects: Sequence[int]
    holds: Numbers
    needed: frozenset[int]
    over: Callable[[], bool]
    ways: list[Way] = field(default_factory=list)
    worth: float = 0.0  # of the best weighing, ways chosen in part
    bound: float = math.inf
    center: Numbers | None = None

    def __post_init__(self) -> None:
        self._own = {inside.index: project for inside, project in zip(self.insides, self.projects, strict=True)}
        self.master = Master(self._own, self.holds, self.needed)
        store = self.insides[0].store
        wants = sorted(inside.weight for inside in self.insides)
        self.unit = max(wants[len(wants) // 2], 1e-9) * store.tex / 1000

    def project_of(self, way: Way) -> int:
        return self._own[way.making]

    def add(self, ways: Sequence[Way]) -> None:
        self.master.add(ways)
        self.ways += ways

    def start(self) -> None:
        """One way after another, each from what those before it left, those that could be worth most first."""
        left, took = self.holds.copy(), np.zeros(len(self.holds))
        most = [
            inside.reward + sum(slot.rate * slot.planned for slot in inside.slots) for inside in self.insides
        ]
        made: set[int] = set()
        ways = []
        for index in sorted(range(len(self.insides)), key=lambda own: (-most[own], own)):
            if self.projects[index] in made or self.over():
                continue
            prices = self.unit * np.minimum(1.5 * took / np.maximum(self.holds, 1), 1.2)
            found = self.insides[index].best(prices, left, mixed=False, closely=False)
            if found.way is not None and found.gain > 0:
                made.add(self.projects[index])
                ways.append(found.way)
                for place, taken in found.way.takes.items():
                    left[place] -= taken
                    took[place] += taken
        self.add(ways)

    def spread(self) -> int:
        """Ask all at the prices of the last weighing, a lot asked for too often growing dearer; ways that are new."""
        prices = self.master.prices
        took = np.zeros(len(self.holds))
        new = []
        for index, inside in enumerate(self.insides):
            if self.over():
                break
            crowded = CROWDED * self.unit * np.maximum(took / np.maximum(self.holds, 1) - 1, 0)
            found = inside.best(prices + crowded, self.holds, closely=False)
            if found.way is not None and found.gain > 0:
                for place, taken in found.way.takes.items():
                    took[place] += taken
            if found.way is not None and self._is_new(found.way):
                new.append(found.way)
        self.add(new)
        return len(new)

    def prove(self) -> int:
        """Ask all at the same prices, which bounds what can be reached; ways that are new."""
        prices = self.master.prices
        if self.center is not None:
            prices = self.center + NEARER * (prices - self.center)
        most = dict.fromkeys(self.projects, 0.0) | dict.fromkeys(self.needed, -math.inf)
        new = []
        for index, inside in enumerate(self.insides):
            if self.over():
                return 0
            found = inside.best(prices, self.holds)
            project = self.projects[index]
            most[project] = max(most[project], found.most)
            if found.way is not None and self._is_new(found.way):
                new.append(found.way)
        bound = float(prices @ self.holds) + math.fsum(most.values())
        if bound < self.bound:
            self.bound, self.center = bound, prices
        self.add(new)
        return len(new)

    def weigh(self) -> None:
        self.worth = self.master.solve()

    def _is_new(self, way: Way) -> bool:
        gain = way.worth - sum(self.master.prices[place] * taken for place, taken in way.takes.items())
        return bool(gain > self.master.gains[self.master.row[way.making]] + NEW * max(1.0, abs(way.worth)))

"""The best way to make one project in one size at given prices, by every rule that holds inside a project."""

from __future__ import annotations

import math
from dataclasses import dataclass, field, replace
from itertools import combinations
from typing import TYPE_CHECKING

import numpy as np

from planner.instance import setting_of
from planner.pairs import may_meet, rises
from planner.priced.searching import Search
from planner.priced.slots import Slot
from planner.shades import within_each_other
from planner.shelf import washed_together

if TYPE_CHECKING:
    from collections.abc import Callable, Mapping, Sequence

    from planner.instance import Making
    from planner.priced.offers import Offer, Run
    from planner.priced.rated import Places
    from planner.priced.store import Numbers, Store

MORE_PATIENCE, MOST_PATIENCE = 4, 16  # times the steps, where they did not show whether there is any way
GLANCE, LOOK, STUDY = 15, 100, 2000  # steps in the search for offers that may stand together
TWOS = 4  # times as many yarns of two lots looked at


@dataclass(frozen=True)
class Way:
    """One way to make a project in one size: its runs, its worth in the aim's unit, what it takes of each lot in cm."""

    making: int
    worth: float
    runs: tuple[Run, ...]
    takes: Mapping[int, float]

    def cost(self, prices: Numbers) -> float:
        """What it takes, at prices for a cm of each lot."""
        return math.fsum(float(prices[place]) * taken for place, taken in self.takes.items())

    def gain(self, prices: Numbers) -> float:
        """What it is worth more than it costs."""
        return self.worth - self.cost(prices)


@dataclass(frozen=True)
class Priced:
    """The best way found at prices, its gain, and what no way gains more than."""

    way: Way | None
    gain: float
    most: float


NOTHING = Priced(None, -np.inf, -np.inf)


@dataclass
class Inside:
    """The rules inside one project in one size; `reward`: what making it is worth beside its yarn."""

    store: Store
    index: int
    making: Making
    reward: float
    weight: float  # worth of a gram
    over: Callable[[], bool] = bool  # whether time is up; never, unless told
    beside: Sequence[Offer] = ()  # what stands in the project already
    _meets: dict[tuple[int, int], dict[tuple[Places, Places], bool]] = field(default_factory=dict)

    def __post_init__(self) -> None:
        self.impossible, self.patience = False, 1
        self.slots: list[Slot] = []
        for place, sized in enumerate(self.making.needs):
            setting = setting_of(self.making.project, self.making.pattern, sized.need)
            rate = self.weight * float(sized.need_m / sized.planned_cm) / 1000
            steps = range(1) if sized.divisible else range(len(sized.stretches))
            self.slots += [Slot(self.store, sized, place, step, setting, rate) for step in steps]
        self.meetings = self.making.meetings
        self.contrasts = [[meeting.contrasts for meeting in row] for row in self.meetings]
        self.matches = [[own.one.lots.match if own.one_need else None for own in row] for row in self.meetings]
        self.washed = washed_together(self.making.pattern.wash)

    @property
    def could(self) -> float:
        """Roughly what making it could be worth, for a yarn of a tex of 1."""
        return self.reward + math.fsum(slot.rate * slot.planned for slot in self.slots)

    @property
    def possible(self) -> bool:
        """Whether anything is there for every stretch."""
        return all(slot.possible for slot in self.slots)

    def best(
        self,
        prices: Numbers,
        holds: Numbers,
        steps: int = STUDY,
        *,
        mixed: bool = True,
        above: float = -np.inf,
        any_will_do: bool = False,
    ) -> Priced:
        """The best way at prices for a cm of each lot, taking no more of a lot than it `holds`.

        `steps`: of the search, more of a STUDY where it did not show whether there is any; `mixed` looks at yarns of
        several lots too; a way that gains no more than what is `above` is not looked for.
        """
        if self.impossible or not self.possible:
            return NOTHING
        tries = steps * (self.patience if steps == STUDY else 1)
        rated = [
            slot.rated(prices, holds, mixed=mixed, twos=TWOS * tries, quick=steps <= GLANCE) for slot in self.slots
        ]
        search = Search(self, rated, prices, holds, tries, any_will_do=any_will_do)
        search.gain = above - self.reward
        search.run()
        if search.best is None and steps == STUDY and above == -np.inf:
            self.impossible = search.most == -np.inf and mixed  # nothing was left untried, and lots only lose
            self.patience = min(MORE_PATIENCE * self.patience, MOST_PATIENCE)
        most = max(search.most, search.gain) + self.reward
        if search.best is None:
            return Priced(None, -np.inf, most)
        runs = tuple(run for offer in search.best for run in offer.runs)
        takes = _sum(search.best)
        gain = search.gain + self.reward
        way = Way(self.index, gain, runs, takes)
        return Priced(replace(way, worth=gain + way.cost(prices)), gain, most)

    def any(self, prices: Numbers, holds: Numbers, *, mixed: bool = True) -> Priced:
        """A way; where it is not settled soon whether there is one, looked for from every stretch on in turn."""
        found = self.best(prices, holds, LOOK, mixed=mixed, any_will_do=True)
        order = self.slots
        for first in order:
            if found.way is not None or self.impossible or self.over():
                break
            self.slots = [first, *(slot for slot in order if slot is not first)]
            self.patience = 1
            found = self.best(prices, holds, any_will_do=True)
        self.slots = order
        return found

    def worth(self, runs: Sequence[Run]) -> float:
        """What a way with these runs is worth in the aim's unit."""
        rates = {slot.need: slot.rate for slot in self.slots}
        tex = self.store.tex
        grams = (rates[r.need] * r.length_cm * float(tex[list(r.strands)].sum()) for r in runs)
        return self.reward + math.fsum(grams)

    def may_stand(self, one: tuple[int, Places], other: tuple[int, Places]) -> bool:
        """Whether a yarn in one need may stand beside another in another."""
        (a, strands), (b, others) = one, other
        known = self._meets.get((a, b))
        if known is None:
            known = self._meets[a, b] = self.store.shelf.meets(self.meetings[a][b])
        may = known.get((strands, others))
        if may is None:
            shelf = self.store.shelf
            may = known[strands, others] = may_meet(self.meetings[a][b], shelf.yarn(strands), shelf.yarn(others))
        return may

    def may_meet(self, need: int, yarns: Sequence[Places]) -> list[list[bool]]:
        """For each yarn in a need: whether each of those after it may stand beside it."""
        match = self.matches[need][need]
        near = np.ones((len(yarns), len(yarns)), dtype=bool)
        if match is not None and yarns:
            near = within_each_other(np.array([self.store.shelf.yarn(own).colour.lab for own in yarns]).T, match)
        count, hopeful = range(len(yarns)), near.tolist()
        return [
            [
                hopeful[at][other] and self.may_stand((need, yarns[at]), (need, yarns[other]))
                for other in count[at + 1 :]
            ]
            for at in count
        ]

    def may_all_stand(self, runs: Sequence[Run]) -> bool:
        """Whether every run may stand beside every other."""
        return all(self.may_stand((a.need, a.strands), (b.need, b.strands)) for a, b in combinations(runs, 2))

    def may_be(self, offers: Sequence[Offer]) -> bool:
        """Rules on all the yarns of a project together: same-as, joins, one direction of a fade."""
        shelf, needs = self.store.shelf, self.making.needs
        named = {sized.need.name: place for place, sized in enumerate(needs)}
        runs = [run for offer in offers for run in offer.runs]
        for place, sized in enumerate(needs):
            own = {run.strands for run in runs if run.need == place}
            for target in sized.need.colour.same_as:
                if target in named and not own <= {run.strands for run in runs if run.need == named[target]}:
                    return False
            joins = sum(offer.joins for offer in offers if offer.runs[0].need == place)
            if sized.need.joins is not None and joins > sized.need.joins:
                return False
        by_step = [[run for run in runs if run.need == named[name]] for name in self.making.order]
        ways = {
            rises(shelf.yarn(a.strands), shelf.yarn(b.strands))
            for place, before in enumerate(by_step)
            for after in by_step[place + 1 :]
            for a in before
            for b in after
        }
        return len(ways) <= 1


def _sum(offers: Sequence[Offer]) -> dict[int, float]:
    takes: dict[int, float] = {}
    for offer in offers:
        for place, taken in offer.takes.items():
            takes[place] = takes.get(place, 0.0) + taken
    return takes

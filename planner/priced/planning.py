"""Plan for a large stash: ways to make each project at prices, the best of them together, cut and made better."""

from __future__ import annotations

import math
import random
import time
from collections import defaultdict
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

import numpy as np

from planner import instance as instances
from planner.collecting import seldom_collecting
from planner.plan import PlannedNeed, PlannedProject
from planner.planning import Reached
from planner.priced.choice import Choice
from planner.priced.choosing import dive, fill, improve
from planner.priced.fewest import fewest
from planner.priced.hands import Hands, hands
from planner.priced.market import LITTLE_OPEN, OPEN, Market
from planner.priced.sparing import spare
from planner.priced.store import Store
from planner.priced.swapping import swap
from planner.priced.ways import LOOK, Inside

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator, Sequence
    from fractions import Fraction

    from patterns.projects import Project
    from planner.instance import Instance, Making
    from planner.priced.ways import Way
    from planner.shelf import Shelf
    from planner.stages import Limits
    from planner.workspace import Workspace

ENOUGH = 0.001  # share of the worth: what asking around again has to bring
CLOSE = 0.002  # of the bound: how near the weighing comes to it, at most
GOOD = 0.01  # of the bound: near enough where nobody asked for nearer
SPREADS, ROUNDS, PROOFS = 12, 15, 3  # at most
SHARES, MORE_SHARES = (1.0, 0.5, 0.0), (1.0, 0.8, 0.6, 0.4, 0.2, 0.0)  # of the prices, at which ways are swapped
UNMADE = 8  # of what is not made: decided anew with its neighbours
NEARING = 0.05  # of what the bound is above the weighing: what proving again has to bring
LITTLE = 0.0001  # of the worth: what a round has to bring
TOGETHER = (10, 16, 24)  # projects decided anew together, in turn
TRIES = 240  # of that, at most
SEED = 1
WHOLE = 1e-6


@dataclass
class _Question:
    instance: Instance
    shelf: Shelf
    limits: Limits
    began: float

    def __post_init__(self) -> None:
        self.least = min(
            (stretch.least_cm for making in self.instance.makings for own in making.needs for stretch in own.stretches),
            default=1,
        )
        self.holds = Store(self.shelf, self.instance.stock).holds(self.least)
        names = list(dict.fromkeys(making.project.name for making in self.instance.makings))
        number = {name: place for place, name in enumerate(names)}
        self.projects = [number[making.project.name] for making in self.instance.makings]
        self.musts = frozenset(number[m.project.name] for m in self.instance.makings if m.project.must)

    def insides(self, aim: str, *, musts: bool = False) -> list[Inside]:
        """Every making, or those of the `musts` alone, worth what the aim counts."""
        store = Store(self.shelf, self.instance.stock)
        return [
            Inside(
                store,
                index,
                making,
                1.0 if aim == "projects" else 0.0,
                float(making.project.want) if aim == "grams" else 0.0,
                over=self.over,
            )
            for index, making in enumerate(self.instance.makings)
            if not musts or self.projects[index] in self.musts
        ]

    def nothing(self) -> Choice:
        """Nothing chosen yet."""
        return Choice(self.instance, {}, self.projects, self.shelf, self.holds.copy(), self.least)

    def over(self) -> bool:
        return self.limits.over

    def late(self) -> bool:
        """Whether it is time to choose, if anything is to be made better afterwards."""
        deadline = self.limits.deadline
        return self.over() or (deadline is not None and time.monotonic() > (self.began + deadline) / 2)


@seldom_collecting()
def search(
    workspace: Workspace, projects: Sequence[Project], confidence: Fraction, aim: str, limits: Limits
) -> Reached:
    """The best plan found. `aim`: grams or projects."""
    outlined, shelf = instances.outline(workspace.stash, workspace.patterns, projects, confidence)
    question = _Question(outlined, shelf, limits, time.monotonic())
    musts = question.insides("projects", musts=True)
    first, must_bound = _Searching(question, musts, 0, target=0.0).run() if musts else (question.nothing(), 0.0)
    searching = _Searching(question, question.insides(aim), len(first.made), limits.relative_gap or GOOD)
    choice, bound = searching.run(list(first.ways.values()))
    if aim == "projects":
        choice = _most_grams(question, choice)
    spare(choice, question.over)
    must = len(choice.made & question.musts)
    could = math.floor(min(must_bound, len(question.musts)) + WHOLE)
    value = float(len(choice.made)) if aim == "projects" else choice.worth
    return Reached(_planned(question, choice), must, could, value, bound, searching.fewest)


def _most_grams(question: _Question, choice: Choice) -> Choice:
    """The same projects made, of ways that use more yarn where there are such."""
    insides = {inside.index: inside for inside in question.insides("grams")}
    ways = {making: replace(way, worth=insides[making].worth(way.runs)) for making, way in choice.ways.items()}
    heavier = replace(choice, insides=insides, ways=ways)
    swap(heavier, np.zeros(len(choice.left)), question.over, Hands(list(insides.values())))
    return heavier


@dataclass
class _Searching:
    """The best ways for some makings together; `least`: of the musts that are made, `target`: share near enough."""

    question: _Question
    insides: list[Inside]
    least: int
    target: float
    fewest: int | None = None  # lots and joins that any plan worth as much as the choice takes at least
    proving: bool = True  # whether asking again could show that it is less

    def run(self, known: Sequence[Way] = ()) -> tuple[Choice, float]:
        """The choice and what no choice is better than. `known`: ways to make so many musts, together."""
        question = self.question
        with hands(self.insides, question.instance, question.shelf) as every:
            return self._run(known, every)

    def _run(self, known: Sequence[Way], every: Hands) -> tuple[Choice, float]:
        question = self.question
        projects = [question.projects[inside.index] for inside in self.insides]
        market = Market(self.insides, projects, question.holds, question.musts, self.least, question.late, every)
        by_index = {inside.index: inside for inside in self.insides}
        known = [replace(way, worth=by_index[way.making].worth(way.runs)) for way in known]
        market.add(known)
        self._ask_around(market)
        market.over = question.over
        self._prove(market, closely=False)
        choice = replace(question.nothing(), insides=by_index)
        dive(choice, market)
        if len(choice.made & question.musts) < self.least:
            choice = self._one_by_one(known, by_index)
            dive(choice, market)
        self._tell(choice.worth, market.bound)
        choice = self._swapped(choice, market, SHARES)
        self._better(choice, market, self._unmade(choice, market))
        self._prove_more(choice, market)
        for _ in range(ROUNDS):
            before = market.bound - choice.worth
            choice = self._swapped(choice, market, MORE_SHARES)
            self._prove_more(choice, market)
            if before - (market.bound - choice.worth) <= LITTLE * abs(choice.worth):
                break
        if question.over():
            fill(choice, sorted(by_index), market.ways, question.over)
        if question.over() or self._far(choice, market):
            other = self._one_by_one([*known, *market.first], by_index)
            choice = max(choice, other, key=lambda one: one.order(question.musts))
        self._better(choice, market, self._any(choice, market))
        self.fewest = fewest(market, choice.worth, question.over)
        return choice, market.bound

    def _swapped(self, choice: Choice, market: Market, shares: Sequence[float]) -> Choice:
        """The choice with its ways swapped at lower and lower prices, if it is still far and that makes it better."""
        if not self._far(choice, market):
            return choice
        prices = market.center[0] if market.center else market.master.prices
        tried = choice.copy()
        best = choice
        for share in shares:
            swap(tried, share * prices, self.question.over, market.hands)
            best = max(choice, tried, key=lambda one: one.order(self.question.musts))
            if not self._far(best, market):
                break
        self._tell(best.worth, market.bound)
        return best

    def _far(self, choice: Choice, market: Market) -> bool:
        near = WHOLE if any(inside.weight for inside in self.insides) else 1 - WHOLE  # projects come whole
        return not self.question.over() and market.bound - choice.worth > self.target * abs(market.bound) + near

    def _one_by_one(self, ways: Sequence[Way], insides: dict[int, Inside]) -> Choice:
        """These ways as far as they can be cut, then whatever else can be made, the likely large first."""
        choice = replace(self.question.nothing(), insides=insides)
        for way in ways:
            if self.question.projects[way.making] not in choice.made:
                choice.take(way)
        fill(choice, sorted(insides, key=lambda making: (-insides[making].could, making)), (), self.question.over)
        return choice

    def _ask_around(self, market: Market) -> None:
        """Ask all for ways at prices that come of their ways, until little comes of it."""
        market.start()
        market.find()
        market.weigh()
        for _ in range(SPREADS):
            before = market.worth
            if market.bound - before <= WHOLE or not market.spread():  # all there is can be made, or nothing is new
                return
            market.weigh()
            if market.worth - before <= ENOUGH * abs(market.worth):
                return

    def _prove(self, market: Market, *, closely: bool = True, left_open: float = OPEN) -> None:
        """Prove how good it could be."""
        if market.bound - market.worth <= WHOLE or self.question.over():
            self.proving = False
            return
        before = market.bound - market.worth
        market.hands.know({}, len(self.insides))
        late = self.question.late()  # something is to be known, and something found in what time there is
        market.prove(closely=closely and not late, steps=1 if late and not market.most else LOOK, left_open=left_open)
        market.weigh()
        self.proving = market.bound - market.worth < (1 - NEARING) * before

    def _prove_more(self, choice: Choice, market: Market) -> None:
        """Prove it again while the bound is far from the weighing, or the choice near enough to that."""
        for _ in range(PROOFS):
            near = choice.worth >= (1 - self.target) * market.worth
            apart = market.bound - market.worth > min(CLOSE, self.target / 4) * abs(market.bound)
            if not (self.proving and (near or apart) and self._far(choice, market)):
                return
            self._prove(market, left_open=LITTLE_OPEN if near else OPEN)

    def _better(self, choice: Choice, market: Market, starts: Iterable[int]) -> None:
        """Decide some projects anew, one and those that share lots with it, then others, until it is good."""
        ways: dict[int, list[Way]] = defaultdict(list)
        for way in market.ways:
            ways[way.making].append(way)
        chance = random.Random(SEED)  # noqa: S311 (which to try with it, alike on every machine)
        for tries, start in enumerate(starts):
            if not self._far(choice, market):
                return
            together = _neighbours(start, choice, ways, chance, TOGETHER[tries % len(TOGETHER)])
            improve(choice, together, [way for making in together for way in ways[making]], market, chance)
            self._tell(choice.worth, market.bound)

    def _unmade(self, choice: Choice, market: Market) -> list[int]:
        """What is not made though the prices say that it could be, what gains most first."""
        regrets = {own.index: market.regret(own.index, choice) for own in self.insides if own.index not in choice.ways}
        ranked = sorted(regrets, key=lambda making: (-regrets[making], making))
        return [making for making in ranked if regrets[making] > WHOLE][:UNMADE]

    def _any(self, choice: Choice, market: Market) -> Iterator[int]:
        """One that has much to gain, and any, in turn."""
        chance = random.Random(SEED)  # noqa: S311 (which to try next, alike on every machine)
        for tries in range(TRIES):
            regrets = [1.0 if tries % 2 else max(market.regret(own.index, choice), WHOLE) for own in self.insides]
            yield chance.choices(self.insides, regrets)[0].index

    def _tell(self, value: float, bound: float) -> None:
        if self.question.limits.progress is not None and self.target:  # how many musts there can be is soon known
            self.question.limits.progress(-value, -bound, time.monotonic() - self.question.began)


def _neighbours(start: int, choice: Choice, ways: dict[int, list[Way]], chance: random.Random, count: int) -> list[int]:
    """A making and those that have most lots in common with the ways known for it, so many in all."""
    wanted = {place for way in ways[start] for place in way.takes}
    shared = {making: len(wanted & way.takes.keys()) for making, way in choice.ways.items() if making != start}
    ranked = sorted(shared, key=lambda making: (-shared[making], chance.random()))
    own = {start, *ranked[: count - 1]}
    return sorted(own)


def _planned(question: _Question, choice: Choice) -> dict[str, PlannedProject]:
    """What was chosen and cut, by the name of the project; of copies that are alike the first are made."""
    copies: dict[str, list[str]] = defaultdict(list)
    for name in dict.fromkeys(making.project.name for making in question.instance.makings):
        copies[name.partition("#")[0]].append(name)
    found = {}
    for index, way in sorted(choice.ways.items()):
        making = question.instance.makings[index]
        name = copies[making.project.name.partition("#")[0]].pop(0)
        found[name] = _project(choice, name, making, way)
    return found


def _project(choice: Choice, name: str, making: Making, way: Way) -> PlannedProject:
    needs = []
    for place, sized in enumerate(making.needs):
        runs = tuple(choice.run(way, number) for number, run in enumerate(way.runs) if run.need == place)
        needs.append(PlannedNeed(sized.need.name, sized.planned_cm, runs))
    return PlannedProject(name, making.pattern.id, making.size, tuple(needs))

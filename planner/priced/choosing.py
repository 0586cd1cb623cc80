"""One way for each project, cut from the pieces: chosen from the weighed ways, then made better a few at a time."""

from __future__ import annotations

import math
from collections import defaultdict
from dataclasses import dataclass, field, replace
from typing import TYPE_CHECKING

import numpy as np

from planner.instance import END_CM
from planner.priced.benches import Bench, Strand
from planner.priced.market import Market
from planner.priced.ways import LOOK
from planner.program import Program, Row
from planner.solve import solve

if TYPE_CHECKING:
    import random
    from collections.abc import Callable, Iterable, Mapping, Sequence

    from planner.instance import Instance
    from planner.priced.store import Numbers, Store
    from planner.priced.ways import Inside, Way
    from planner.shelf import Shelf

SETTLED = 0.99  # a way chosen as good as whole
EACH_TIME = 0.2  # of the projects left: fixed before the rest is weighed again
AT_LEAST = 10
FIT = 1e-6  # cm
AGAIN = 6  # times that what cannot be cut is left out and the best looked for again
DRAWS = 3  # times that a few projects are asked for other ways
NODES = 50  # of the search for the best of the known ways of a few projects


@dataclass
class Choice:
    """The ways chosen so far, by making, and what they leave of the lots."""

    instance: Instance
    insides: Mapping[int, Inside]  # by making
    projects: Sequence[int]  # of each making
    shelf: Shelf
    left: Numbers
    least_cm: int
    ways: dict[int, Way] = field(default_factory=dict)
    benches: dict[int, Bench] = field(default_factory=dict)

    @property
    def worth(self) -> float:
        return math.fsum(way.worth for way in self.ways.values())

    @property
    def made(self) -> set[int]:
        return {self.projects[making] for making in self.ways}

    def order(self, musts: frozenset[int]) -> tuple[int, float]:
        """The larger the better: how many of these are made, and the worth."""
        return len(self.made & musts), round(self.worth, 6)

    def has(self, way: Way) -> bool:
        """Whether there is as much left as the way takes, pieces aside."""
        return all(taken <= self.left[place] + FIT for place, taken in way.takes.items())

    def take(self, way: Way) -> bool:
        """Choose this way if it can be cut from what is left."""
        if not self.has(way):
            return False
        taken_from: list[int] = []
        for place, strands in self._strands(way).items():
            if not self.bench(place).take(strands):
                for done in taken_from:
                    self.bench(done).give_back(way.making)
                return False
            taken_from.append(place)
        if not self._joined(way):
            for done in taken_from:
                self.bench(done).give_back(way.making)
            return False
        self.ways[way.making] = way
        self._count(taken_from)
        return True

    def pieces(self, way: Way, number: int) -> list[tuple[int, int, int, int]]:
        """Of a run of a way: strand from 1, lot, place of the piece in the lot, cm given."""
        return sorted(
            (strand, lot, place, given)
            for lot in set(way.runs[number].strands)
            for (making, run, strand, _), cut in self.bench(lot).cut.items()
            if (making, run) == (way.making, number)
            for place, given in cut
        )

    def _joined(self, way: Way) -> bool:
        """Whether no need has more joins than it may."""
        for place, sized in enumerate(self.instance.makings[way.making].needs):
            if sized.need.joins is not None:
                numbers = [number for number, run in enumerate(way.runs) if run.need == place]
                pieces = sum(len(self.pieces(way, number)) for number in numbers)
                if pieces - sum(len(way.runs[number].strands) for number in numbers) > sized.need.joins:
                    return False
        return True

    def holds(self, way: Way, place: int) -> bool:
        """Whether what the way takes of one lot can be cut from it."""
        return replace(self.bench(place)).take(self._strands(way)[place])

    def give_back(self, making: int) -> Way:
        way = self.ways.pop(making)
        for place in way.takes:
            self.bench(place).give_back(making)
        self._count(way.takes)
        return way

    def put_back(self, way: Way, benches: Mapping[int, Bench]) -> None:
        """Choose a way again that was given back, its lots cut as these were."""
        self.ways[way.making] = way
        self.benches |= {place: benches[place] for place in way.takes}
        self._count(way.takes)

    def tell(self, store: Store, places: Iterable[int] | None = None) -> None:
        """What is left of every lot, or of these alone."""
        if places is None:
            store.hold_all({place: bench.left() for place, bench in self.benches.items()})
        else:
            store.hold({place: self.bench(place).left() for place in places})

    def copy(self) -> Choice:
        benches = {place: replace(bench) for place, bench in self.benches.items()}
        return replace(self, ways=dict(self.ways), benches=benches, left=self.left.copy())

    def bench(self, place: int) -> Bench:
        if place not in self.benches:
            self.benches[place] = Bench(self.instance.stock[self.shelf.lots[place].id])
        return self.benches[place]

    def _count(self, places: Iterable[int]) -> None:
        for place in places:
            self.left[place] = sum(rest for rest in self.bench(place).left() if rest >= self.least_cm + END_CM)

    def _strands(self, way: Way) -> dict[int, list[Strand]]:
        found: dict[int, list[Strand]] = defaultdict(list)
        for number, run in enumerate(way.runs):
            stretch = self.instance.makings[way.making].needs[run.need].stretches[run.step]
            lots = self.shelf.lots
            for strand, place in enumerate(sorted(run.strands, key=lambda place: lots[place].id), 1):
                owner = (way.making, number, strand, place)
                found[place].append(Strand(owner, run.length_cm, stretch.least_cm))
        return found


def dive(choice: Choice, market: Market) -> None:
    """Fix the ways chosen most nearly whole, those that must be first, weigh the rest again, until none fits."""
    ways, values = list(market.ways), list(market.master.values)
    while True:
        ranked = sorted(
            (
                (choice.projects[way.making] in market.musts, value, way.worth, -number)
                for number, (way, value) in enumerate(zip(ways, values, strict=True))
                if value > FIT
            ),
            reverse=True,
        )
        undecided = [i for i in choice.insides if choice.projects[i] not in choice.made]
        quota, fixed, uncut = max(AT_LEAST, int(EACH_TIME * len(undecided))), 0, set[int]()
        for _, value, _, place in ranked:
            if value < SETTLED and fixed >= quota:
                break
            way = ways[-place]
            if choice.projects[way.making] not in choice.made:
                if choice.take(way):
                    fixed += 1
                else:
                    uncut.add(id(way))
        ways = [way for way in ways if id(way) not in uncut]
        rest = _market(choice, [i for i in undecided if choice.projects[i] not in choice.made], ways, market)
        if not fixed or not rest.ways:
            return
        rest.weigh()
        ways, values = rest.ways, list(rest.master.values)


def _market(choice: Choice, makings: Sequence[int], ways: Iterable[Way], whole: Market) -> Market:
    """A market of some projects for what is left, with the ways of theirs that fit."""
    insides, projects = [choice.insides[i] for i in makings], [choice.projects[i] for i in makings]
    rest = Market(insides, projects, choice.left.copy(), frozenset(), 0, whole.over)
    own = set(makings)
    rest.add([way for way in ways if way.making in own and choice.has(way)])
    return rest


def improve(choice: Choice, makings: Sequence[int], ways: Sequence[Way], market: Market, chance: random.Random) -> bool:
    """Decide some projects anew together, by the best of their known ways and of new ones; whether it was better."""
    best = as_it_was = choice.copy()
    before = [choice.give_back(making) for making in makings if making in choice.ways]
    rest = _market(choice, makings, [*before, *ways], market)
    choice.tell(choice.insides[makings[0]].store)
    for making in makings:
        choice.insides[making].look_again()
    rest.weigh()
    if rest.spread():
        rest.weigh()
    for _ in range(DRAWS):
        rest.spread(chance)
    musts = {making for making in makings if choice.projects[making] in market.musts}
    least, cuttable = sum(way.making in musts for way in before), list(rest.ways)
    for _ in range(AGAIN):
        tried = choice.copy()
        chosen = sorted(_best(rest, cuttable, musts, least), key=lambda way: (way.making not in musts, -way.worth))
        uncut = {id(way) for way in chosen if not tried.take(way)}
        fill(tried, makings, rest.ways, market.over)
        best = max(best, tried, key=lambda one: one.order(market.musts))
        cuttable = [way for way in cuttable if id(way) not in uncut]
        if not uncut or market.over():
            break
    choice.ways, choice.benches, choice.left = best.ways, best.benches, best.left
    return best is not as_it_was


def fill(choice: Choice, makings: Iterable[int], ways: Iterable[Way], over: Callable[[], bool]) -> None:
    """Make what is not made yet, one after another, by a way that is known or, in time, the best for what is left."""
    known: dict[int, list[Way]] = defaultdict(list)
    for way in sorted(ways, key=lambda way: -way.worth):
        known[way.making].append(way)
    for making in makings:
        if choice.projects[making] in choice.made or any(choice.take(way) for way in known[making]):
            continue
        if over():
            continue
        inside = choice.insides[making]
        choice.tell(inside.store)
        inside.look_again()
        free, holds = np.zeros(len(choice.left)), choice.left.copy()
        for _ in range(AGAIN):
            found = inside.best(free, holds, LOOK).way
            if found is None or choice.take(found):
                break
            holds[[place for place in found.takes if not choice.holds(found, place)]] = 0  # look elsewhere


def _best(market: Market, ways: Sequence[Way], musts: set[int], least: int) -> list[Way]:
    """Those of the ways that are best together in a market, at `least` so many of the musts among them."""
    program = Program()
    columns = [program.column(f"way_{number:05d}", 0, 1, whole=True) for number in range(len(ways))]
    of_project: dict[int, list[int]] = defaultdict(list)
    of_lot: dict[int, list[tuple[int, float]]] = defaultdict(list)
    for column, way in zip(columns, ways, strict=True):
        of_project[market.project_of(way)].append(column)
        for place, taken in way.takes.items():
            of_lot[place].append((column, taken))
    program.add(
        Row(f"one_way_{project:05d}", tuple((column, 1.0) for column in own), "<=", 1)
        for project, own in sorted(of_project.items())
    )
    program.add(
        Row(f"holds_{place:05d}", tuple(own), "<=", float(market.holds[place])) for place, own in sorted(of_lot.items())
    )
    if least:
        kept = (column for column, way in zip(columns, ways, strict=True) if way.making in musts)
        program.add([Row("musts", tuple((column, 1.0) for column in kept), ">=", least)])
    program.aim = tuple((column, -way.worth) for column, way in zip(columns, ways, strict=True))
    answer = solve(program, absolute_gap=0.01, nodes=NODES)
    if answer.values is None:
        return []
    return [way for way, value in zip(ways, answer.values, strict=True) if value > 0.5]

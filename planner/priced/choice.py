"""One way for each project, cut from the pieces of the lots."""

from __future__ import annotations

import math
from collections import Counter, defaultdict
from dataclasses import dataclass, field, replace
from typing import TYPE_CHECKING

from planner.instance import END_CM
from planner.plan import Take, YarnRun
from planner.priced.benches import Bench, Strand

if TYPE_CHECKING:
    from collections.abc import Iterable, Mapping, Sequence

    from planner.instance import Instance
    from planner.priced.benches import Cut
    from planner.priced.hands import Freed
    from planner.priced.store import Numbers, Store
    from planner.priced.ways import Inside, Way
    from planner.shelf import Shelf

FIT = 1e-6  # cm


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
    made: set[int] = field(init=False)  # projects

    def __post_init__(self) -> None:
        self.made = {self.projects[making] for making in self.ways}

    @property
    def worth(self) -> float:
        return math.fsum(way.worth for way in self.ways.values())

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
        strands = self._strands(way)
        before = {place: replace(self.bench(place)) for place in strands}
        self._choose(way)
        if all(self.bench(place).take(own) for place, own in strands.items()) and self._joined(before):
            self._count(before)
            return True
        self._leave(way.making)
        self.benches |= before
        return False

    def pieces(self, way: Way, number: int) -> list[tuple[int, int, int, int]]:
        """Of a run of a way: strand from 1, lot, place of the piece in the lot, cm given."""
        return sorted(
            (strand, lot, place, given)
            for lot in set(way.runs[number].strands)
            for (making, run, strand, _), cut in self.bench(lot).cut.items()
            if (making, run) == (way.making, number)
            for place, given in cut
        )

    def run(self, way: Way, number: int) -> YarnRun:
        """A run of a way and the pieces it is cut from."""
        run, takes = way.runs[number], []
        for strand, lot, place, given in self.pieces(way, number):
            piece = self.bench(lot).pieces[place]
            takes.append(Take(strand, piece.lot, piece.skein, piece.number, given + END_CM))
        strands = Counter(self.shelf.lots[place].id for place in run.strands)
        part = self.instance.makings[way.making].needs[run.need].stretches[run.step].part
        return YarnRun(dict(sorted(strands.items())), run.length_cm, part, tuple(sorted(takes)))

    def _joined(self, before: Mapping[int, Bench]) -> bool:
        """Whether no need that lots are cut for in another way than before has more joins than it may."""
        changed = {
            owner[0]
            for place, bench in before.items()
            for owner, cut in self.bench(place).cut.items()
            if bench.cut.get(owner) != cut
        }
        return all(self._few_joins(self.ways[making]) for making in changed)

    def _few_joins(self, way: Way) -> bool:
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
        way = self._leave(making)
        for place in way.takes:
            self.bench(place).give_back(making)
        self._count(way.takes)
        return way

    def freed(self, ways: Iterable[Way]) -> Freed:
        """What the lots that these take from would hold if they were given back."""
        ways = list(ways)
        freed = {}
        for place in {place: None for way in ways for place in way.takes}:
            bench = replace(self.bench(place))
            for way in ways:
                bench.give_back(way.making)
            freed[place] = bench.left(), self._held(bench.left())
        return freed

    def put_back(self, way: Way, benches: Mapping[int, Bench]) -> None:
        """Choose a way again that was given back, these lots cut as they were, its own among them."""
        self._choose(way)
        self.benches |= benches
        self._count(benches)

    def cut_so(self, place: int, cut: Cut) -> None:
        """Cut what is taken of a lot so, unless that gives a need more joins than it may have."""
        before = self.bench(place)
        self.benches[place] = replace(before, cut=cut, _rest=None)
        if self._joined({place: before}):
            self._count([place])
        else:
            self.benches[place] = before

    @property
    def rest(self) -> dict[int, Sequence[int]]:
        """What is left of each piece of the lots taken from, in cm."""
        return {place: bench.left() for place, bench in self.benches.items()}

    def tell(self, store: Store, places: Iterable[int] | None = None) -> None:
        """What is left of every lot, or of these alone."""
        if places is None:
            store.hold_all(self.rest)
        else:
            store.hold({place: self.bench(place).left() for place in places})

    def become(self, other: Choice) -> None:
        """Choose what another choice does."""
        self.ways, self.made, self.benches, self.left = other.ways, other.made, other.benches, other.left

    def copy(self) -> Choice:
        benches = {place: replace(bench) for place, bench in self.benches.items()}
        return replace(self, ways=dict(self.ways), benches=benches, left=self.left.copy())

    def bench(self, place: int) -> Bench:
        if place not in self.benches:
            self.benches[place] = Bench(self.instance.stock[self.shelf.lots[place].id])
        return self.benches[place]

    def _choose(self, way: Way) -> None:
        self.ways[way.making] = way
        self.made.add(self.projects[way.making])

    def _leave(self, making: int) -> Way:
        self.made.remove(self.projects[making])
        return self.ways.pop(making)

    def _count(self, places: Iterable[int]) -> None:
        for place in places:
            self.left[place] = self._held(self.bench(place).left())

    def _held(self, pieces: Sequence[int]) -> float:
        return float(sum(rest for rest in pieces if rest >= self.least_cm + END_CM))

    def _strands(self, way: Way) -> dict[int, list[Strand]]:
        found: dict[int, list[Strand]] = defaultdict(list)
        for number, run in enumerate(way.runs):
            stretch = self.instance.makings[way.making].needs[run.need].stretches[run.step]
            lots = self.shelf.lots
            for strand, place in enumerate(sorted(run.strands, key=lambda place: lots[place].id), 1):
                owner = (way.making, number, strand, place)
                found[place].append(Strand(owner, run.length_cm, stretch.least_cm))
        return found

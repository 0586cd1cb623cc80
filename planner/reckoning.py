"""Whether the stash does for one project alone, found without the solver.

Yarns are searched for, stretch by stretch, by what lots hold as a whole; what is found is cut from their pieces. A
search that comes to its end without finding any looked at more than there is, and so proves that there is none.
"""

from __future__ import annotations

from collections import defaultdict
from dataclasses import dataclass, replace
from functools import cached_property
from typing import TYPE_CHECKING, TypeAlias

import numpy as np

from planner.instance import END_CM, Instance, suited
from planner.plan import PlannedNeed, PlannedProject
from planner.priced.choice import Choice
from planner.priced.offers import Offer, Run
from planner.priced.store import Store
from planner.priced.ways import Inside, Way
from planner.topping import furthest
from planner.workers import stop_or_go_on

if TYPE_CHECKING:
    from collections.abc import Iterable, Mapping, Sequence
    from collections.abc import Set as AbstractSet

    from planner.instance import Making, Piece
    from planner.plan import YarnRun
    from planner.shelf import Shelf
    from planner.yarns import WorkingYarn

    Place = tuple[int, int]  # of a need in its making, and of a stretch in that
    Look: TypeAlias = "Served | UnclearError | None"  # what serves, or that this is not clear; None: nothing does

TRIES = 12  # searches, each without the lots that could not be cut before


@dataclass(frozen=True)
class Served:
    """Yarns found for the stretches of a making and cut from the pieces: (place of the need, run)."""

    runs: tuple[Run, ...]
    cut: tuple[tuple[int, YarnRun], ...]

    def made(self, making: Making) -> PlannedProject:
        """The project, where every stretch is served."""
        needs = tuple(
            PlannedNeed(own.need.name, own.planned_cm, tuple(run for of, run in self.cut if of == place))
            for place, own in enumerate(making.needs)
        )
        return PlannedProject(making.project.name, making.pattern.id, making.size, needs)


class UnclearError(Exception):
    """Nothing was found, and nothing shows that there is nothing."""


class Reckoning:
    """The stash as arrays, asked for one making after another."""

    def __init__(self, shelf: Shelf, stock: Mapping[str, tuple[Piece, ...]]) -> None:
        self.shelf, self.stock = shelf, stock
        self.store = Store(shelf, stock)
        self.prices = 1 / np.maximum(self.store.most, 1)  # the fuller a lot, the sooner it is tried

    def serve(
        self,
        making: Making,
        skip: AbstractSet[Place] = frozenset(),
        *,
        beside: Sequence[Run] = (),
        like: Served | None = None,
    ) -> Served | None:
        """Yarns for every stretch but those to `skip`; None where there are none. Raises UnclearError.

        `beside`: what stands in the project already; `like`: what serves the same needs in another size, tried first.
        """
        if like is not None and (runs := _resized(like.runs, making)) and (served := self._cut(making, runs)):
            return served
        inside = self.inside(making, skip)
        inside.beside = [self._offer(run) for run in beside]
        holds = self.store.most.copy()
        for offer in inside.beside:
            for place, taken in offer.takes.items():
                holds[place] -= taken
        if not inside.possible or holds.min(initial=0) < 0 or not inside.may_all_stand(beside):
            return None
        for tries in range(TRIES if inside.slots else 1):
            found = inside.any(self.prices, holds, mixed=2 * tries >= TRIES)
            if found.way is None and found.most == -np.inf and not tries:
                return None
            if found.way is None:
                break
            served = self._cut(making, [*beside, *found.way.runs])
            if served is not None:
                return served
            holds[list(found.way.takes)] = 0
        return self._counted(making, skip, beside)

    def look(self, making: Making, like: Served | None = None) -> Look:
        """The same, for every stretch, and no error."""
        try:
            return self.serve(making, like=like)
        except UnclearError as unclear:
            return unclear

    @cached_property
    def _places(self) -> Mapping[str, int]:
        return {lot.id: place for place, lot in enumerate(self.shelf.lots)}

    def _offer(self, run: Run) -> Offer:
        """A run as it is chosen, with what it takes at least."""
        fewest = {place: self.store.fewest_of(place, run.length_cm) for place in run.strands}
        takes = {
            place: float(run.strands.count(place) * (run.length_cm + END_CM * pieces))
            for place, pieces in fewest.items()
        }
        return Offer(0.0, (run,), takes, sum(fewest[place] - 1 for place in run.strands))

    def _counted(self, making: Making, skip: AbstractSet[Place], beside: Sequence[Run]) -> Served | None:
        """As `serve`, where a search did not tell: by how far the yarns of a need that is shared out get together."""
        for place, sized in enumerate(suited(making, self.shelf).needs):
            if not sized.divisible or (place, 0) in skip:
                continue
            reach = furthest(making, sized, self.stock)
            if reach is not None and reach.most_cm < sized.planned_cm:
                return None
            if reach is not None and reach.surely_cm >= sized.planned_cm:
                runs = self.runs((place, 0), reach.shortened(sized.planned_cm, sized.share_cm))
                served = self.serve(making, {*skip, (place, 0)}, beside=[*beside, *runs])
                if served is not None:
                    return served
        raise UnclearError

    def runs(self, place: Place, lengths: Iterable[tuple[WorkingYarn, int]]) -> list[Run]:
        """Working yarns in a stretch, and how long each is there."""
        return [
            Run(*place, tuple(sorted(self._places[lot.id] for lot, own in yarn.lots for _ in range(own))), length)
            for yarn, length in lengths
        ]

    def inside(self, making: Making, skip: AbstractSet[Place] = frozenset()) -> Inside:
        """The search inside one making, the stretches for which there is least choice first."""
        inside = Inside(self.store, 0, making, 0.0, 0.0, over=_heard)
        inside.slots = sorted(
            (slot for slot in inside.slots if (slot.need, slot.step) not in skip), key=lambda slot: len(slot.places)
        )
        return inside

    def _cut(self, making: Making, runs: Sequence[Run]) -> Served | None:
        """The runs cut from the pieces, if that is found possible with no more joins than a need allows."""
        runs = sorted(runs)
        plenty = np.full(len(self.shelf.lots), np.inf)  # whether the pieces will do shows when they are cut
        choice = Choice(Instance(self.stock, (making,)), {}, (0,), self.shelf, plenty, 1)
        way = Way(0, 0.0, tuple(runs), dict.fromkeys((place for run in runs for place in run.strands), 0.0))
        if not choice.take(way):
            return None
        return Served(way.runs, tuple((run.need, choice.run(way, number)) for number, run in enumerate(runs)))


def _heard() -> bool:
    """Time is never up here; a wish to end is heard between steps of a search, and raises StoppedError."""
    stop_or_go_on()
    return False


def _resized(runs: Sequence[Run], making: Making) -> list[Run]:
    """The same yarns in as long runs as the making takes, shares in proportion; nothing where one is too small."""
    by_stretch: dict[Place, list[Run]] = defaultdict(list)
    for run in runs:
        by_stretch[run.need, run.step].append(run)
    resized = []
    for (need, step), own in by_stretch.items():
        planned = making.needs[need].stretches[step].planned_cm
        before = sum(run.length_cm for run in own)
        lengths = [-(-run.length_cm * planned // before) for run in own[1:]]
        lengths.insert(0, planned - sum(lengths))
        if len(own) > 1 and min(lengths) < making.needs[need].share_cm:
            return []
        resized += [replace(run, length_cm=length) for run, length in zip(own, lengths, strict=True)]
    return resized


def alike(one: Making, other: Making) -> bool:
    """Whether what serves the one suits the other but for its lengths, and the other takes no more anywhere."""
    return (
        one.pattern is other.pattern
        and one.project.pins == other.project.pins
        and one.project.bleed_risk == other.project.bleed_risk
        and [own.need for own in one.needs] == [own.need for own in other.needs]
        and all(
            len(a.stretches) == len(b.stretches)
            and all(x.planned_cm >= y.planned_cm for x, y in zip(a.stretches, b.stretches, strict=True))
            for a, b in zip(one.needs, other.needs, strict=True)
        )
    )

"""What one project lacks, found without the solver where whole stretches are to be found."""

from __future__ import annotations

from dataclasses import replace
from heapq import nsmallest
from itertools import combinations
from typing import TYPE_CHECKING

from planner.beside import Beside, Kept, reach_cm
from planner.instance import END_CM
from planner.reckoning import UnclearError

if TYPE_CHECKING:
    from collections.abc import Iterator, Mapping
    from collections.abc import Set as AbstractSet

    from planner.answers import CoverYarn
    from planner.instance import Making, SizedNeed, Stretch
    from planner.plan import YarnRun
    from planner.priced.offers import Run
    from planner.reckoning import Place, Reckoning, Served
    from planner.yarns import WorkingYarn

    Lacks = tuple[Mapping[str, int], Mapping[str, tuple[CoverYarn, ...]]]

NEAREST = 6  # yarns tried where something is to be found, those that reach furthest
MOST = 7  # stretches for which there is something, each to be found or not


def lacking(reckoning: Reckoning, making: Making) -> Lacks:
    """For a making known not to be enough, by need: what it is short of in cm, and the best permitted yarns.

    `making` holds the yarns that suit. Raises UnclearError.
    """
    found, served = to_find(reckoning, making)
    lacks = _beside(reckoning, making, found, served)
    nearest = _nearest(reckoning, making, found)
    if nearest is not None:
        other = _beside(reckoning, making, found, nearest)
        lacks = min(lacks, other, key=lambda own: sum(own[0].values()))
    return lacks


def _beside(reckoning: Reckoning, making: Making, found: AbstractSet[Place], served: Served) -> Lacks:
    """What is short when this serves; runs in stretches to be found reach as far as they do."""
    runs = [_kept(reckoning, making, *own) for own in zip(served.runs, served.cut, strict=True)]
    beside = Beside(making, reckoning.stock, runs)
    reached = {(run.need, run.step) for run in served.runs}
    short, yarns = {}, {}
    for place, sized in enumerate(making.needs):
        name = sized.need.name
        own = [run for run in runs if run.need == name]
        missing = [stretch for step, stretch in enumerate(sized.stretches) if (place, step) in found - reached]
        nearest = [have for have in beside.replaced(sized, missing) if have.lots]
        yarns[name] = (*(run.shown for run in own), *nearest)
        short[name] = sized.planned_cm - sum(have.length_cm for have in yarns[name])
    return short, yarns


def _nearest(reckoning: Reckoning, making: Making, found: AbstractSet[Place]) -> Served | None:
    """What serves the rest beside the yarns that reach furthest in the stretches to be found."""
    only: dict[Place, WorkingYarn] = {}
    served = None
    for place in sorted(found):
        sized = making.needs[place[0]]
        stretch = sized.stretches[place[1]]
        for length, yarn in _furthest(reckoning, sized, stretch):
            shorter = _shortened(making, place, length)
            try:
                nearer = reckoning.serve(shorter, found - {*only, place}, only={**only, place: yarn})
            except UnclearError:
                continue
            if nearer is not None:
                making, served, only[place] = shorter, nearer, yarn
                break
    return served


def _furthest(reckoning: Reckoning, sized: SizedNeed, stretch: Stretch) -> list[tuple[int, WorkingYarn]]:
    """The suiting yarns that reach furthest, and how far."""
    reaches = (
        (min(reach_cm(reckoning.stock, yarn, stretch, sized.need.joins), stretch.planned_cm), yarn)
        for yarn in sized.yarns
    )
    return nsmallest(NEAREST, (own for own in reaches if own[0] >= stretch.least_cm), key=lambda own: -own[0])


def _shortened(making: Making, place: Place, length: int) -> Making:
    """The same with one stretch no longer than that."""
    sized = making.needs[place[0]]
    stretches = list(sized.stretches)
    stretches[place[1]] = replace(stretches[place[1]], planned_cm=length)
    needs = list(making.needs)
    needs[place[0]] = replace(sized, stretches=tuple(stretches))
    return replace(making, needs=tuple(needs))


def to_find(reckoning: Reckoning, making: Making) -> tuple[AbstractSet[Place], Served]:
    """The stretches to be found that add up to least, and what serves the others."""
    for found, partly in _choices(reckoning, making):
        if _tied(making, found) and (served := reckoning.serve(making, found)) is not None:
            if partly:  # how long the find must be is more than is told here
                raise UnclearError
            return found, served
    raise UnclearError


def _choices(reckoning: Reckoning, making: Making) -> Iterator[tuple[AbstractSet[Place], bool]]:
    """Stretches that may be to be found together, those that may come to least first; whether one may be topped up."""
    slots = reckoning.inside(making).slots
    may = [slot for slot in slots if slot.possible and making.needs[slot.need].yarns]
    never = frozenset((slot.need, slot.step) for slot in slots if slot not in may)
    if len(may) > MOST:
        raise UnclearError
    ranked = []
    for count in range(len(may) + 1):
        for some in combinations(may, count):
            length = sum((slot.share if slot.divisible else slot.planned) + END_CM for slot in some)
            places = sorted((slot.need, slot.step) for slot in some)
            if places or never:
                ranked.append((length, places, any(slot.divisible for slot in some)))
    for _, places, partly in sorted(ranked):
        yield never | set(places), partly


def _tied(making: Making, found: AbstractSet[Place]) -> bool:
    """Whether yarn to be found for a need that is the same as another is found for that other too."""
    named = {sized.need.name: place for place, sized in enumerate(making.needs)}
    needs = {need for need, _ in found}
    return all(
        named[target] in needs
        for place in needs
        for target in making.needs[place].need.colour.same_as
        if target in named
    )


def _kept(reckoning: Reckoning, making: Making, run: Run, cut: tuple[int, YarnRun]) -> Kept:
    sized, takes = making.needs[run.need], cut[1].takes
    return Kept(
        sized.need.name,
        sized.stretches[run.step],
        reckoning.shelf.yarn(run.strands),
        run.length_cm,
        tuple((take.skein, take.piece, take.take_cm) for take in takes),
    )

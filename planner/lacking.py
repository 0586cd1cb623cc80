"""What one project lacks, found without the solver where counting and a search come to the same."""

from __future__ import annotations

from dataclasses import dataclass
from heapq import nsmallest
from typing import TYPE_CHECKING

from planner.beside import Beside, Kept, reach_cm
from planner.instance import END_CM, Instance
from planner.reckoning import UnclearError
from planner.tofind import to_find

if TYPE_CHECKING:
    from collections.abc import Mapping

    from planner.answers import CoverYarn
    from planner.instance import Making, SizedNeed
    from planner.plan import YarnRun
    from planner.priced.offers import Run
    from planner.reckoning import Place, Reckoning, Served
    from planner.tofind import Lack
    from planner.yarns import WorkingYarn

NEAREST = 6  # yarns tried where something is to be found, those that reach furthest


@dataclass(frozen=True)
class Missing:
    """By need name. `look_cm`: lengths to look for, with their ends; `total_cm` their sum, made least.

    `yarns`: what serves each need beside what is to be found, the best permitted where it falls short.
    """

    total_cm: int
    look_cm: Mapping[str, int]
    short_cm: Mapping[str, int]
    kinds: Mapping[str, str | None]
    yarns: Mapping[str, tuple[CoverYarn, ...]]
    serving: Mapping[str, tuple[WorkingYarn, ...]]


def what_is_missing(reckoning: Reckoning, making: Making) -> Missing | None:
    """What a making lacks that is known not to be enough; None when it was not decided.

    `making` holds the yarns that suit. What is not told by reckoning, the exact model decides.
    """
    try:
        return lacking(reckoning, making)
    except UnclearError:
        from planner.missing import least_missing  # noqa: PLC0415 (what solves is slow to load and seldom needed)

        return least_missing(Instance(reckoning.stock, (making,)))


def lacking(reckoning: Reckoning, making: Making) -> Missing:
    """What a making lacks that is known not to be enough. Raises UnclearError.

    `making` holds the yarns that suit.
    """
    lack = to_find(reckoning, making)
    told = _told(reckoning, making, lack, lack.served)
    nearest = _nearest(reckoning, making, lack)
    if nearest is not None:
        other = _told(reckoning, making, lack, nearest)
        told = min(told, other, key=lambda own: sum(own.short_cm.values()))
    return told


def _told(reckoning: Reckoning, making: Making, lack: Lack, served: Served) -> Missing:
    """What is short when this serves; runs in stretches to be found whole reach as far as they do."""
    runs = [(run, _kept(reckoning, making, run, cut)) for run, (_, cut) in zip(served.runs, served.cut, strict=True)]
    runs.sort(key=lambda own: (own[0].need, own[0].step, own[1].yarn.name))
    beside = Beside(making, reckoning.stock, [kept for _, kept in runs])
    reached = {(run.need, run.step) for run in served.runs}
    look, short, kinds, yarns, serving = {}, {}, {}, {}, {}
    for place, sized in enumerate(making.needs):
        name = sized.need.name
        whole = [step for step in range(len(sized.stretches)) if (place, step) in lack.whole]
        topped = lack.topped.get((place, 0))
        look[name] = sum(sized.stretches[step].planned_cm + END_CM for step in whole)
        look[name] += 0 if topped is None else topped + END_CM
        kinds[name] = "top-up" if topped is not None else "replace" if whole else None
        nearest = beside.replaced(sized, [sized.stretches[step] for step in whole if (place, step) not in reached])
        shown = [kept.shown for run, kept in runs if run.need == place]
        yarns[name] = (*shown, *(have for have in nearest if have.lots))
        short[name] = sized.planned_cm - sum(have.length_cm for have in yarns[name])
        if topped is not None:
            short[name] = beside.topped_up(sized)
        serving[name] = tuple(
            kept.yarn for run, kept in runs if run.need == place and (run.need, run.step) not in lack.whole
        )
    return Missing(sum(look.values()), look, short, kinds, yarns, serving)


def _nearest(reckoning: Reckoning, making: Making, lack: Lack) -> Served | None:
    """What serves the rest beside the yarns that reach furthest in the stretches to be found whole."""
    kept = [run for run in lack.served.runs if (run.need, run.step) in lack.topped]
    skip = {*lack.whole, *lack.topped}
    served = None
    for place in sorted(lack.whole):
        sized = making.needs[place[0]]
        for run in _furthest(reckoning, sized, place):
            try:
                nearer = reckoning.serve(making, skip, beside=[*kept, run])
            except UnclearError:
                continue
            if nearer is not None:
                served = nearer
                kept.append(run)
                break
    return served


def _furthest(reckoning: Reckoning, sized: SizedNeed, place: Place) -> list[Run]:
    """The suiting yarns that reach furthest in a stretch."""
    stretch = sized.stretches[place[1]]
    reaches = (
        (yarn, min(reach_cm(reckoning.stock, yarn, stretch, sized.need.joins), stretch.planned_cm))
        for yarn in sized.yarns
    )
    long_enough = (own for own in reaches if own[1] >= stretch.least_cm)
    return reckoning.runs(place, nsmallest(NEAREST, long_enough, key=lambda own: -own[1]))


def _kept(reckoning: Reckoning, making: Making, run: Run, cut: YarnRun) -> Kept:
    sized = making.needs[run.need]
    return Kept(
        sized.need.name,
        sized.stretches[run.step],
        reckoning.shelf.yarn(run.strands),
        run.length_cm,
        tuple((take.skein, take.piece, take.take_cm) for take in cut.takes),
    )

"""The stash as bars: every skein of the lots used or set aside, what part of it goes where and what stays free."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from planner.pages.strips import Span, spans
from planner.show.weighing import left_of, leftovers, takes_of
from stash.lengths import guarded_cm, mass_g
from stash.units import show_length, show_mass

if TYPE_CHECKING:
    from collections.abc import Iterator

    from planner.pages.shades import Palette, Shade
    from planner.pages.standing import Aside
    from planner.plan import Plan
    from planner.show.weighing import Scales
    from stash.lots import Lot, Skein
    from stash.units import System

Taken = dict[tuple[str, str], dict[tuple[int, str], int]]  # (lot, skein) -> (project from 1, what for) -> centimetres
Cut = tuple[int, str, int]  # project, what for, centimetres


@dataclass(frozen=True)
class Share:
    """A stretch of a skein: what it goes to, or for whom it is set aside, in words; `said` is empty where it is free.

    `project`: from 1; 0 where the plan leaves it.
    """

    project: int
    said: str
    length: str
    span: Span


@dataclass(frozen=True)
class SkeinBar:
    skein: str
    length: str  # that can be counted on
    free: str
    shares: tuple[Share, ...]


@dataclass(frozen=True)
class LotBars:
    """A lot that is used or set aside. `left`, `left_mass`: what stays free of it; `whole`: skeins not opened."""

    lot: str
    shade: Shade
    skeins: tuple[SkeinBar, ...]
    left: str
    left_mass: str
    whole: int


@dataclass(frozen=True)
class Untouched:
    lot: str
    shade: Shade
    skeins: int
    length: str
    mass: str
    span: Span


@dataclass(frozen=True)
class StashBars:
    lots: tuple[LotBars, ...]
    untouched: tuple[Untouched, ...]


def stash_bars(plan: Plan, scales: Scales, aside: Aside, palette: Palette, units: System) -> StashBars:
    """All lots: those used or set aside skein by skein on one scale, the others each whole on another.

    `aside`: what is set aside for others; it is not in the stash of `scales`.
    """
    left, names = leftovers(plan, scales)
    stash, booked = scales.stash.lots, {lot for lot, _ in aside}
    used = {one.lot.id: one for one in left}
    used |= {lot: left_of(stash[lot], (), scales) for lot in booked.difference(used)}
    taken = _taken(plan)
    cuts = {
        (lot, skein.id): _cuts(stash[lot], skein, taken, aside, scales) for lot in used for skein in stash[lot].skeins
    }
    longest = max((sum(cm for _, _, cm in own) for own in cuts.values()), default=0) or 1
    lots = (
        LotBars(
            one.lot.id,
            palette.shade(one.lot.colour),
            tuple(_bar(skein, cuts[one.lot.id, skein.id], longest, units) for skein in one.lot.skeins),
            show_length(one.length_cm / 100, units, 1),
            show_mass(one.mass_g, units, 1),
            one.whole_skeins,
        )
        for one in (used[lot] for lot in stash if lot in used)
    )
    untouched = [stash[name] for name in names if name not in booked]
    return StashBars(tuple(lots), tuple(_untouched(untouched, scales, palette, units)))


def _taken(plan: Plan) -> Taken:
    """(lot, skein) -> (project from 1, what it is for) -> centimetres, in the plan's order."""
    found: Taken = {}
    made = [project for project in plan.projects if project.made]
    for number, project in enumerate(made, 1):
        for need in project.needs:
            for run in need.runs:
                said = f"{project.project}, {need.need}" + (f", {run.part}" if run.part else "")
                for take in run.takes:
                    own = found.setdefault((take.lot, take.skein), {})
                    own[number, said] = own.get((number, said), 0) + take.take_cm
    return found


def _cuts(lot: Lot, skein: Skein, taken: Taken, aside: Aside, scales: Scales) -> list[Cut]:
    """A skein from end to end: what goes to projects, what is set aside for others, what stays free."""
    own = [(number, said, cm) for (number, said), cm in taken.get((lot.id, skein.id), {}).items()]
    free = sum(_guarded(lot, skein, scales)) - sum(cm for _, _, cm in own)
    others = [(0, project, cm) for project, cm in aside.get((lot.id, skein.id), {}).items()]
    return own + others + ([(0, "", free)] if free else [])


def _bar(skein: Skein, cuts: list[Cut], longest: int, units: System) -> SkeinBar:
    lengths = [cm for _, _, cm in cuts]
    shares = (
        Share(number, said, show_length(cm / 100, units, 1), span)
        for (number, said, cm), span in zip(cuts, spans(lengths, longest), strict=True)
    )
    free = sum(cm for _, said, cm in cuts if not said)
    counted = show_length(sum(lengths) / 100, units, 1)
    return SkeinBar(skein.id, counted, show_length(free / 100, units, 1), tuple(shares))


def _untouched(lots: list[Lot], scales: Scales, palette: Palette, units: System) -> Iterator[Untouched]:
    lengths = [sum(sum(_guarded(lot, skein, scales)) for skein in lot.skeins) for lot in lots]
    longest = max(lengths, default=0) or 1
    for lot, cm in zip(lots, lengths, strict=True):
        grams = sum(mass_g(lot, skein) for skein in lot.skeins)
        yield Untouched(
            lot.id,
            palette.shade(lot.colour),
            sum(mass_g(lot, skein) > 0 for skein in lot.skeins),
            show_length(cm / 100, units),
            show_mass(grams, units),
            spans([cm], longest)[0],
        )


def _guarded(lot: Lot, skein: Skein, scales: Scales) -> tuple[int, ...]:
    return guarded_cm(lot, skein, scales.confidence)


def used_lots(plan: Plan) -> list[str]:
    """The ids of all lots that anything is taken of, in order."""
    return sorted({take.lot for project in plan.projects for take in takes_of(project)})

"""The stash as bars: every skein of the lots that are used, what part of it goes where and what stays free."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from planner.pages.strips import Span, spans
from planner.show.weighing import leftovers, takes_of
from stash.lengths import guarded_cm, mass_g
from stash.units import show_length, show_mass

if TYPE_CHECKING:
    from collections.abc import Iterator

    from planner.pages.shades import Palette, Shade
    from planner.plan import Plan
    from planner.show.weighing import Scales
    from stash.lots import Lot, Skein
    from stash.units import System


@dataclass(frozen=True)
class Share:
    """A stretch of a skein: whom it goes to, in words, or nobody; `project` from 1, 0 where it stays free."""

    project: int
    said: str
    length: str
    span: Span


@dataclass(frozen=True)
class SkeinBar:
    skein: str
    length: str  # that can be counted on
    shares: tuple[Share, ...]


@dataclass(frozen=True)
class LotBars:
    """A lot that is used, from 1. `left`, `left_mass`: what stays free of it; `whole`: skeins not opened."""

    number: int
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


def stash_bars(plan: Plan, scales: Scales, palette: Palette, units: System) -> StashBars:
    """All lots, those that are used skein by skein on one scale, the others each whole on another."""
    left, names = leftovers(plan, scales)
    lots = [one.lot for one in left]
    longest = max((sum(_guarded(lot, skein, scales)) for lot in lots for skein in lot.skeins), default=0) or 1
    taken = _taken(plan)
    used = tuple(
        LotBars(
            number,
            one.lot.id,
            palette.shade(one.lot.colour),
            tuple(_skein(one.lot, skein, taken, longest, scales, units) for skein in one.lot.skeins),
            show_length(one.length_cm / 100, units, 1),
            show_mass(one.mass_g, units, 1),
            one.whole_skeins,
        )
        for number, one in enumerate(left, 1)
    )
    return StashBars(used, tuple(_untouched([scales.stash.lots[name] for name in names], scales, palette, units)))


def _taken(plan: Plan) -> dict[tuple[str, str], dict[tuple[int, str], int]]:
    """(lot, skein) -> (project from 1, what it is for) -> centimetres, in the plan's order."""
    found: dict[tuple[str, str], dict[tuple[int, str], int]] = {}
    made = [project for project in plan.projects if project.made]
    for number, project in enumerate(made, 1):
        for need in project.needs:
            for run in need.runs:
                said = f"{project.project}, {need.need}" + (f", {run.part}" if run.part else "")
                for take in run.takes:
                    own = found.setdefault((take.lot, take.skein), {})
                    own[number, said] = own.get((number, said), 0) + take.take_cm
    return found


def _skein(
    lot: Lot,
    skein: Skein,
    taken: dict[tuple[str, str], dict[tuple[int, str], int]],
    longest: int,
    scales: Scales,
    units: System,
) -> SkeinBar:
    own = taken.get((lot.id, skein.id), {})
    held = sum(_guarded(lot, skein, scales))
    told = [*((number, said, cm) for (number, said), cm in own.items())]
    if free := held - sum(own.values()):
        told.append((0, "", free))
    widths = spans([cm for _, _, cm in told], longest)
    shares = (
        Share(number, said, show_length(cm / 100, units, 1), span)
        for (number, said, cm), span in zip(told, widths, strict=True)
    )
    return SkeinBar(skein.id, show_length(held / 100, units, 1), tuple(shares))


def _untouched(lots: list[Lot], scales: Scales, palette: Palette, units: System) -> Iterator[Untouched]:
    lengths = [sum(sum(_guarded(lot, skein, scales)) for skein in lot.skeins) for lot in lots]
    longest = max(lengths, default=0) or 1
    for lot, cm in zip(lots, lengths, strict=True):
        grams = sum(mass_g(lot, skein) for skein in lot.skeins)
        yield Untouched(
            lot.id,
            palette.shade(lot.colour),
            len(lot.skeins),
            show_length(cm / 100, units),
            show_mass(grams, units),
            spans([cm], longest)[0],
        )


def _guarded(lot: Lot, skein: Skein, scales: Scales) -> tuple[int, ...]:
    return guarded_cm(lot, skein, scales.confidence)


def used_lots(plan: Plan) -> list[str]:
    """The ids of all lots that anything is taken of, in order."""
    return sorted({take.lot for project in plan.projects for take in takes_of(project)})

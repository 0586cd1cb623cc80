"""What is missing: the least yarn to be found that would make one project in one size enough."""

from __future__ import annotations

import time
from typing import TYPE_CHECKING

from planner.aims import PROJECTS, TO_FIND
from planner.beside import Beside, Kept
from planner.columns import reaching
from planner.cutting import HALF
from planner.instance import END_CM
from planner.lacking import Missing
from planner.settling import settle
from planner.stages import Limits
from planner.workers import stop_or_go_on

if TYPE_CHECKING:
    from planner.columns import Use
    from planner.instance import Instance
    from planner.settling import Settled
    from planner.yarns import WorkingYarn


SECONDS = 20.0  # a question of one project is worth


def least_missing(alone: Instance) -> Missing | None:
    """For an instance of one making: what to find; None when it was not decided."""
    limits = Limits(deadline=time.monotonic() + SECONDS, stop=stop_or_go_on())
    settled = settle(reaching(alone), [PROJECTS, TO_FIND], [], limits, found=True)
    if settled is None or not settled.proved:
        return None
    making = alone.makings[0]
    found: dict[str, list[Use]] = {sized.need.name: [] for sized in making.needs}
    kept: dict[str, list[Kept]] = {sized.need.name: [] for sized in making.needs}
    for use in settled.chosen():
        if use.yarn is None:
            found[use.sized.need.name].append(use)
        else:
            kept[use.sized.need.name].append(_kept(settled, use, use.yarn))
    beside = Beside(making, alone.stock, [run for own in kept.values() for run in own])
    look, short, kinds, yarns = {}, {}, {}, {}
    for sized in making.needs:
        name = sized.need.name
        look[name] = sum(settled.length_cm(use) + END_CM for use in found[name])
        kinds[name] = None if not found[name] else "top-up" if sized.divisible and kept[name] else "replace"
        yarns[name] = tuple(run.shown for run in kept[name])
        if kinds[name] == "top-up":
            short[name] = beside.topped_up(sized)
        else:
            stretches = [use.stretch for use in found[name]]
            nearest = beside.replaced(sized, stretches)
            short[name] = sum(own.planned_cm for own in stretches) - sum(have.length_cm for have in nearest)
            yarns[name] += tuple(have for have in nearest if have.lots)
    serving = {name: tuple(run.yarn for run in own) for name, own in kept.items()}
    return Missing(sum(look.values()), look, short, kinds, yarns, serving)


def _kept(settled: Settled, use: Use, yarn: WorkingYarn) -> Kept:
    takes = tuple(
        (cut.piece.skein, cut.piece.number, round(settled.values[cut.given]) + END_CM)
        for cut in settled.columns.cuts_by_use.get(use.key, ())
        if settled.values[cut.taken] > HALF
    )
    return Kept(use.sized.need.name, use.stretch, yarn, settled.length_cm(use), takes)

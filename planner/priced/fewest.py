"""How few lots and joins would do at least: what no plan that is worth as much takes fewer than."""

from __future__ import annotations

import math
from typing import TYPE_CHECKING

import numpy as np

from planner.pairs import LIMIT

if TYPE_CHECKING:
    from collections.abc import Callable

    from planner.priced.market import Market
    from planner.priced.ways import Inside

ROUNDING = 1e-6


def fewest(market: Market, value: float, over: Callable[[], bool]) -> int | None:
    """Lots, counted for each project, and joins that any plan worth as much takes at least; None: nothing is proved.

    A plan loses, to the bound, what the prices say that each project it does not make could gain; so it makes all but
    those that may be lost together, in part if need be, and each of them takes its fewest.
    """
    if not market.most:
        return None
    market.insides[0].store.hold_all({})
    least: dict[int, int] = {}
    for project, inside in zip(market.projects, market.insides, strict=True):
        if over():
            return None
        if market.most[project] > 0:
            own = _fewest(inside)
            least[project] = min(least.get(project, own), own)
    may_lose, total = market.bound - value + ROUNDING, float(sum(least.values()))
    for project in sorted(least, key=lambda own: (market.most[own] / least[own], own)):
        part = min(1.0, may_lose / market.most[project])
        total -= part * least[project]
        may_lose -= part * market.most[project]
    return max(0, math.ceil(total - ROUNDING))


def _fewest(inside: Inside) -> int:
    """Lots and joins that a project takes at least, alone with all there is."""
    return max([1, _lots_apart(inside), *_lots_to_reach(inside)]) + sum(_joins(inside))


def _lots_apart(inside: Inside) -> int:
    """Lots at least where needs may not come from one alone."""
    needs = range(len(inside.making.needs))
    meetings = [inside.meetings[one][other] for one in needs for other in range(one)]
    apart = any(
        own.other.name in own.one.colour.not_in
        or own.one.name in own.other.colour.not_in
        or any(min(contrast) > LIMIT for contrast in own.contrasts)
        for own in meetings
    )
    return max(1 + apart, len(inside.making.order))


def _lots_to_reach(inside: Inside) -> list[int]:
    """For each need, lots that hold it together at least, the largest first."""
    found = []
    for place, sized in enumerate(inside.making.needs):
        slots = [slot for slot in inside.slots if slot.need == place]
        suiting = np.unique(np.concatenate([own for slot in slots for own in (slot.places, slot.strand_places)]))
        held = np.cumsum(np.sort(inside.store.most[suiting])[::-1])
        found.append(1 + int(np.searchsorted(held, sized.planned_cm * sized.need.strands[0])))
    return found


def _joins(inside: Inside) -> list[int]:
    """For each stretch that comes whole from one yarn, its joins at least: those of the lot of the longest pieces."""
    found = []
    for slot in inside.slots:
        if not slot.divisible:
            suiting = np.concatenate([slot.places, slot.strand_places])
            pieces = inside.store.fewest(suiting, slot.planned)
            found.append(slot.sized.need.strands[0] * (int(pieces.min()) - 1 if len(pieces) else 0))
    return found

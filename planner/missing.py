"""What is missing: the least yarn to be found that would make one project in one size enough."""

from __future__ import annotations

import time
from collections import defaultdict
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

from planner.aims import PROJECTS, TO_FIND
from planner.answers import CoverYarn
from planner.instance import END_CM, Piece
from planner.settling import Settled, settle
from planner.stages import Limits

if TYPE_CHECKING:
    from collections.abc import Iterable, Mapping

    from planner.columns import Use
    from planner.instance import Instance, Making, SizedNeed, Stretch
    from planner.yarns import WorkingYarn


SECONDS = 20.0  # a question of one project is worth


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


def least_missing(alone: Instance) -> Missing | None:
    """For an instance of one making: what to find; None when it was not decided."""
    settled = settle(alone, [PROJECTS, TO_FIND], [], Limits(deadline=time.monotonic() + SECONDS), found=True)
    if settled is None:
        return None
    making = alone.makings[0]
    uses: dict[str, list[Use]] = defaultdict(list)
    for use in settled.chosen():
        uses[use.sized.need.name].append(use)
    serving = {name: tuple(use.yarn for use in own if use.yarn) for name, own in uses.items()}
    look, short, kinds, yarns = {}, {}, {}, {}
    for sized in making.needs:
        name = sized.need.name
        found = [use for use in uses[name] if use.yarn is None]
        kept = [use for use in uses[name] if use.yarn is not None]
        nearest = [_nearest(alone, making, sized, use, kept, serving, settled) for use in found]
        look[name] = sum(settled.length_cm(use) + END_CM for use in found)
        kinds[name] = None if not found else "top-up" if sized.divisible and kept else "replace"
        yarns[name] = tuple(CoverYarn(_lots(use.yarn), settled.length_cm(use)) for use in kept if use.yarn)
        short[name] = sum(need - have.length_cm for need, have in nearest)
        if kinds[name] == "top-up":
            short[name] = _beside(alone, sized, kept, settled)
        else:
            yarns[name] += tuple(have for _, have in nearest if have.lots)
    return Missing(sum(look.values()), look, short, kinds, yarns, serving)


def _nearest(
    alone: Instance,
    making: Making,
    sized: SizedNeed,
    use: Use,
    kept: list[Use],
    serving: Mapping[str, tuple[WorkingYarn, ...]],
    settled: Settled,
) -> tuple[int, CoverYarn]:
    """What the stretch needs, and how far the best permitted yarn would reach beside everything else."""
    own = {kept_use.key for kept_use in kept} if sized.divisible else set()
    left = _left(alone, settled, own)
    mates = [] if sized.divisible else [other.yarn for other in kept if other.yarn]
    best = CoverYarn({}, 0)
    for yarn in sized.yarns:
        if _permitted(alone, making, sized, yarn, mates, serving):
            length = min(reach_cm(left, yarn, use.stretch, sized.need.joins), use.stretch.planned_cm)
            if length > best.length_cm:
                best = CoverYarn(_lots(yarn), length)
    return use.stretch.planned_cm, best


def _beside(alone: Instance, sized: SizedNeed, kept: list[Use], settled: Settled) -> int:
    """What a need that is shared out lacks when the yarns that serve it give all they can."""
    left = _left(alone, settled, {use.key for use in kept})
    stretch = sized.stretches[0]
    lots = [lot for use in kept if use.yarn for lot in use.yarn.lot_ids]
    have = sum(
        reach_cm(left, use.yarn, stretch, None) if len(lots) == len(set(lots)) else settled.length_cm(use)
        for use in kept
        if use.yarn
    )
    return max(0, sized.planned_cm - have)


def _permitted(
    alone: Instance,
    making: Making,
    sized: SizedNeed,
    yarn: WorkingYarn,
    mates: list[WorkingYarn],
    serving: Mapping[str, tuple[WorkingYarn, ...]],
) -> bool:
    """Whether the yarn may stand beside what serves the other needs, and beside its own need's other parts."""
    for other in making.needs:
        theirs = mates if other is sized else serving.get(other.need.name, ())
        if alone.strangers(making, sized, other).get(yarn, frozenset()) & set(theirs):
            return False
    return True


def reach_cm(stock: Mapping[str, Iterable[Piece]], yarn: WorkingYarn, stretch: Stretch, joins: int | None) -> int:
    """How long a run of the yarn could be from these pieces, every strand as long as the others."""
    reached = []
    for lot, strands in yarn.lots:
        lengths = sorted(
            (piece.length_cm for piece in stock[lot.id] if piece.length_cm - END_CM >= stretch.least_cm), reverse=True
        )
        if joins is not None:
            lengths = lengths[: joins + strands]
        cuts = len(lengths) + strands - 1  # every strand but the last may end within a piece
        reached.append((sum(lengths) - END_CM * cuts) // strands if lengths else 0)
    return max(0, min(reached))


def _left(alone: Instance, settled: Settled, spared: set[tuple[int, int, int, int]]) -> dict[str, list[Piece]]:
    """The stash without what is cut from it, but for the uses spared."""
    taken: dict[tuple[str, int], int] = defaultdict(int)
    for cut in settled.columns.cuts:
        if settled.values[cut.taken] > 0.5 and cut.use.key not in spared:
            taken[cut.piece.skein, cut.piece.number] += round(settled.values[cut.given]) + END_CM
    return {
        lot: [replace(p, length_cm=p.length_cm - taken[p.skein, p.number]) for p in stock]
        for lot, stock in alone.stock.items()
    }


def _lots(yarn: WorkingYarn) -> dict[str, int]:
    return {lot.id: strands for lot, strands in yarn.lots}

"""What is missing: the least yarn to be found that would make one project in one size enough."""

from __future__ import annotations

import time
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

from planner.aims import PROJECTS, TO_FIND
from planner.answers import CoverYarn
from planner.cutting import HALF
from planner.instance import END_CM
from planner.settling import settle
from planner.stages import Limits
from planner.workers import stop_or_go_on

if TYPE_CHECKING:
    from collections.abc import Iterable, Mapping, Sequence

    from planner.columns import Cut, Use
    from planner.instance import Instance, Piece, SizedNeed, Stretch
    from planner.settling import Settled
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
    limits = Limits(deadline=time.monotonic() + SECONDS, stop=stop_or_go_on())
    settled = settle(alone, [PROJECTS, TO_FIND], [], limits, found=True)
    if settled is None or not settled.proved:
        return None
    making = alone.makings[0]
    uses: dict[str, list[Use]] = {sized.need.name: [] for sized in making.needs}
    for use in settled.chosen():
        uses[use.sized.need.name].append(use)
    serving = {name: [use.yarn for use in own if use.yarn] for name, own in uses.items()}
    beside = _Beside(alone, settled, {name: list(yarns) for name, yarns in serving.items()})
    look, short, kinds, yarns = {}, {}, {}, {}
    for sized in making.needs:
        name = sized.need.name
        found = [use for use in uses[name] if use.yarn is None]
        kept = [use for use in uses[name] if use.yarn is not None]
        look[name] = sum(settled.length_cm(use) + END_CM for use in found)
        kinds[name] = None if not found else "top-up" if sized.divisible and kept else "replace"
        yarns[name] = tuple(CoverYarn(_lots(use.yarn), settled.length_cm(use)) for use in kept if use.yarn)
        if kinds[name] == "top-up":
            short[name] = beside.topped_up(sized, kept)
        else:
            nearest = beside.replaced(sized, found, kept)
            short[name] = sum(use.stretch.planned_cm for use in found) - sum(have.length_cm for have in nearest)
            yarns[name] += tuple(have for have in nearest if have.lots)
    kept_yarns = {name: tuple(own) for name, own in serving.items()}
    return Missing(sum(look.values()), look, short, kinds, yarns, kept_yarns)


class _Beside:
    """What is left of the stash beside what serves, and how far it would reach; what one stretch takes is gone."""

    def __init__(self, alone: Instance, settled: Settled, serving: dict[str, list[WorkingYarn]]) -> None:
        self.alone, self.settled, self.serving = alone, settled, serving
        self.left = {(p.skein, p.number): p for stock in alone.stock.values() for p in stock}
        self._return([use for use in settled.chosen() if use.yarn], -1)

    def replaced(self, sized: SizedNeed, found: list[Use], kept: list[Use]) -> list[CoverYarn]:
        """For every stretch of the need to be found, the permitted yarn that reaches furthest, none counted twice."""
        joins = sized.need.joins
        if joins is not None:
            joins -= sum(len(self._cuts(use)) - use.yarn.strands for use in kept if use.yarn)
        nearest = []
        for use in found:
            permitted = [yarn for yarn in sized.yarns if self._permitted(sized, yarn)]
            reaches = [(self._reach(yarn, use, joins), yarn) for yarn in permitted]
            length, best = max(reaches, key=lambda one: one[0], default=(0, None))
            if best is None or length == 0:
                nearest.append(CoverYarn({}, 0))
                continue
            pieces = self._take(best, length)
            joins = None if joins is None else joins - pieces + best.strands
            self.serving[sized.need.name].append(best)
            nearest.append(CoverYarn(_lots(best), length))
        return nearest

    def topped_up(self, sized: SizedNeed, kept: list[Use]) -> int:
        """What a need that is shared out lacks when the yarns that serve it give all they can."""
        self._return(kept, 1)
        joins, have = sized.need.joins, 0
        for use in kept:
            if use.yarn:
                length = min(self._reach(use.yarn, use, joins), sized.planned_cm - have)
                pieces = self._take(use.yarn, length)
                joins = None if joins is None else joins - pieces + use.yarn.strands
                have += length
        return sized.planned_cm - max(have, sum(self.settled.length_cm(use) for use in kept))

    def _reach(self, yarn: WorkingYarn, use: Use, joins: int | None) -> int:
        stock = {lot.id: [self.left[p.skein, p.number] for p in self.alone.stock[lot.id]] for lot, _ in yarn.lots}
        return min(reach_cm(stock, yarn, use.stretch, joins), use.stretch.planned_cm)

    def _permitted(self, sized: SizedNeed, yarn: WorkingYarn) -> bool:
        """Whether the yarn may stand beside all that serves, its own need's other parts among it."""
        making = self.alone.makings[0]
        return not any(
            self.alone.strangers(making, sized, other).get(yarn, frozenset()) & set(self.serving[other.need.name])
            for other in making.needs
        )

    def _take(self, yarn: WorkingYarn, length: int) -> int:
        """Take a run of the yarn, longest pieces first, and tell how many pieces that took."""
        pieces = 0
        for lot, strands in yarn.lots:
            for _ in range(strands):
                missing = length
                while missing > 0:
                    places = [(p.skein, p.number) for p in self.alone.stock[lot.id]]
                    longest = max(places, key=lambda place: self.left[place].length_cm)
                    gives = min(missing, self.left[longest].length_cm - END_CM)
                    if gives <= 0:
                        break
                    self._give(longest, -gives - END_CM)
                    missing -= gives
                    pieces += 1
        return pieces

    def _cuts(self, use: Use) -> list[Cut]:
        cuts = self.settled.columns.cuts_by_use.get(use.key, ())
        return [cut for cut in cuts if self.settled.values[cut.taken] > HALF]

    def _return(self, uses: list[Use], sign: int) -> None:
        for use in uses:
            for cut in self._cuts(use):
                taken = round(self.settled.values[cut.given]) + END_CM
                self._give((cut.piece.skein, cut.piece.number), sign * taken)

    def _give(self, place: tuple[str, int], length: int) -> None:
        self.left[place] = replace(self.left[place], length_cm=self.left[place].length_cm + length)


def reach_cm(stock: Mapping[str, Iterable[Piece]], yarn: WorkingYarn, stretch: Stretch, joins: int | None) -> int:
    """How long a run of the yarn could be from these pieces, every strand as long as the others.

    Each join goes to the lot that would end the run.
    """
    usable = {
        lot.id: sorted((p.length_cm for p in stock[lot.id] if p.length_cm - END_CM >= stretch.least_cm), reverse=True)
        for lot, _ in yarn.lots
    }
    strands = {lot.id: own for lot, own in yarn.lots}
    if joins is None:
        joins = sum(map(len, usable.values()))
    pieces = dict(strands)
    for _ in range(max(0, joins)):
        growing = min(usable, key=lambda lot: _run_cm(usable[lot][: pieces[lot]], strands[lot]))
        pieces[growing] += 1
    return min(_run_cm(lengths[: pieces[lot]], strands[lot]) for lot, lengths in usable.items())


def _run_cm(lengths: Sequence[int], strands: int) -> int:
    cuts = len(lengths) + strands - 1  # every strand but the last may end within a piece
    return max(0, (sum(lengths) - END_CM * cuts) // strands) if lengths else 0


def _lots(yarn: WorkingYarn) -> dict[str, int]:
    return {lot.id: strands for lot, strands in yarn.lots}

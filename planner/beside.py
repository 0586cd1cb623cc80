"""What is left of the stash beside what serves a project, and how far it would reach."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

from planner.answers import CoverYarn
from planner.instance import END_CM
from planner.pairs import may_meet

if TYPE_CHECKING:
    from collections.abc import Iterable, Mapping, Sequence

    from planner.instance import Making, Piece, SizedNeed, Stretch
    from planner.yarns import WorkingYarn


@dataclass(frozen=True)
class Kept:
    """A run of yarn that serves; `takes`: skein, piece and cm with the ends."""

    need: str
    stretch: Stretch
    yarn: WorkingYarn
    length_cm: int
    takes: tuple[tuple[str, int, int], ...]

    @property
    def shown(self) -> CoverYarn:
        return CoverYarn(lots_of(self.yarn), self.length_cm)


class Beside:
    """What is left beside what is kept; what one stretch takes is gone for the next."""

    def __init__(self, making: Making, stock: Mapping[str, tuple[Piece, ...]], kept: Sequence[Kept]) -> None:
        self.making, self.stock, self.kept = making, stock, kept
        self.serving = {own.need.name: [run.yarn for run in kept if run.need == own.need.name] for own in making.needs}
        self.taken: dict[tuple[str, int], int] = {}
        self._give_back(kept, -1)

    def replaced(self, sized: SizedNeed, stretches: Sequence[Stretch]) -> list[CoverYarn]:
        """For every stretch of the need to be found, the permitted yarn that reaches furthest, none counted twice."""
        joins = sized.need.joins
        if joins is not None:
            joins -= sum(len(run.takes) - run.yarn.strands for run in self._of(sized))
        nearest = []
        for stretch in stretches:
            length, best = 0, None
            for yarn in sized.yarns:
                reach = self._reach(yarn, stretch, joins)
                if reach > length and self._permitted(sized, yarn):
                    length, best = reach, yarn
            if best is None:
                nearest.append(CoverYarn({}, 0))
                continue
            pieces = self._take(best, length)
            joins = None if joins is None else joins - pieces + best.strands
            self.serving[sized.need.name].append(best)
            nearest.append(CoverYarn(lots_of(best), length))
        return nearest

    def topped_up(self, sized: SizedNeed) -> int:
        """What a need that is shared out lacks when the yarns that serve it give all they can."""
        kept = self._of(sized)
        self._give_back(kept, 1)
        joins, have = sized.need.joins, 0
        for run in kept:
            length = min(self._reach(run.yarn, run.stretch, joins), sized.planned_cm - have)
            pieces = self._take(run.yarn, length)
            joins = None if joins is None else joins - pieces + run.yarn.strands
            have += length
        return sized.planned_cm - max(have, sum(run.length_cm for run in kept))

    def _of(self, sized: SizedNeed) -> list[Kept]:
        return [run for run in self.kept if run.need == sized.need.name]

    def _reach(self, yarn: WorkingYarn, stretch: Stretch, joins: int | None) -> int:
        stock = {lot.id: self._left(lot.id) for lot, _ in yarn.lots}
        return min(reach_cm(stock, yarn, stretch, joins), stretch.planned_cm)

    def _left(self, lot: str) -> list[Piece]:
        return [
            replace(piece, length_cm=piece.length_cm - taken) if (taken := self._taken(piece)) else piece
            for piece in self.stock[lot]
        ]

    def _taken(self, piece: Piece) -> int:
        return self.taken.get((piece.skein, piece.number), 0)

    def _permitted(self, sized: SizedNeed, yarn: WorkingYarn) -> bool:
        """Whether the yarn may stand beside all that serves, its own need's other parts among it."""
        meetings = ((self.making.meeting(sized, other), other.need.name) for other in self.making.needs)
        return all(may_meet(meeting, yarn, beside) for meeting, name in meetings for beside in self.serving[name])

    def _take(self, yarn: WorkingYarn, length: int) -> int:
        """Take a run of the yarn, longest pieces first, and tell how many pieces that took."""
        pieces = 0
        for lot, strands in yarn.lots:
            for _ in range(strands):
                missing = length
                while missing > 0:
                    longest = max(self._left(lot.id), key=lambda piece: piece.length_cm)
                    gives = min(missing, longest.length_cm - END_CM)
                    if gives <= 0:
                        break
                    self._give((longest.skein, longest.number), -gives - END_CM)
                    missing -= gives
                    pieces += 1
        return pieces

    def _give_back(self, kept: Iterable[Kept], sign: int) -> None:
        for run in kept:
            for skein, piece, taken in run.takes:
                self._give((skein, piece), sign * taken)

    def _give(self, place: tuple[str, int], length: int) -> None:
        self.taken[place] = self.taken.get(place, 0) - length


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
        return min(_run_cm(lengths, strands[lot]) for lot, lengths in usable.items())
    pieces = dict(strands)
    for _ in range(max(0, joins)):
        growing = min(usable, key=lambda lot: _run_cm(usable[lot][: pieces[lot]], strands[lot]))
        pieces[growing] += 1
    return min(_run_cm(lengths[: pieces[lot]], strands[lot]) for lot, lengths in usable.items())


def lots_of(yarn: WorkingYarn) -> dict[str, int]:
    """Strands by lot."""
    return {lot.id: strands for lot, strands in yarn.lots}


def _run_cm(lengths: Sequence[int], strands: int) -> int:
    cuts = len(lengths) + strands - 1  # every strand but the last may end within a piece
    return max(0, (sum(lengths) - END_CM * cuts) // strands) if lengths else 0

"""How far a need that is shared out gets with the yarns that are there: found by counting, and never told too short."""

from __future__ import annotations

from dataclasses import dataclass, field
from fractions import Fraction
from typing import TYPE_CHECKING

from planner.instance import END_CM, held_cm
from planner.pairs import may_meet

if TYPE_CHECKING:
    from collections.abc import Iterable, Mapping, Sequence

    from planner.instance import Making, Piece, SizedNeed
    from planner.yarns import WorkingYarn

    Stock = Mapping[str, Sequence[Piece]]

MANY = 200  # yarns, of which no sets are tried
STEPS = 3000  # sets tried


@dataclass(frozen=True)
class Reach:
    """Yarns that may stand together and how far each goes in cm; no yarns together go further than `most_cm`."""

    shares: tuple[tuple[WorkingYarn, int], ...]
    most_cm: int

    @property
    def surely_cm(self) -> int:
        """What these yarns reach together, as far as lots as a whole tell."""
        return sum(length for _, length in self.shares)

    def shortened(self, length_cm: int, least_cm: int) -> tuple[tuple[WorkingYarn, int], ...]:
        """The same yarns, the furthest first, in runs that add up to so much, none of them under the least."""
        count = min(len(self.shares), length_cm // least_cm)
        missing, runs = length_cm - count * least_cm, []
        for yarn, length in self.shares[:count]:
            more = min(missing, length - least_cm)
            runs.append((yarn, least_cm + more))
            missing -= more
        return tuple(runs)


def furthest(making: Making, sized: SizedNeed, stock: Stock, found: int = 0) -> Reach | None:
    """What serves most of a need that is shared out; None where there are too many yarns to tell.

    `found`: how many of the working yarns that its rule allows are still to be found.
    """
    reaches = [(reach_at_most(stock, sized, yarn), yarn) for yarn in sized.yarns]
    long_enough = sorted(
        ((reach, yarn) for reach, yarn in reaches if reach >= sized.share_cm), key=lambda own: (-own[0], own[1].name)
    )
    most = sized.need.lots.most
    if len(long_enough) > MANY:
        return None
    yarns = [yarn for _, yarn in long_enough]
    sets = _Sets(
        sized,
        yarns,
        [reach for reach, _ in long_enough],
        {
            lot.id: held_cm(stock[lot.id], sized.stretches[0].least_cm)
            for _, yarn in long_enough
            for lot, _ in yarn.lots
        },
        len(yarns) if most is None else most - found,
    )
    meeting = making.meeting(sized, sized)
    sets.meets = [
        [other > at and may_meet(meeting, one, its) for other, its in enumerate(sets.yarns)]
        for at, one in enumerate(sets.yarns)
    ]
    sets.grow([], list(range(len(sets.yarns))))
    return Reach(tuple(sets.best), max(sets.bound, sets.reached))


def reach_at_most(stock: Stock, sized: SizedNeed, yarn: WorkingYarn) -> int:
    """How far a yarn goes in a need at most, alone with the stash, up to the whole need."""
    least = sized.stretches[0].least_cm
    return min(
        sized.planned_cm,
        *(
            in_strands([own for piece in stock[lot.id] if (own := piece.length_cm - END_CM) >= least], strands)
            for lot, strands in yarn.lots
        ),
    )


def in_strands(lengths: Sequence[int], strands: int) -> int:
    """How long so many strands, all alike, can be at most from pieces of these lengths, ends taken off.

    Two strands share a piece, which then is cut and loses two ends more, or each has pieces of its own.
    """
    total = sum(lengths)
    if strands != 2:
        return total // strands
    return max(0, (total - END_CM) // 2, _evenly(lengths))


def _evenly(lengths: Iterable[int]) -> int:
    """The shorter part of the lengths when they are parted in two as evenly as can be."""
    sums, total = 1, 0  # bit n: whether some of the lengths add up to n
    for length in lengths:
        sums |= sums << length
        total += length
    return (sums & ((1 << total // 2 + 1) - 1)).bit_length() - 1


@dataclass
class _Sets:
    """A search for the yarns that may stand together and go furthest, of those that go furthest alone first."""

    sized: SizedNeed
    yarns: list[WorkingYarn]
    reaches: list[int]
    holds: Mapping[str, int]
    most: int  # yarns
    meets: list[list[bool]] = field(default_factory=list)  # by place, of those after it
    best: list[tuple[WorkingYarn, int]] = field(default_factory=list)
    reached: int = 0
    bound: int = 0
    steps: int = 0

    def __post_init__(self) -> None:
        self.fewest: dict[str, int] = {}  # strands in which a lot is held
        for yarn in self.yarns:
            for lot, _ in yarn.lots:
                self.fewest[lot.id] = min(self.fewest.get(lot.id, yarn.strands), yarn.strands)

    def grow(self, chosen: list[int], free: list[int]) -> None:
        """Try the sets of these yarns and some that are free, until none goes further than the best."""
        self.steps += 1
        shares = self._shares(chosen)
        reached = sum(length for _, length in shares)
        if reached > self.reached:
            self.best, self.reached = shares, reached
        self.bound = max(self.bound, self._at_most(chosen, []))
        if len(chosen) >= self.most:
            return
        for number, at in enumerate(free):
            could = self._at_most(chosen, free[number:])
            if could <= self.reached:
                return
            if self.steps > STEPS:
                self.bound = max(self.bound, could)
                return
            self.grow([*chosen, at], [other for other in free[number + 1 :] if self.meets[at][other]])

    def _at_most(self, chosen: Sequence[int], free: Sequence[int]) -> int:
        """What these yarns and those of the free that go furthest reach at most, each alone and all from their lots."""
        alone = sum(self.reaches[at] for at in (*chosen, *free[: self.most - len(chosen)]))
        if alone <= self.reached:
            return alone
        lots = {lot.id for at in (*chosen, *free) for lot, _ in self.yarns[at].lots}
        together = sum((Fraction(self.holds[lot], self.fewest[lot]) for lot in lots), Fraction(0))
        return min(self.sized.planned_cm, alone, int(together))

    def _shares(self, chosen: Sequence[int]) -> list[tuple[WorkingYarn, int]]:
        """How far each goes when those before it take what they can of the lots that it shares with them."""
        left, missing = dict(self.holds), self.sized.planned_cm
        shares = []
        for at in chosen:
            yarn = self.yarns[at]
            length = min(missing, self.reaches[at], *(left[lot.id] // strands for lot, strands in yarn.lots))
            if length >= self.sized.share_cm:
                shares.append((yarn, length))
                missing -= length
                for lot, strands in yarn.lots:
                    left[lot.id] -= strands * (length + END_CM)
        return shares

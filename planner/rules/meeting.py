"""What may stand beside what: colour, order, washing, likeness within a need."""

from __future__ import annotations

from collections import defaultdict
from itertools import combinations_with_replacement
from typing import TYPE_CHECKING

from planner import cliques
from planner.pairs import rises, steps_between
from planner.program import Row

if TYPE_CHECKING:
    from collections.abc import Iterator

    from planner.columns import Columns, Use
    from planner.instance import Making, SizedNeed
    from planner.yarns import WorkingYarn


def never_meet(columns: Columns) -> Iterator[Row]:
    """Working yarns that a pair rule keeps apart never stand in the same project.

    For every group of yarns of a making, any two kept apart or serving the same stretch: sum of used <= made.
    """
    for index in range(len(columns.instance.makings)):
        uses, apart, implied = _kept_apart(columns, index)
        for number, group in enumerate(cliques.cover(apart, implied)):
            terms = (*((uses[place].used, 1.0) for place in group), (columns.made[index], -1.0))
            yield Row(f"never_meet_{index:05d}_{number:05d}", terms, "<=", 0)


def _kept_apart(columns: Columns, index: int) -> tuple[list[Use], list[int], list[int]]:
    """The uses of a making and, as bits by their places, which are strangers and which serve the same stretch."""
    making = columns.instance.makings[index]
    served = [(use, use.yarn) for use in columns.by_making[index] if use.yarn is not None]
    bits: dict[tuple[str, WorkingYarn], int] = defaultdict(int)
    for place, (use, yarn) in enumerate(served):
        bits[use.sized.need.name, yarn] |= 1 << place
    apart, implied = [], []
    for place, (use, yarn) in enumerate(served):
        strangers = same = 0
        for other in making.needs:
            for stranger in columns.instance.strangers(making, use.sized, other).get(yarn, ()):
                strangers |= bits.get((other.need.name, stranger), 0)
        for near, (mate, _) in enumerate(() if use.sized.divisible else served):
            same |= (mate.stretch is use.stretch) << near
        apart.append(strangers & ~(1 << place))
        implied.append(same & ~(1 << place))
    return [use for use, _ in served], apart, implied


def same_as(columns: Columns) -> Iterator[Row]:
    """`same-as: NEED`: every working yarn is one of that need's.

    For every yarn of the need: used <= sum over the other need's uses of that yarn.
    """
    for name, index, sized, uses in columns.needs():
        for target in sized.need.colour.same_as:
            if not any(other.need.name == target for other in columns.instance.makings[index].needs):
                continue
            theirs = columns.by_need.get((index, target), ())
            for number, use in enumerate(uses):
                same = ((other.used, -1.0) for other in theirs if _same(use, other))
                yield Row(f"same_as_{name}_{number:05d}", ((use.used, 1.0), *same), "<=", 0)


def one_direction(columns: Columns) -> Iterator[Row]:
    """`order`: lightness strictly rises along the list, or strictly falls.

    For every two needs of it and yarn a of the one: used(a) + sum over lighter b of used(b) <= 1 + rising,
    and with darker b <= 2 - rising. (That steps are large enough is the business of never_meet.)
    """
    for name, index, making, one, other in _pairs_of_needs(columns):
        steps = steps_between(making.meeting(one, other))
        if not steps:
            continue
        for number, (a, against) in enumerate(_facing(columns, index, one, other)):
            known = [(b, rises(a.yarn, b.yarn) is (steps > 0)) for b in against if a.yarn and b.yarn]
            up, down = ([b for b, upward in known if upward is way] for way in (True, False))
            rising = columns.rising[index]
            for way, group, sign, right in (("up", up, -1.0, 1.0), ("down", down, 1.0, 2.0)):
                if group:
                    terms = ((a.used, 1.0), *((b.used, 1.0) for b in group), (rising, sign))
                    yield Row(f"one_direction_{name}_{number:05d}_{way}", terms, "<=", right)


def _pairs_of_needs(columns: Columns) -> Iterator[tuple[str, int, Making, SizedNeed, SizedNeed]]:
    for index, making in enumerate(columns.instance.makings):
        places = combinations_with_replacement(range(len(making.needs)), 2)
        for one, other in places:
            yield f"{index:05d}_{one:05d}_{other:05d}", index, making, making.needs[one], making.needs[other]


def _facing(columns: Columns, index: int, one: SizedNeed, other: SizedNeed) -> Iterator[tuple[Use, tuple[Use, ...]]]:
    """Every use of the one need before every slot of the other, each pair of slots once within one need."""
    theirs = columns.slots(index, other)
    for place, slot in enumerate(columns.slots(index, one)):
        for facing in theirs[place + 1 :] if one is other else theirs:
            for use in slot:
                yield use, facing


def _same(use: Use, other: Use) -> bool:
    return (use.yarn and use.yarn.name) == (other.yarn and other.yarn.name)

"""What stands in the way of a project, by counting alone: needs that are short whatever else is tried.

Each argument names the needs it speaks of: the pattern with these needs alone would be short as well.
"""

from __future__ import annotations

from itertools import combinations
from typing import TYPE_CHECKING

from planner.columns import most_cm
from planner.instance import held_cm

if TYPE_CHECKING:
    from collections.abc import Iterator, Mapping

    from planner.instance import Instance, Making, SizedNeed, Stretch
    from planner.yarns import WorkingYarn


def blocks(asked: Instance, making: Making) -> Iterator[frozenset[str]]:
    """Needs, one or two, that are enough to make the project short, as counting shows; none: it shows nothing."""
    reached = []
    for sized in making.needs:
        if unreached(asked, sized) is not None:
            yield frozenset({sized.need.name})
        else:
            reached.append(sized)
    for one, other in combinations(reached, 2):
        if all_apart(asked, making, one, other) or overdrawn(asked, making, one, other):
            yield frozenset({one.need.name, other.need.name})


def unreached(asked: Instance, sized: SizedNeed) -> Stretch | None:
    """A stretch that no yarn, or where it is shared out not all that may share it, can reach by itself."""
    if not sized.divisible:
        short = [s for s in sized.stretches if all(most_cm(asked, s, yarn) < s.planned_cm for yarn in sized.yarns)]
        return max(short, key=lambda stretch: stretch.planned_cm, default=None)
    (stretch,) = sized.stretches
    return stretch if shared_most(asked, sized) < stretch.planned_cm else None


def held_by(asked: Instance, stretch: Stretch, yarn: WorkingYarn) -> int:
    """What a yarn could give at the most, be it more than the stretch asks."""
    return min(held_cm(asked.stock[lot.id], stretch.least_cm) // strands for lot, strands in yarn.lots)


def shared_most(asked: Instance, sized: SizedNeed) -> int:
    """What the yarns that may share a need could give together at the most."""
    (stretch,) = sized.stretches
    held = sorted((held_by(asked, stretch, yarn) for yarn in hopeful(asked, sized)), reverse=True)
    best = sum(held[: sized.need.lots.most])
    lots = {lot.id for yarn in hopeful(asked, sized) for lot, _ in yarn.lots}
    every = sum(held_cm(asked.stock[lot], stretch.least_cm) for lot in lots) // min(
        (yarn.strands for yarn in sized.yarns), default=1
    )
    return min(best, every)


def hopeful(asked: Instance, sized: SizedNeed) -> list[WorkingYarn]:
    """The yarns of which the need must have one: those that reach its longest stretch, or carry a share."""
    stretch = max(sized.stretches, key=lambda one: one.planned_cm)
    least = sized.share_cm if sized.divisible else stretch.planned_cm
    return [yarn for yarn in sized.yarns if held_by(asked, stretch, yarn) >= least]


def all_apart(asked: Instance, making: Making, one: SizedNeed, other: SizedNeed) -> bool:
    """Whether no yarn that reaches for the one may stand beside any that reaches for the other."""
    mine, theirs = hopeful(asked, one), hopeful(asked, other)
    strangers = asked.strangers(making, one, other)
    return all(b in strangers[a] for a in mine for b in theirs)


def overdrawn(asked: Instance, making: Making, one: SizedNeed, other: SizedNeed) -> Mapping[str, tuple[int, int]]:
    """Lots of which two needs take more than there is, whichever yarns serve them: what they take, what it has, in cm.

    Empty: some choice is not so refuted, or a need may be shared out.
    """
    if one.divisible or other.divisible:
        return {}
    strangers = asked.strangers(making, one, other)
    first, second = (max(sized.stretches, key=lambda s: s.planned_cm) for sized in (one, other))
    worst: dict[str, tuple[int, int]] = {}
    for a in hopeful(asked, one):
        for b in hopeful(asked, other):
            if b in strangers[a] or _untied(one, other, a, b):
                continue
            over = _over(asked, (a, first), (b, second))
            if over is None:
                return {}
            lot, takes, has = over
            worst[lot] = min(worst.get(lot, (takes, has)), (takes, has))
    return worst


def _untied(one: SizedNeed, other: SizedNeed, a: WorkingYarn, b: WorkingYarn) -> bool:
    """Whether two needs that must be of the same yarn would not be."""
    tied = (other.need.name in one.need.colour.same_as and other.need.lots.kind == "one") or (
        one.need.name in other.need.colour.same_as and one.need.lots.kind == "one"
    )
    return tied and a.name != b.name


def _over(
    asked: Instance, one: tuple[WorkingYarn, Stretch], other: tuple[WorkingYarn, Stretch]
) -> tuple[str, int, int] | None:
    """A lot of which two runs take more than it has: the lot, what they take, what it has."""
    (a, first), (b, second) = one, other
    least = min(first.least_cm, second.least_cm)
    mine, theirs = ({lot.id: n for lot, n in yarn.lots} for yarn in (a, b))
    for lot in sorted(mine.keys() & theirs.keys()):
        takes = mine[lot] * first.planned_cm + theirs[lot] * second.planned_cm
        has = held_cm(asked.stock[lot], least)
        if takes > has:
            return lot, takes, has
    return None

"""Which two working yarns may meet in a project: one function a rule, each answering for two yarns and their needs."""

from __future__ import annotations

import math
from dataclasses import dataclass
from functools import cached_property
from typing import TYPE_CHECKING, NamedTuple

from stash import colour, fibre

if TYPE_CHECKING:
    from collections.abc import Callable, Mapping

    from patterns.needs import Need
    from planner.yarns import WorkingYarn
    from stash.lots import Lot

    PairRule = Callable[["Meeting", WorkingYarn, WorkingYarn], bool]

LIMIT = 1e-6
BLENDS_APART = 30.0  # points between the blends of one need's working yarns
BLEEDS_ONTO = 25.0  # L* lighter than a lot that bleeds
STEP = 5.0  # L* from one need of an order to the next


class Contrast(NamedTuple):
    """How much darker than the one yarn the other has to be, or else how much lighter, in L*; inf: not that way."""

    darker: float
    lighter: float

    def holds(self, one: WorkingYarn, other: WorkingYarn) -> bool:
        rise = other.colour.lightness - one.colour.lightness
        return rise >= self.lighter - LIMIT or -rise >= self.darker - LIMIT


@dataclass(frozen=True)
class Meeting:
    """Two needs of one project (or one need twice) and what the project says of washing and order."""

    one: Need
    other: Need
    wash: str
    bleed_risk: bool
    order: tuple[str, ...]  # the needs of the order that arise in this size

    @cached_property
    def apart(self) -> tuple[Contrast, ...]:
        """What `against` asks of the other's yarn, beside the one's."""
        both = ((self.one, self.other), (self.other, self.one))
        asked = (need.colour.against_lightness for need, target in both if target.name in need.colour.against)
        return tuple(Contrast(least, least) for least in asked)

    @cached_property
    def lighter(self) -> tuple[Contrast, ...]:
        """What `lighter-than` and `darker-than` ask of the other's yarn, beside the one's."""
        one, other = self.one, self.other
        mine, its = one.colour.lighter_lightness, other.colour.lighter_lightness
        asked = (
            (other.name in one.colour.lighter_than, Contrast(mine, math.inf)),
            (other.name in one.colour.darker_than, Contrast(math.inf, mine)),
            (one.name in other.colour.lighter_than, Contrast(math.inf, its)),
            (one.name in other.colour.darker_than, Contrast(its, math.inf)),
        )
        return tuple(contrast for told, contrast in asked if told)

    @cached_property
    def steps(self) -> tuple[Contrast, ...]:
        """What `order` asks of the other's yarn, beside the one's: 5 L* for each step between them."""
        least = (STEP - LIMIT) * (count := abs(steps_between(self))) + LIMIT
        return (Contrast(least, least),) if count else ()

    @property
    def contrasts(self) -> tuple[Contrast, ...]:
        """All that is asked of lightness."""
        return (*self.apart, *self.lighter, *self.steps)

    @cached_property
    def one_need(self) -> bool:
        """Whether both yarns serve one need."""
        return self.one is self.other

    @cached_property
    def no_lot_in_both(self) -> bool:
        """Whether the one is told not to hold what the other does."""
        return self.other.name in self.one.colour.not_in or self.one.name in self.other.colour.not_in

    @cached_property
    def rules(self) -> tuple[PairRule, ...]:
        """The rules that two yarns may break here."""
        return tuple(rule for rule, asks in PAIR_RULES.items() if asks(self))


def match(meeting: Meeting, a: WorkingYarn, b: WorkingYarn) -> bool:
    """Within a need: difference(a, b) <= match."""
    most = meeting.one.lots.match if meeting.one_need else None
    return most is None or colour.difference(a.colour, b.colour) <= most + LIMIT


def blends(meeting: Meeting, a: WorkingYarn, b: WorkingYarn) -> bool:
    """Within a need: blends differ by at most 30 points, so that they wash and wear alike."""
    return not meeting.one_need or float(fibre.distance(a.blend, b.blend)) <= BLENDS_APART + LIMIT


def against(meeting: Meeting, a: WorkingYarn, b: WorkingYarn) -> bool:
    """|L*(a) - L*(b)| >= lightness, for every need told to stand against another."""
    return all(contrast.holds(a, b) for contrast in meeting.apart)


def lighter(meeting: Meeting, a: WorkingYarn, b: WorkingYarn) -> bool:
    """L*(own) - L*(target) >= lightness for lighter-than, the reverse for darker-than."""
    return all(contrast.holds(a, b) for contrast in meeting.lighter)


def not_in(meeting: Meeting, a: WorkingYarn, b: WorkingYarn) -> bool:
    """`not: NEED`: no lot in common."""
    return not meeting.no_lot_in_both or not a.lot_ids & b.lot_ids


def once_in_order(meeting: Meeting, a: WorkingYarn, b: WorkingYarn) -> bool:
    """No lot serves two needs of an order."""
    return not meeting.steps or not a.lot_ids & b.lot_ids


def steps_in_order(meeting: Meeting, a: WorkingYarn, b: WorkingYarn) -> bool:
    """Two needs of an order lie 5 L* apart or more for each step between them, whichever way it runs.

    Said of neighbours this would do for yarn that is owned; said of all, it leaves room for yarn still to be found.
    """
    return all(contrast.holds(a, b) for contrast in meeting.steps)


def washed_together(meeting: Meeting, a: WorkingYarn, b: WorkingYarn) -> bool:
    """Every lot of the one may meet every lot of the other (felting, bleeding)."""
    return all(lots_may_meet(one, other, meeting.wash, meeting.bleed_risk) for one, _ in a.lots for other, _ in b.lots)


# Each rule, and which meetings it asks anything of: it holds in all others.
PAIR_RULES: Mapping[PairRule, Callable[[Meeting], object]] = {
    not_in: lambda meeting: meeting.no_lot_in_both,
    once_in_order: lambda meeting: meeting.steps,
    against: lambda meeting: meeting.apart,
    lighter: lambda meeting: meeting.lighter,
    steps_in_order: lambda meeting: meeting.steps,
    washed_together: lambda meeting: True,  # noqa: ARG005 (asked of every meeting)
    blends: lambda meeting: meeting.one_need,
    match: lambda meeting: meeting.one_need and meeting.one.lots.match is not None,
}


def may_meet(meeting: Meeting, a: WorkingYarn, b: WorkingYarn) -> bool:
    """Whether yarn a in the one need and yarn b in the other may stand in the same project."""
    for rule in meeting.rules:  # noqa: SIM110 (asked of every two yarns: a generator costs as much as the rules)
        if not rule(meeting, a, b):
            return False
    return True


def lots_may_meet(one: Lot, other: Lot, wash: str, bleed_risk: bool) -> bool:
    """Lots known to felt never meet lots known not to, unless washed by hand; nor a bleeding lot one 25 L* lighter."""
    if not may_wash(one.felts, other.felts, wash):
        return False
    return bleed_risk or not (bleeds_onto(one, other) or bleeds_onto(other, one))


def may_wash(one: bool | None, other: bool | None, wash: str) -> bool:
    """Whether a lot that felts so (None: unknown) may be washed with one that felts so."""
    return wash == "hand" or one is None or other is None or one == other


def steps_between(meeting: Meeting) -> int:
    """Steps along the order from the one need to the other; 0 where they are not both in it."""
    names = (meeting.one.name, meeting.other.name)
    if not set(names) <= set(meeting.order):
        return 0
    return meeting.order.index(names[1]) - meeting.order.index(names[0])


def rises(a: WorkingYarn, b: WorkingYarn) -> bool:
    """Whether lightness rises from a to b."""
    return b.colour.lightness >= a.colour.lightness


def bleeds_onto(one: Lot, other: Lot) -> bool:
    """Whether the one is known to bleed and the other is light enough to show it."""
    return bool(one.bleeds) and other.colour.lightness - one.colour.lightness >= BLEEDS_ONTO - LIMIT

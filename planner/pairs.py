"""Which two working yarns may meet in a project: one function a rule, each answering for two yarns and their needs."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from stash import colour, fibre

if TYPE_CHECKING:
    from collections.abc import Callable

    from patterns.needs import Need
    from planner.yarns import WorkingYarn
    from stash.lots import Lot

LIMIT = 1e-6
BLENDS_APART = 30.0  # points between the blends of one need's working yarns
BLEEDS_ONTO = 25.0  # L* lighter than a lot that bleeds
STEP = 5.0  # L* from one need of an order to the next


@dataclass(frozen=True)
class Meeting:
    """Two needs of one project (or one need twice) and what the project says of washing and order."""

    one: Need
    other: Need
    wash: str
    bleed_risk: bool
    order: tuple[str, ...]  # the needs of the order that arise in this size


def match(meeting: Meeting, a: WorkingYarn, b: WorkingYarn) -> bool:
    """Within a need: difference(a, b) <= match."""
    rule = meeting.one.lots
    if meeting.one is not meeting.other or rule.match is None:
        return True
    return colour.difference(a.colour, b.colour) <= rule.match + LIMIT


def blends(meeting: Meeting, a: WorkingYarn, b: WorkingYarn) -> bool:
    """Within a need: blends differ by at most 30 points, so that they wash and wear alike."""
    return meeting.one is not meeting.other or float(fibre.distance(a.blend, b.blend)) <= BLENDS_APART + LIMIT


def against(meeting: Meeting, a: WorkingYarn, b: WorkingYarn) -> bool:
    """|L*(a) - L*(b)| >= lightness, for every need told to stand against another."""
    apart = abs(a.colour.lightness - b.colour.lightness)
    return all(
        apart >= need.colour.against_lightness - LIMIT
        for need, target in ((meeting.one, meeting.other), (meeting.other, meeting.one))
        if target.name in need.colour.against
    )


def lighter(meeting: Meeting, a: WorkingYarn, b: WorkingYarn) -> bool:
    """L*(own) - L*(target) >= lightness for lighter-than, the reverse for darker-than."""
    for need, own, target, its in (
        (meeting.one, a, meeting.other, b),
        (meeting.other, b, meeting.one, a),
    ):
        rise = own.colour.lightness - its.colour.lightness
        least = need.colour.lighter_lightness - LIMIT
        if target.name in need.colour.lighter_than and rise < least:
            return False
        if target.name in need.colour.darker_than and -rise < least:
            return False
    return True


def not_in(meeting: Meeting, a: WorkingYarn, b: WorkingYarn) -> bool:
    """`not: NEED`: no lot in common."""
    told = meeting.other.name in meeting.one.colour.not_in or meeting.one.name in meeting.other.colour.not_in
    return not told or not a.lot_ids & b.lot_ids


def once_in_order(meeting: Meeting, a: WorkingYarn, b: WorkingYarn) -> bool:
    """No lot serves two needs of an order."""
    both = meeting.one is not meeting.other and {meeting.one.name, meeting.other.name} <= set(meeting.order)
    return not both or not a.lot_ids & b.lot_ids


def steps_in_order(meeting: Meeting, a: WorkingYarn, b: WorkingYarn) -> bool:
    """Two needs of an order lie 5 L* apart or more for each step between them, whichever way it runs.

    Said of neighbours this would do for yarn that is owned; said of all, it leaves room for yarn still to be found.
    """
    return abs(a.colour.lightness - b.colour.lightness) >= (STEP - LIMIT) * abs(steps_between(meeting))


def washed_together(meeting: Meeting, a: WorkingYarn, b: WorkingYarn) -> bool:
    """Every lot of the one may meet every lot of the other (felting, bleeding)."""
    return all(lots_may_meet(one, other, meeting.wash, meeting.bleed_risk) for one, _ in a.lots for other, _ in b.lots)


PAIR_RULES: tuple[Callable[[Meeting, WorkingYarn, WorkingYarn], bool], ...] = (
    not_in,
    once_in_order,
    against,
    lighter,
    steps_in_order,
    washed_together,
    blends,
    match,
)


def may_meet(meeting: Meeting, a: WorkingYarn, b: WorkingYarn) -> bool:
    """Whether yarn a in the one need and yarn b in the other may stand in the same project."""
    for rule in PAIR_RULES:  # noqa: SIM110 (asked of every two yarns: a generator costs as much as the rules)
        if not rule(meeting, a, b):
            return False
    return True


def lots_may_meet(one: Lot, other: Lot, wash: str, bleed_risk: bool) -> bool:
    """Lots known to felt never meet lots known not to, unless washed by hand; nor a bleeding lot one 25 L* lighter."""
    if wash != "hand" and {one.felts, other.felts} == {True, False}:
        return False
    return bleed_risk or not (bleeds_onto(one, other) or bleeds_onto(other, one))


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

"""Why a working yarn cannot stand beside another in a project: one line of words for each pair rule."""

from __future__ import annotations

from typing import TYPE_CHECKING

from planner import pairs
from planner.reasons import Reason, because
from stash import colour

if TYPE_CHECKING:
    from collections.abc import Callable

    from planner.pairs import Meeting
    from planner.yarns import WorkingYarn

    Words = Callable[[Meeting, WorkingYarn, WorkingYarn], str]


def _in_common(meeting: Meeting, _own: WorkingYarn, _mate: WorkingYarn) -> str:
    return f"it serves {meeting.other.name}, and {meeting.one.name} may not share a lot with that"


def _twice_in_order(meeting: Meeting, _own: WorkingYarn, _mate: WorkingYarn) -> str:
    return f"it serves {meeting.other.name}, and a fade takes no lot twice"


def _contrast(meeting: Meeting, own: WorkingYarn, mate: WorkingYarn) -> str:
    apart = abs(own.colour.lightness - mate.colour.lightness)
    asked = max(
        need.colour.against_lightness
        for need, target in ((meeting.one, meeting.other), (meeting.other, meeting.one))
        if target.name in need.colour.against
    )
    return f"it is {apart:.0f} lighter or darker than {_beside(meeting, mate)}, and {asked:g} is asked"


def _lighter(meeting: Meeting, own: WorkingYarn, mate: WorkingYarn) -> str:
    one, other = meeting.one, meeting.other
    rise = own.colour.lightness - mate.colour.lightness
    how = f"{rise:.0f} lighter" if rise >= 0 else f"{-rise:.0f} darker"
    asked = "lighter" if other.name in one.colour.lighter_than or one.name in other.colour.darker_than else "darker"
    need = one if other.name in (*one.colour.lighter_than, *one.colour.darker_than) else other
    return f"it is {how} than {_beside(meeting, mate)}, and {need.colour.lighter_lightness:g} {asked} is asked"


def _step(meeting: Meeting, own: WorkingYarn, mate: WorkingYarn) -> str:
    apart = abs(own.colour.lightness - mate.colour.lightness)
    least = pairs.STEP * abs(pairs.steps_between(meeting))
    return f"it is {apart:.0f} lighter or darker than {_beside(meeting, mate)}, and the fade asks {least:g} there"


def _washing(meeting: Meeting, own: WorkingYarn, mate: WorkingYarn) -> str:
    for one, _ in own.lots:
        for other, _ in mate.lots:
            if not pairs.lots_may_meet(one, other, meeting.wash, meeting.bleed_risk):
                if pairs.bleeds_onto(one, other) and not meeting.bleed_risk:
                    return f"it bleeds, and {other.id} ({meeting.other.name}) is pale enough to show it"
                if pairs.bleeds_onto(other, one) and not meeting.bleed_risk:
                    return f"{other.id} ({meeting.other.name}) bleeds, and this is pale enough to show it"
                felts, stays = ("it", other.id) if one.felts else (other.id, "it")
                return f"{felts} felts in the wash and {stays} does not"
    return f"it cannot be washed with {_beside(meeting, mate)}"


def _unlike_blend(meeting: Meeting, _own: WorkingYarn, mate: WorkingYarn) -> str:
    return f"its blend is too unlike that of {_beside(meeting, mate)}"


def _unlike_colour(meeting: Meeting, own: WorkingYarn, mate: WorkingYarn) -> str:
    apart = colour.difference(own.colour, mate.colour)
    return f"its colour is {apart:.0f} away from {_beside(meeting, mate)}, {meeting.one.lots.match:g} is allowed"


WORDS: dict[object, Words] = {
    pairs.not_in: _in_common,
    pairs.once_in_order: _twice_in_order,
    pairs.against: _contrast,
    pairs.lighter: _lighter,
    pairs.steps_in_order: _step,
    pairs.washed_together: _washing,
    pairs.blends: _unlike_blend,
    pairs.match: _unlike_colour,
}


def why_apart(meeting: Meeting, own: WorkingYarn, mate: WorkingYarn) -> Reason | None:
    """Why `own`, in the meeting's one need, may not meet `mate` in its other; None where it may."""
    broken = next((rule for rule in meeting.rules if not rule(meeting, own, mate)), None)
    return None if broken is None else because(WORDS[broken](meeting, own, mate))


def _beside(meeting: Meeting, mate: WorkingYarn) -> str:
    names = " with ".join(lot.id for lot, _ in mate.lots)
    return names if meeting.one_need else f"{names} ({meeting.other.name})"

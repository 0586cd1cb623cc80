"""What is to be found for a project that adds up to least: the choices that may come to least are looked at first.

A choice is taken once it is found to come to no more than it must, and no other comes to less.
"""

from __future__ import annotations

from dataclasses import dataclass, field, replace
from heapq import heapify, heappop, heappush
from itertools import product
from typing import TYPE_CHECKING

from planner.instance import END_CM, Stretch
from planner.reckoning import UnclearError
from planner.topping import furthest, reach_at_most

if TYPE_CHECKING:
    from collections.abc import Mapping
    from collections.abc import Set as AbstractSet

    from planner.instance import Making
    from planner.priced.offers import Run
    from planner.reckoning import Place, Reckoning, Served
    from planner.topping import Reach
    from planner.yarns import WorkingYarn

MOST = 7  # stretches for which there is something, each to be found or not


@dataclass(frozen=True)
class Lack:
    """What is to be found, and what serves the rest.

    `whole`: stretches to be found whole; `topped`: of needs that are shared out, how many cm are to be found beside
    what serves them.
    """

    whole: AbstractSet[Place]
    topped: Mapping[Place, int]
    served: Served

    def look_cm(self, making: Making) -> int:
        """What to look for, with its ends."""
        lengths = [making.needs[need].stretches[step].planned_cm for need, step in self.whole]
        return sum(length + END_CM for length in (*lengths, *self.topped.values()))


@dataclass(order=True)
class _Choice:
    """Stretches that may be to be found together and what they come to at least, in cm.

    `partly`: those of them that are topped up; `reaches`: how far the yarns get there that are in `making`.
    """

    least_cm: int
    found: list[Place]
    partly: list[Place]
    making: Making = field(compare=False)
    reaches: dict[Place, Reach] = field(default_factory=dict, compare=False)
    narrowed: bool = field(default=False, compare=False)  # to yarns beside which the rest can be served


def to_find(reckoning: Reckoning, making: Making) -> Lack:
    """What is to be found that adds up to least, and what serves the rest. Raises UnclearError."""
    never, choices = _choices(reckoning, making)
    heapify(choices)
    while choices:
        choice = heappop(choices)
        whole = never | (set(choice.found) - set(choice.partly))
        if choice.reaches:
            lack = _topped_up(reckoning, choice, whole)
            if lack is not None:
                return lack
            if choice.narrowed:
                raise UnclearError
            choice = replace(choice, making=_fitting(reckoning, choice, whole), narrowed=True)
        else:
            served = _beside(reckoning, choice, whole)
            if served is not None and not choice.partly:
                return Lack(whole, {}, served)
            if served is None:
                continue
        further = _counted(reckoning, choice)
        if further is not None:
            heappush(choices, further)
    raise UnclearError


def _beside(reckoning: Reckoning, choice: _Choice, whole: AbstractSet[Place]) -> Served | None:
    """What serves the rest, and the least of what is to be topped up."""
    making, found = choice.making, whole | set(choice.partly)
    if not _tied(making, found):
        return None
    if any(_has_twin(making, need) for need, _ in choice.partly):
        raise UnclearError
    return reckoning.serve(_at_least(making, choice.partly), whole)


def _counted(reckoning: Reckoning, choice: _Choice) -> _Choice | None:
    """The same with how far the yarns get that are to be topped up; None where one need has none."""
    making, reaches, least = choice.making, {}, 0
    for place in choice.partly:
        reach = furthest(making, making.needs[place[0]], reckoning.stock, found=1)
        if reach is None:
            raise UnclearError
        if not reach.most_cm:
            return None
        reaches[place] = reach
        least += _missing(making, place, reach) + END_CM
    least += sum(
        making.needs[need].stretches[step].planned_cm + END_CM for need, step in set(choice.found) - set(choice.partly)
    )
    return replace(choice, least_cm=least, reaches=reaches)


def _choices(reckoning: Reckoning, making: Making) -> tuple[AbstractSet[Place], list[_Choice]]:
    """Stretches that are to be found in any case, and what else may be to be found together."""
    slots = reckoning.inside(making).slots
    may = [slot for slot in slots if slot.possible and making.needs[slot.need].yarns]
    never = frozenset((slot.need, slot.step) for slot in slots if slot not in may)
    if len(may) > MOST:
        raise UnclearError
    ways: list[list[tuple[int, Place | None, bool]]] = []  # cm, place if found, whether in part
    for slot in may:
        place = (slot.need, slot.step)
        ways.append([(0, None, False), (slot.planned + END_CM, place, False)])
        if slot.divisible:
            ways[-1].append((slot.share + END_CM, place, True))
    choices = []
    for chosen in product(*ways):
        found = sorted(place for _, place, _ in chosen if place)
        if found or never:
            partly = sorted(place for _, place, part in chosen if place and part)
            choices.append(_Choice(sum(length for length, _, _ in chosen), found, partly, making))
    return never, choices


def _at_least(making: Making, partly: list[Place]) -> Making:
    """The same, asking of some needs that are shared out no more than the least that one yarn carries."""
    needs = list(making.needs)
    for place, _ in partly:
        sized = needs[place]
        one = replace(sized.need, lots=replace(sized.need.lots, kind="one", most=1))
        least = sized.share_cm
        needs[place] = replace(
            sized, need=one, stretches=(Stretch(None, least, min(least, sized.stretches[0].least_cm)),)
        )
    return replace(making, needs=tuple(needs))


def _missing(making: Making, place: Place, reach: Reach) -> int:
    """The least that a find carries beside the yarns that reach furthest, in cm."""
    sized = making.needs[place[0]]
    return max(sized.share_cm, sized.planned_cm - reach.most_cm)


def _topped_up(reckoning: Reckoning, choice: _Choice, whole: AbstractSet[Place]) -> Lack | None:
    """Yarns that reach as far as any could beside the least to be found; None where no way was found to have them."""
    topped = {place: _missing(choice.making, place, reach) for place, reach in choice.reaches.items()}
    runs: list[Run] = []
    for place, reach in choice.reaches.items():
        sized = choice.making.needs[place[0]]
        length = sized.planned_cm - topped[place]
        shares = reach.shortened(length, sized.share_cm)
        if sum(own for _, own in shares) < length:
            return None
        runs += reckoning.runs(place, shares)
    try:
        served = reckoning.serve(choice.making, whole | set(choice.partly), beside=runs)
    except UnclearError:
        return None
    return None if served is None else Lack(whole, topped, served)


def _fitting(reckoning: Reckoning, choice: _Choice, whole: AbstractSet[Place]) -> Making:
    """Of the needs to be topped up, those yarns alone beside which the rest can be served."""
    making, skip = choice.making, whole | set(choice.partly)

    def fits(place: Place, yarn: WorkingYarn) -> bool:
        runs = reckoning.runs(place, [(yarn, making.needs[place[0]].share_cm)])
        try:
            return reckoning.serve(making, skip, beside=runs) is not None
        except UnclearError:
            return True

    needs = list(making.needs)
    for place in choice.partly:
        sized = making.needs[place[0]]
        long_enough = (yarn for yarn in sized.yarns if reach_at_most(reckoning.stock, sized, yarn) >= sized.share_cm)
        needs[place[0]] = replace(sized, yarns=tuple(yarn for yarn in long_enough if fits(place, yarn)))
    return replace(making, needs=tuple(needs))


def _tied(making: Making, found: AbstractSet[Place]) -> bool:
    """Whether yarn to be found for a need that is the same as another is found for that other too."""
    named = {sized.need.name: place for place, sized in enumerate(making.needs)}
    needs = {need for need, _ in found}
    return all(
        named[target] in needs
        for place in needs
        for target in making.needs[place].need.colour.same_as
        if target in named
    )


def _has_twin(making: Making, place: int) -> bool:
    """Whether a need is the same as another, or another the same as it."""
    named = {sized.need.name for sized in making.needs}
    own = making.needs[place].need
    return any(own.name in other.need.colour.same_as for other in making.needs) or bool(named & set(own.colour.same_as))

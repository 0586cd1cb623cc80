"""Colours stand to each other as the pattern asks, and none runs into another."""

from __future__ import annotations

from collections import Counter
from itertools import combinations, pairwise, permutations
from typing import TYPE_CHECKING

from planner.verify.facts import LIMIT
from stash.colour import difference

if TYPE_CHECKING:
    from collections.abc import Iterator

    from planner.verify.facts import Facts, MadeNeed, MadeProject, Yarn

NEAR = float(LIMIT)
ORDER_STEP = 5.0  # L* from one need of a fade to the next
BLEED_STEP = 25.0  # L* by which a bleeding yarn may not meet a lighter one


def yarns_match(facts: Facts) -> Iterator[str]:
    """The working yarns of one need look alike as far as its lot rule asks."""
    for made in facts.made_needs:
        match = made.need.lots.match
        for one, other in combinations(made.yarns, 2):
            apart = difference(one.colour, other.colour)
            if match is not None and apart > match + NEAR:
                yield f"{made.title}: {one.words} and {other.words} differ in colour by {apart:.1f}, over {match:g}"


def near_colour(facts: Facts) -> Iterator[str]:
    """Every working yarn is near the colour the need asks for."""
    for made in facts.made_needs:
        rule = made.need.colour
        if rule.near is None:
            continue
        for yarn in made.yarns:
            apart = difference(yarn.colour, rule.near)
            if apart > rule.within + NEAR:
                yield f"{made.title}: {yarn.words} is {apart:.1f} from {rule.near.text}, more than {rule.within:g}"


def against_other(facts: Facts) -> Iterator[str]:
    """Every working yarn stands out against every one of the needs it is worked against."""
    for made, other, yarn, beside in _pairs(facts, "against"):
        if abs(yarn.lightness - beside.lightness) < made.need.colour.against_lightness - NEAR:
            yield f"{made.title}: {yarn.words} does not stand out against {beside.words} in {other}"


def lighter_than_other(facts: Facts) -> Iterator[str]:
    """Every working yarn is lighter than every one of the needs named, by the step asked for."""
    for made, other, yarn, beside in _pairs(facts, "lighter_than"):
        if yarn.lightness - beside.lightness < made.need.colour.lighter_lightness - NEAR:
            yield f"{made.title}: {yarn.words} is not lighter enough than {beside.words} in {other}"


def darker_than_other(facts: Facts) -> Iterator[str]:
    """Every working yarn is darker than every one of the needs named, by the step asked for."""
    for made, other, yarn, beside in _pairs(facts, "darker_than"):
        if beside.lightness - yarn.lightness < made.need.colour.lighter_lightness - NEAR:
            yield f"{made.title}: {yarn.words} is not darker enough than {beside.words} in {other}"


def same_as_other(facts: Facts) -> Iterator[str]:
    """Every working yarn is one of the other need's, strand for strand."""
    for project in facts.made:
        for made, other in _pointed(project, "same_as"):
            theirs = {yarn.strands_by_lot for yarn in other.yarns}
            for yarn in made.yarns:
                if yarn.strands_by_lot not in theirs:
                    yield f"{made.title}: {yarn.words} is not one of the yarns of {other.need.name}"


def not_in_other(facts: Facts) -> Iterator[str]:
    """The need shares no lot with the needs it must differ from."""
    for project in facts.made:
        for made, other in _pointed(project, "not_in"):
            if made.lots & other.lots:
                yield f"{made.title}: {', '.join(sorted(made.lots & other.lots))} is also in {other.need.name}"


def order_kept(facts: Facts) -> Iterator[str]:
    """A fade grows lighter, or grows darker, by 5 or more each step all along."""
    for project in facts.made:
        steps = _order(project)
        rises = all(_least_rise(one, next_) >= ORDER_STEP - NEAR for one, next_ in pairwise(steps))
        falls = all(_least_rise(next_, one) >= ORDER_STEP - NEAR for one, next_ in pairwise(steps))
        if not rises and not falls:
            yield f"{project.title}: {', '.join(made.need.name for made in steps)} do not fade by 5 or more each step"


def order_serves_once(facts: Facts) -> Iterator[str]:
    """No lot serves two needs of a fade."""
    for project in facts.made:
        lots = Counter(lot for made in _order(project) for lot in made.lots)
        for lot in sorted(lot for lot, count in lots.items() if count > 1):
            yield f"{project.title}: {lot} serves twice in the fade"


def bleeding_apart(facts: Facts) -> Iterator[str]:
    """A lot that bleeds meets no lot lighter by 25 or more in one project, unless the risk is accepted."""
    for project in facts.made:
        if project.project.bleed_risk:
            continue
        for dark, light in permutations(project.lots, 2):
            if dark.bleeds is True and light.colour.lightness - dark.colour.lightness >= BLEED_STEP - NEAR:
                yield f"{project.title}: {dark.id} bleeds and would meet {light.id}, which is much lighter"


def _pointed(project: MadeProject, key: str) -> Iterator[tuple[MadeNeed, MadeNeed]]:
    """A need and each need its colour rule points at; a need the size lacks asks nothing."""
    for made in project.needs.values():
        for name in getattr(made.need.colour, key):
            if name in project.needs:
                yield made, project.needs[name]


def _pairs(facts: Facts, key: str) -> Iterator[tuple[MadeNeed, str, Yarn, Yarn]]:
    for project in facts.made:
        for made, other in _pointed(project, key):
            for yarn in made.yarns:
                for beside in other.yarns:
                    yield made, other.need.name, yarn, beside


def _order(project: MadeProject) -> list[MadeNeed]:
    return [project.needs[name] for name in project.pattern.order if name in project.needs]


def _least_rise(one: MadeNeed, next_: MadeNeed) -> float:
    """The least that any working yarn of the next step is lighter than any of this."""
    return min(yarn.lightness for yarn in next_.yarns) - max(yarn.lightness for yarn in one.yarns)

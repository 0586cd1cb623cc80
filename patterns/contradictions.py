"""Rules of a pattern that no yarn can keep together: warnings, since a size that lacks one need is free of them."""

from __future__ import annotations

from itertools import combinations
from typing import TYPE_CHECKING

from patterns import faults as wrong

if TYPE_CHECKING:
    from collections.abc import Iterator, Mapping

    from patterns.needs import ColourRule, Need
    from stash.faults import Fault
    from stash.nodes import Scalar


def find_contradictions(
    needs: Mapping[str, Need], order: tuple[str, ...], keys: Mapping[str, Scalar]
) -> Iterator[Fault]:
    """Needs that must be the same yarn and differ all the same; needs each lighter than the next, all round.

    `keys`: where each need is written.
    """
    for one, other in combinations(needs, 2):
        same = other in needs[one].colour.same_as or one in needs[other].colour.same_as
        if same and (_differ(needs[one], other) or _differ(needs[other], one) or {one, other} <= set(order)):
            yield wrong.same_and_different(keys[other], other, one)
    round_trip = _circle(_lighter(needs))
    if round_trip:
        yield wrong.lighter_all_round(keys[round_trip[0]], round_trip)


def _differ(need: Need, other: str) -> bool:
    rule = need.colour
    apart = other in rule.against and rule.against_lightness > 0
    return apart or other in rule.not_in or other in _told_apart(rule)


def _told_apart(rule: ColourRule) -> tuple[str, ...]:
    return (*rule.lighter_than, *rule.darker_than) if rule.lighter_lightness > 0 else ()


def _lighter(needs: Mapping[str, Need]) -> dict[str, set[str]]:
    lighter: dict[str, set[str]] = {name: set() for name in needs}
    for name, need in needs.items():
        if need.colour.lighter_lightness <= 0:
            continue
        lighter[name] |= {other for other in need.colour.lighter_than if other in needs}
        for other in need.colour.darker_than:
            lighter.get(other, set()).add(name)
    return lighter


def _circle(lighter: dict[str, set[str]]) -> list[str]:
    """The needs of one way round, each lighter than the next, in the order of the pattern; none: empty.

    What is lighter than nothing that is left is taken away until nothing changes; what stays lies on a way round or
    before one, so that going on from need to need comes round.
    """
    left = dict(lighter)
    while ends := [name for name, others in left.items() if not others & left.keys()]:
        for name in ends:
            del left[name]
    if not left:
        return []
    way = [next(iter(left))]
    while (after := min(left[way[-1]] & left.keys(), key=list(left).index)) not in way:
        way.append(after)
    return way[way.index(after) :]

"""Contrast that a chart asks for: two needs with stitches side by side must be told apart by lightness."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from patterns.charts import neighbours

if TYPE_CHECKING:
    from patterns.charts import Chart
    from patterns.needs import Need


def set_against(
    needs: dict[str, Need], chart: Chart | None, order: tuple[str, ...], free: frozenset[str]
) -> dict[str, Need]:
    """The needs, those side by side in the chart set against one another, unless something else is said of them.

    `free`: needs of which it is written that they may have any colour. Two needs of a fade keep to its steps. A colour
    rule's own `lightness` holds for what is added to it.
    """
    found = dict(needs)
    names = list(needs)
    met = () if chart is None else neighbours(chart)
    pairs = sorted(sorted(map(names.index, pair)) for pair in met if pair <= needs.keys())
    for first, second in pairs:
        one, other = needs[names[first]], needs[names[second]]
        told = one.name in _named(other) or other.name in _named(one)
        if told or free & {one.name, other.name} or {one.name, other.name} <= set(order):
            continue
        colour = found[other.name].colour
        found[other.name] = replace(other, colour=replace(colour, against=(*colour.against, one.name)))
    return found


def _named(need: Need) -> set[str]:
    rule = need.colour
    return {*rule.against, *rule.lighter_than, *rule.darker_than, *rule.same_as}

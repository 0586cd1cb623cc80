"""Amounts that are counted: the stitches of a need in its pattern's chart or stripes."""

from __future__ import annotations

from dataclasses import dataclass
from functools import partial
from typing import TYPE_CHECKING, Any

from patterns import chartfaults as wrong
from patterns.amounts import CHART, STRIPES
from patterns.charts import Chart, Stripes, chart_amount, stripe_amount
from patterns.read_charts import read_chart, read_stripes
from stash.fields import RefusedError, attempt, refuse

if TYPE_CHECKING:
    from patterns.needs import Amount
    from stash.fabric import Gauge
    from stash.faults import Fault
    from stash.nodes import Node


@dataclass(frozen=True)
class Counted:
    """What amounts may be counted in. `told`: what was refused already; `gauge` None: there is none."""

    chart: Chart | None
    stripes: Stripes | None
    told: frozenset[str]
    gauge: Gauge | None
    craft: str

    def amount(self, size: str, need: str, what: str, node: Node, faults: list[Fault]) -> Amount:
        """What a need takes in a size of the chart or the stripes; `node`: where it is asked for."""
        where = self.chart if what == CHART else self.stripes
        if where is None and what in self.told:
            raise RefusedError
        if where is None:
            refuse(faults, wrong.no_chart(node, what))
        if self.craft != "knitting":
            refuse(faults, wrong.chart_is_not_knitted(node, self.craft))
        if self.gauge is None:
            refuse(faults, wrong.chart_needs_gauge(node, what))
        if need not in (where.symbols if isinstance(where, Chart) else where.needs):
            refuse(faults, wrong.not_in_chart(node, what, need))
        if size not in where.repeats or (isinstance(where, Stripes) and size not in where.stitches):
            refuse(faults, wrong.size_not_counted(node, what, size))
        if isinstance(where, Chart):
            return chart_amount(where, need, size, self.gauge)
        return stripe_amount(where, need, size, self.gauge)


def read_counted(values: dict[str, Any], refused: set[str], names: list[str], faults: list[Fault]) -> Counted:
    """The chart and the stripes; what is wrong in them is told here, and not again where they are counted in."""
    sizes = [key.text for key, _ in values["sizes"].items]
    chart, stripes, gauge = values["chart"], values["stripes"], values["gauge"]
    found = None if chart is None else attempt(partial(read_chart, chart, names, sizes, gauge, faults))
    bands = None if stripes is None else attempt(partial(read_stripes, stripes, names, sizes, faults))
    told = {CHART, STRIPES} & refused
    told |= {what for what, node, value in ((CHART, chart, found), (STRIPES, stripes, bands)) if node and not value}
    return Counted(found, bands, frozenset(told), gauge, values["craft"])

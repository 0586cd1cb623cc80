"""Charts and stripes as documents: what is worked in which yarn, and what stands beside what."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from patterns.charts import chart_stitches, float_stitches
from planner.show.chartkey import chart_of, stripes_of
from planner.show.documents import figure

if TYPE_CHECKING:
    from planner.plan import PlannedProject
    from planner.show.chartkey import KeyLine
    from planner.workspace import Workspace

    Document = dict[str, Any]


def chart_document(project: PlannedProject, workspace: Workspace) -> Document | None:
    """The chart of a made project, its rows from the top; None where there is none."""
    drawn = chart_of(project, workspace)
    if drawn is None:
        return None
    size = project.size or ""
    counted = size in drawn.chart.repeats
    least = drawn.least_contrast
    return {
        "rows": list(drawn.chart.cells),
        "across": drawn.across,
        "up": drawn.up,
        "legend": [
            {
                "symbol": line.symbol,
                **_key(line),
                "stitches": chart_stitches(drawn.chart, line.need, size) if counted else None,
                "carried_behind_stitches": float_stitches(drawn.chart, line.need, size) if counted else None,
            }
            for line in drawn.key
        ],
        "least_contrast": None if least is None else {"needs": list(least[:2]), "lightness": figure(least[2])},
    }


def stripes_document(project: PlannedProject, workspace: Workspace) -> Document | None:
    """The stripes of a made project in the order they are worked; None where there are none."""
    drawn = stripes_of(project, workspace)
    if drawn is None:
        return None
    return {
        "times": drawn.times,
        "bands": [{"rows": band.rows, **_key(band.line)} for band in drawn.bands],
    }


def _key(line: KeyLine) -> Document:
    """`lots` and `colour` are those of the working yarn that is drawn."""
    return {
        "need": line.need,
        "lots": line.lots,
        "colour": None if line.colour is None else line.colour.hex,
        "yarn": line.yarn,
    }

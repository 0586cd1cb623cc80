"""Stripes on the terminal: rows, need and yarn of each in the order they are worked."""

from __future__ import annotations

from typing import TYPE_CHECKING

from planner.faultprint import safe_text
from planner.show import words
from planner.show.chartkey import stripes_of
from planner.show.tables import fold

if TYPE_CHECKING:
    from planner.plan import PlannedProject
    from planner.show.swatches import Screen
    from planner.workspace import Workspace

_INDENT = "    "
_SWATCH = 4  # columns
MOST_STRIPES = 40  # more would only scroll by


def stripes_text(project: PlannedProject, workspace: Workspace, screen: Screen) -> str:
    """The stripes of a made project; empty where it has none."""
    drawn = stripes_of(project, workspace)
    if drawn is None:
        return ""
    bands = drawn.bands
    lines = [f"  The stripes in order{f', {drawn.times} times' if drawn.times > 1 else ''}:"]
    figures = max(len(str(band.rows)) for band in bands)
    for band in bands[:MOST_STRIPES]:
        line = band.line
        count = f"{_INDENT}{band.rows:>{figures}} {'row ' if band.rows == 1 else 'rows'}  "
        block = ""
        if screen.truecolour:
            block = f"{' ' * _SWATCH if line.colour is None else screen.block(line.colour, _SWATCH)}  "
        beside = " " * (len(count) + (_SWATCH + 2 if block else 0))
        text = fold(f"{safe_text(line.need)}: {line.yarn}", indent=beside, hanging=beside)
        lines.append(f"{count}{block}{text[len(beside) :]}")
    if len(bands) > MOST_STRIPES:
        lines.append(f"  and {words.counted(len(bands) - MOST_STRIPES, 'stripe')} more, as the pattern has them")
    return "\n".join(lines)

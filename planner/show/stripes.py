"""Stripes on the terminal: rows, need and yarn of each in the order they are worked."""

from __future__ import annotations

from typing import TYPE_CHECKING

from planner.faultprint import safe_text
from planner.show import words
from planner.show.chartkey import key_line
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
    pattern = workspace.patterns[project.pattern]
    if pattern.stripes is None or project.size is None:
        return ""
    bands = pattern.stripes.bands
    planned = {need.need: need for need in project.needs}
    times = pattern.stripes.repeats.get(project.size, 1)
    lines = [f"  The stripes in order{f', {times} times' if times > 1 else ''}:"]
    figures = max(len(str(rows)) for _, rows in bands)
    for need, rows in bands[:MOST_STRIPES]:
        line = key_line("", need, planned.get(need), workspace.stash)
        count = f"{_INDENT}{rows:>{figures}} {'row ' if rows == 1 else 'rows'}  "
        block = ""
        if screen.truecolour:
            block = f"{' ' * _SWATCH if line.colour is None else screen.swatch(line.colour)}  "
        beside = " " * (len(count) + (_SWATCH + 2 if block else 0))
        text = fold(f"{safe_text(need)}: {line.yarn}", indent=beside, hanging=beside)
        lines.append(f"{count}{block}{text[len(beside) :]}")
    if len(bands) > MOST_STRIPES:
        lines.append(f"  and {words.counted(len(bands) - MOST_STRIPES, 'stripe')} more, as the pattern has them")
    return "\n".join(lines)

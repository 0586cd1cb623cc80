"""A chart on the terminal: in the plan's colours, two rows a line, and in its symbols; then what each symbol is."""

from __future__ import annotations

import math
from itertools import groupby, zip_longest
from typing import TYPE_CHECKING

from planner.faultprint import safe_text
from planner.show import words
from planner.show.chartkey import chart_of
from planner.show.swatches import WIDTH
from planner.show.tables import fold

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence

    from planner.plan import PlannedProject
    from planner.show.chartkey import ChartInColours
    from planner.show.swatches import Screen
    from planner.workspace import Workspace
    from stash.colour import Colour

_INDENT = "    "
_BETWEEN = "    "  # the drawing in colours and the one in symbols
MOST_COLUMNS = WIDTH - len(_INDENT)
MOST_BESIDE = (MOST_COLUMNS - len(_BETWEEN)) // 2  # columns of each, side by side
_SWATCH = 4  # columns
MOST_LINES = 60  # of symbols; more would only scroll by
_UPPER, _LOWER = "\u2580", "\u2584"  # halves of a block


def chart_text(project: PlannedProject, workspace: Workspace, screen: Screen) -> str:
    """The chart of a made project; empty where it has none."""
    drawn = chart_of(project, workspace)
    if drawn is None:
        return ""
    rows = _shown(drawn)
    lines = [fold(_head(drawn, rows), indent="  ", hanging="  "), *_picture(drawn, rows, screen)]
    lines += _key(drawn, screen)
    return "\n".join([*lines, *(fold(note, indent="  ", hanging="  ") for note in _notes(drawn, rows, screen))])


def _shown(drawn: ChartInColours) -> tuple[str, ...]:
    """What there is room for: a narrow chart as often as fits in half a line, of a big one its top and left."""
    chart = drawn.chart
    times = max(1, min(drawn.across, MOST_BESIDE // chart.width))
    return tuple((row * times)[:MOST_COLUMNS] for row in chart.cells[:MOST_LINES])


def _head(drawn: ChartInColours, rows: Sequence[str]) -> str:
    times = len(rows[0]) // drawn.chart.width
    across = f", {times} of {drawn.across} repeats across" if times and drawn.across > 1 else ""
    up = f", {drawn.up} up" if drawn.up > 1 else ""
    return f"The chart{across}{up}, the top row first:"


def _picture(drawn: ChartInColours, rows: Sequence[str], screen: Screen) -> Iterator[str]:
    if not screen.truecolour:
        yield from (f"{_INDENT}{row}" for row in rows)
        return
    blocks = half_blocks(rows, drawn.colours)
    columns = len(rows[0])
    if columns > MOST_BESIDE:
        yield from (f"{_INDENT}{block}" for block in blocks)
        return
    for block, row in zip_longest(blocks, rows, fillvalue=" " * columns):
        yield f"{_INDENT}{block}{_BETWEEN}{row}"


def half_blocks(rows: Sequence[str], colours: dict[str, Colour | None]) -> list[str]:
    """Two rows a line, each stitch half a character high; what has no colour is left empty."""
    below = [*rows[1::2], *([" " * len(rows[0])] if len(rows) % 2 else [])]
    return ["".join(_stretches(upper, lower, colours)) for upper, lower in zip(rows[::2], below, strict=True)]


def _stretches(upper: str, lower: str, colours: dict[str, Colour | None]) -> Iterator[str]:
    for (above, under), alike in groupby(zip(upper, lower, strict=True)):
        columns = len(list(alike))
        top, bottom = colours.get(above), colours.get(under)
        if top is None and bottom is None:
            yield " " * columns
        elif top is None:
            yield f"\x1b[{_code(38, bottom)}m{_LOWER * columns}\x1b[0m"
        else:
            behind = f";{_code(48, bottom)}" if bottom else ""
            yield f"\x1b[{_code(38, top)}{behind}m{_UPPER * columns}\x1b[0m"


def _code(kind: int, colour: Colour | None) -> str:
    """A colour as terminals take it; kind 38: of the sign, 48: behind it."""
    shade = "#000000" if colour is None else colour.hex
    return ";".join(str(part) for part in (kind, 2, *(int(shade[at : at + 2], 16) for at in (1, 3, 5))))


def _key(drawn: ChartInColours, screen: Screen) -> Iterator[str]:
    room = len(_INDENT) + 3
    for line in drawn.key:
        block = ""
        if screen.truecolour:
            block = f"{' ' * _SWATCH if line.colour is None else screen.block(line.colour, _SWATCH)}  "
        beside = " " * (room + (_SWATCH + 2 if block else 0))
        text = fold(f"{safe_text(line.need)}: {line.yarn}", indent=beside, hanging=beside)
        yield f"{_INDENT}{line.symbol}  {block}{text[len(beside) :]}"


def _notes(drawn: ChartInColours, rows: Sequence[str], screen: Screen) -> Iterator[str]:
    parts = (
        (len(rows[0]), drawn.chart.width, "stitch", "stitches"),
        (len(rows), len(drawn.chart.rows), "row", "rows"),
    )
    cut = [f"{shown} of {words.counted(of, one, more)}" for shown, of, one, more in parts if shown < of]
    yield f"From the foot up. {drawn.order}."
    if (least := drawn.least_contrast) is not None:
        one, other, apart = least
        yield (
            f"Least apart in lightness where they touch: {safe_text(one)} and {safe_text(other)}, "
            f"{math.floor(apart + 1e-6)} of 100."
        )
    if cut:
        yield f"Shown are {words.listing(cut)}; lotwise plan with --chart FILE.svg draws all of it."
    if screen.truecolour and len(rows[0]) > MOST_BESIDE:
        yield f"The same in symbols is in {safe_text(drawn.file)}."

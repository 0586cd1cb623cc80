"""Charts and stripes on a page: the drawing, and the same told row by row."""

from __future__ import annotations

from dataclasses import dataclass
from itertools import groupby
from typing import TYPE_CHECKING

from markupsafe import Markup

from planner.show import words
from planner.show.chartkey import chart_of, stripes_of
from planner.show.chartsvg import grid_drawing
from planner.show.stripessvg import bands_drawing
from planner.show.svg import MARGIN, image

if TYPE_CHECKING:
    from collections.abc import Iterable

    from planner.pages.shades import Palette, Shade
    from planner.pages.yarns import Bands
    from planner.plan import PlannedProject
    from planner.show.chartkey import ChartInColours, KeyLine, StripesInColours
    from planner.show.svg import Drawing
    from planner.workspace import Workspace

ENLARGED = 1.5  # symbols are drawn 8 px high, and 12 px are 9 pt
NARROWEST = 288.0  # px; a screen of 320 without its margins


@dataclass(frozen=True)
class KeyEntry:
    """`symbol`: in the chart; `mark`: of the working yarn on the page. Either may be "", and a need without yarn."""

    symbol: str
    need: str
    mark: str
    yarn: str
    shade: Shade | None


@dataclass(frozen=True)
class Picture:
    """`kind`: what it is; `svg`: its drawing, whose every text is escaped; `wide`: wider than the narrowest screen.

    `said`: how often it is worked; `order`: which way its rows are told; `rows`: (which, mark, what), as worked.
    """

    kind: str
    svg: Markup
    wide: bool
    said: str
    key: tuple[KeyEntry, ...]
    order: str
    rows: tuple[tuple[str, str, str], ...]


def pictures_of(project: PlannedProject, workspace: Workspace, palette: Palette, bands: Bands) -> list[Picture]:
    """The chart and the stripes of a made project, where it has them."""
    found = []
    if (chart := chart_of(project, workspace)) is not None:
        drawing = grid_drawing(chart)
        key = _key(chart.key, palette, bands)
        often = _often(chart, counted=project.size in chart.chart.repeats)
        found.append(Picture("chart", *_enlarged(drawing), often, key, chart.order, _chart_rows(chart)))
    if (stripes := stripes_of(project, workspace)) is not None:
        often = f"From the foot up, {words.counted(stripes.times, 'time')} in all."
        key = _key({band.line.need: band.line for band in stripes.bands}.values(), palette, bands)
        drawing = bands_drawing(stripes, {entry.need: entry.mark for entry in key})
        found.append(
            Picture("stripes", *_enlarged(drawing), often, key, "From the first stripe on", _bands(stripes, bands))
        )
    return found


def _often(one: ChartInColours, *, counted: bool) -> str:
    """How large a repeat is, how often it is worked and what that comes to; `counted`: whether the pattern tells."""
    row, how = ("row", "to and fro") if one.chart.flat else ("round", "in the round")
    stitches, rows = one.chart.width, len(one.chart.rows)
    repeat = f"{words.counted(stitches, 'stitch', 'stitches')} and {words.counted(rows, row)}"
    if not counted:
        return f"One repeat: {repeat}, worked {how}, from the foot up."
    times = f"{words.counted(one.across, 'time')} across and {words.counted(one.up, 'time')} up"
    whole = f"{words.counted(one.across * stitches, 'stitch', 'stitches')}, {words.counted(one.up * rows, row)}"
    return f"One repeat: {repeat}. Worked {how}, from the foot up, {times}: {whole} in all."


def _enlarged(drawing: Drawing) -> tuple[Markup, bool]:
    """The drawing, whose every text is escaped, so large that its symbols are 9 pt on paper; whether that is wide."""
    svg = Markup(image([drawing], ENLARGED))  # noqa: S704 (escaped there)
    return svg, (drawing.width + 2 * MARGIN) * ENLARGED > NARROWEST


def _key(lines: Iterable[KeyLine], palette: Palette, bands: Bands) -> tuple[KeyEntry, ...]:
    return tuple(
        KeyEntry(
            line.symbol,
            line.need,
            bands.mark(line.need, line.lots),
            line.yarn,
            None if line.colour is None else palette.shade(line.colour),
        )
        for line in lines
    )


def _chart_rows(one: ChartInColours) -> tuple[tuple[str, str, str], ...]:
    """From the first row; each from the stitch on the right, worked to and fro every second one from the left."""
    needs = {line.symbol: line.need for line in one.key}
    return tuple(
        (str(number), "", ", ".join(f"{len(list(alike))} {needs[symbol]}" for symbol, alike in groupby(stitches)))
        for number, row in enumerate(reversed(one.chart.cells), 1)
        for stitches in [row if one.chart.flat and number % 2 == 0 else row[::-1]]
    )


def _bands(one: StripesInColours, bands: Bands) -> tuple[tuple[str, str, str], ...]:
    return tuple(
        (str(band.rows), bands.mark(band.line.need, band.line.lots), f"{band.line.need}: {band.line.yarn}")
        for band in one.bands
    )

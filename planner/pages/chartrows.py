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
from planner.show.svg import image

if TYPE_CHECKING:
    from collections.abc import Iterable

    from planner.pages.shades import Palette, Shade
    from planner.pages.yarns import Bands
    from planner.plan import PlannedProject
    from planner.show.chartkey import ChartInColours, KeyLine, StripesInColours
    from planner.show.svg import Drawing
    from planner.workspace import Workspace

ENLARGED = 1.5  # symbols are drawn 8 px high, and 12 px are 9 pt


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
    """`kind`: what it is; `svg`: its drawing, whose every text is escaped; `said`: how often it is worked.

    `order`: which way its rows are told; `rows`: (which, mark, what), as worked.
    """

    kind: str
    svg: Markup
    said: str
    key: tuple[KeyEntry, ...]
    order: str
    rows: tuple[tuple[str, str, str], ...]


def pictures_of(project: PlannedProject, workspace: Workspace, palette: Palette, bands: Bands) -> list[Picture]:
    """The chart and the stripes of a made project, where it has them."""
    found = []
    if (chart := chart_of(project, workspace)) is not None:
        often = f"One repeat; {words.counted(chart.across, 'repeat')} across and {chart.up} up, from the foot up."
        svg = _enlarged(grid_drawing(chart))
        found.append(Picture("chart", svg, often, _key(chart.key, palette, bands), chart.order, _chart_rows(chart)))
    if (stripes := stripes_of(project, workspace)) is not None:
        often = f"From the foot up, {words.counted(stripes.times, 'time')} in all."
        key = _key({band.line.need: band.line for band in stripes.bands}.values(), palette, bands)
        svg = _enlarged(bands_drawing(stripes, {entry.need: entry.mark for entry in key}))
        found.append(Picture("stripes", svg, often, key, "From the first stripe on", _bands(stripes, bands)))
    return found


def _enlarged(drawing: Drawing) -> Markup:
    """The drawing, whose every text is escaped, so large that its symbols are 9 pt on paper."""
    return Markup(image([drawing], ENLARGED))  # noqa: S704 (escaped there)


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

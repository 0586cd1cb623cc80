"""Charts and stripes on a page: the drawing, and the same told row by row."""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction
from itertools import groupby
from typing import TYPE_CHECKING

from markupsafe import Markup

from patterns.charts import chart_amount
from planner.show import words
from planner.show.chartkey import chart_of, stripes_of
from planner.show.chartsvg import grid_drawing
from planner.show.stripessvg import bands_drawing
from planner.show.svg import MARGIN, image
from stash.units import show_length

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator

    from patterns.charts import Chart
    from planner.pages.shades import Palette, Shade
    from planner.pages.yarns import Bands
    from planner.plan import PlannedProject
    from planner.show.chartkey import ChartInColours, KeyLine, StripesInColours
    from planner.show.svg import Drawing
    from planner.workspace import Workspace
    from stash.units import System

ENLARGED = 1.5  # symbols are drawn 8 px high, and 12 px are 9 pt
NARROWEST = 288.0  # px; a screen of 320 without its margins
CENTIMETRE = Fraction(1, 100)  # in metres


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
    """`kind`: what it is; `svg`: its drawing, whose every text is escaped; `wide`: too wide for the narrowest screen.

    `said`: how often it is worked; `order`: which way its rows are told; `rows`: (which, mark, what), as worked, in a
    `table` of that name.
    """

    kind: str
    svg: Markup
    wide: bool
    said: tuple[str, ...]
    key: tuple[KeyEntry, ...]
    order: str
    table: str
    rows: tuple[tuple[str, str, str], ...]


def pictures_of(
    project: PlannedProject, workspace: Workspace, palette: Palette, bands: Bands, units: System
) -> list[Picture]:
    """The chart and the stripes of a made project, where it has them."""
    found = []
    if (chart := chart_of(project, workspace)) is not None:
        drawing = grid_drawing(chart)
        found.append(
            Picture(
                "chart",
                _enlarged(drawing),
                wide=(drawing.width + 2 * MARGIN) * ENLARGED > NARROWEST,
                said=(_often(chart, project.size), *_without_it(chart.chart, project, workspace, units)),
                key=_key(chart.key, palette, bands),
                order=chart.order,
                table="rows" if chart.chart.flat else "rounds",
                rows=_chart_rows(chart),
            )
        )
    if (stripes := stripes_of(project, workspace)) is not None:
        key = _key({band.line.need: band.line for band in stripes.bands}.values(), palette, bands)
        found.append(
            Picture(
                "stripes",
                _enlarged(bands_drawing(stripes, {entry.need: entry.mark for entry in key})),
                wide=False,
                said=(f"From the foot up, {words.counted(stripes.times, 'time')} in all.",),
                key=key,
                order="From the first stripe on",
                table="bands",
                rows=_bands(stripes, bands),
            )
        )
    return found


def _often(one: ChartInColours, size: str | None) -> str:
    """How large a repeat is, how often it is worked, where the pattern tells, and how large that is."""
    row, how = ("row", "flat, back and forth") if one.chart.flat else ("round", "in the round")
    stitches, rows = one.chart.width, len(one.chart.rows)
    repeat = f"{words.counted(stitches, 'stitch', 'stitches')} and {words.counted(rows, row)}"
    if (one.across, one.up) == (1, 1):
        once = "once, " if size in one.chart.repeats else ""
        return f"{repeat}, worked {once}{how}, from the foot up."
    times = f"{words.counted(one.across, 'time')} across and {words.counted(one.up, 'time')} up"
    whole = f"{one.across * stitches} stitches across, {words.counted(one.up * rows, row)} high"
    return f"One repeat: {repeat}. Worked {how}, from the foot up, {times}: {whole}."


def _without_it(chart: Chart, project: PlannedProject, workspace: Workspace, units: System) -> Iterator[str]:
    """Of each need that is knitted beside the chart too, what the chart takes."""
    pattern, size = workspace.patterns[project.pattern], project.size
    if size is None or size not in chart.repeats or pattern.gauge is None:
        return
    for need in chart.symbols:
        takes = chart_amount(chart, need, size, pattern.gauge).metres
        whole = sum(amount.metres for amount in pattern.sizes[size].get(need, {}).values())
        if takes < whole - CENTIMETRE:
            told = [show_length(length, units, 1) for length in (whole, takes)]
            yield f"Of the {told[0]} of {need} the chart takes {told[1]}; the rest is knitted without it."


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

"""Charts as drawings: each stitch in the plan's colour with its symbol on it, and a key of symbols and names."""

from __future__ import annotations

from functools import partial
from itertools import groupby
from textwrap import wrap
from typing import TYPE_CHECKING

from planner.show.svg import EDGE, FONT, LETTER, LINE, MARGIN, Drawing, box, escape, fill, ink, line_of_text, number

if TYPE_CHECKING:
    from collections.abc import Iterator

    from planner.show.chartkey import ChartInColours, KeyLine

CELL = 14.0  # width of a stitch
NUMBERS = 34.0  # room for the numbers of the rows
LEAST_WIDE = 40  # characters
_EVERY = 10  # stitches and rows between two heavier lines


def chart_drawing(one: ChartInColours) -> Drawing:
    """One repeat of the chart with its key."""
    return Drawing(one.title, _width(one), _height(one), partial(_chart, one))


def grid_drawing(one: ChartInColours) -> Drawing:
    """One repeat of the chart alone, for a page that has the key beside it."""
    high = len(one.chart.rows) * _cell_height(one)
    return Drawing(one.title, NUMBERS + one.chart.width * CELL, high + LINE, lambda top: _grid(one, top))


def _cell_height(one: ChartInColours) -> float:
    """A stitch as high as the gauge makes it, within what can still be read."""
    return round(CELL * min(2.0, max(0.5, float(one.chart.high))), 2)


def _head(one: ChartInColours) -> str:
    repeats = f"; one repeat of {one.across} across, {one.up} up" if (one.across, one.up) != (1, 1) else ""
    return f"{one.title}{repeats}"


def _key_text(line: KeyLine) -> str:
    return f"{line.symbol}   {line.need}: {line.yarn}"


def _width(one: ChartInColours) -> float:
    longest = max(LEAST_WIDE, len(_head(one)), *(len(_key_text(line)) + 4 for line in one.key))
    return max(NUMBERS + one.chart.width * CELL, longest * LETTER)


def _order(one: ChartInColours) -> list[str]:
    """Which way its rows are worked, in lines as long as the drawing is wide."""
    return wrap(f"From the foot up. {one.order}.", int(_width(one) / LETTER))


def _height(one: ChartInColours) -> float:
    lines = len(one.key) + len(_order(one))
    return 1.25 * LINE + len(one.chart.rows) * _cell_height(one) + LINE * (lines + 2)


def _chart(one: ChartInColours, top: float) -> Iterator[str]:
    high, rows = _cell_height(one), len(one.chart.rows)
    yield line_of_text(MARGIN, top + 14, _head(one), size=15)
    grid = top + 1.25 * LINE
    yield from _grid(one, grid)
    foot = grid + rows * high
    for at, line in enumerate(one.key):
        yield from _key_line(line, foot + (at + 1.25) * LINE)
    for at, said in enumerate(_order(one), len(one.key)):
        yield line_of_text(MARGIN, foot + (at + 1.25) * LINE + 12, said, size=13)


def _grid(one: ChartInColours, top: float) -> Iterator[str]:
    """The stitches under their grid, with the numbers of rows and stitches beside it."""
    high, rows, left = _cell_height(one), len(one.chart.rows), MARGIN + NUMBERS
    for line in one.key:
        yield from _stitches(one, line, left, top)
    yield _lines(left, top, one.chart.width, rows, high)
    yield from _row_numbers(left - 6, top, rows, high)
    yield from _stitch_numbers(left, top + rows * high + 14, one.chart.width)


def _stitches(one: ChartInColours, line: KeyLine, left: float, top: float) -> Iterator[str]:
    """The stitches of one need: their area as one path, then row by row their symbols."""
    high = _cell_height(one)
    area: list[str] = []
    signs: list[str] = []
    for at, row in enumerate(one.chart.cells):
        up, start = top + at * high, 0
        for symbol, alike in groupby(row):
            stitches = len(list(alike))
            if symbol == line.symbol:
                wide = number(stitches * CELL)
                area.append(f"M{number(left + start * CELL)} {number(up)}h{wide}v{number(high)}h-{wide}z")
            start += stitches
        places = [number(left + (index + 0.5) * CELL) for index, symbol in enumerate(row) if symbol == line.symbol]
        if places:
            text = escape(line.symbol * len(places))
            signs.append(f'<text x="{" ".join(places)}" y="{number(up + high / 2 + 3)}">{text}</text>')
    yield f'<path d="{"".join(area)}" fill="{fill(line.colour)}"/>'
    yield f'<g {FONT} font-size="8" text-anchor="middle" fill="{ink(line.colour)}">'
    yield from signs
    yield "</g>"


def _lines(left: float, top: float, stitches: int, rows: int, high: float) -> str:
    """The grid, heavier every ten from the lower right corner, where knitting begins."""
    right, foot = left + stitches * CELL, top + rows * high
    paths = {"0.3": "", "1.2": ""}
    for at in range(stitches + 1):
        heavy = at % _EVERY == 0 or at == stitches
        paths["1.2" if heavy else "0.3"] += f"M{number(right - at * CELL)} {number(top)}V{number(foot)}"
    for at in range(rows + 1):
        heavy = at % _EVERY == 0 or at == rows
        paths["1.2" if heavy else "0.3"] += f"M{number(left)} {number(foot - at * high)}H{number(right)}"
    return "\n".join(
        f'<path d="{path}" fill="none" stroke="{EDGE}" stroke-width="{width}"/>' for width, path in paths.items()
    )


def _row_numbers(right: float, top: float, rows: int, high: float) -> Iterator[str]:
    """The first row is the lowest."""
    for place in _numbered(rows):
        middle = top + (rows - place + 0.5) * high + 3
        yield line_of_text(right, middle, str(place), size=9, anchor="end")


def _stitch_numbers(left: float, foot: float, stitches: int) -> Iterator[str]:
    """The first stitch is the one on the right."""
    for place in _numbered(stitches):
        yield line_of_text(left + (stitches - place + 0.5) * CELL, foot, str(place), size=9, anchor="middle")


def _numbered(most: int) -> list[int]:
    return sorted({1, most, *range(_EVERY, most - 1, _EVERY)})


def _key_line(line: KeyLine, top: float) -> Iterator[str]:
    yield box(MARGIN, top, 24, 14, line.colour)
    yield (
        f'<text x="{number(MARGIN + 12)}" y="{number(top + 10)}" {FONT} font-size="8" text-anchor="middle" '
        f'fill="{ink(line.colour)}">{escape(line.symbol)}</text>'
    )
    yield line_of_text(MARGIN + 32, top + 12, _key_text(line), size=13)

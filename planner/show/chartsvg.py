"""Charts as one SVG image: each stitch in the plan's colour with its symbol on it, and a key of symbols and names.

SVG 1.1 of the plainest sort: no script, no style, no link; every text escaped, every colour as #rrggbb.
"""

from __future__ import annotations

from html import escape
from itertools import groupby
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence

    from planner.show.chartkey import ChartInColours, KeyLine
    from stash.colour import Colour

NAMESPACE = "http://www.w3.org/2000/svg"
CELL = 14.0  # width of a stitch
MARGIN, LINE, LETTER = 16.0, 20.0, 8.5  # round it all; a line of text; a character, broadly
NUMBERS = 34.0  # room for the numbers of the rows
NO_YARN = "#ffffff"
INK, PAPER = "#000000", "#ffffff"
_EVERY = 10  # stitches and rows between two heavier lines
_TEXT = 'font-family="sans-serif"'


def charts_svg(drawn: Sequence[ChartInColours]) -> str:
    """The charts below one another; the same charts give the same text."""
    parts: list[str] = []
    top, wide = MARGIN, 0.0
    for one in drawn:
        parts += _chart(one, top)
        wide = max(wide, _width(one))
        top += _height(one) + 2 * MARGIN
    width, height = _number(wide + 2 * MARGIN), _number(top - MARGIN)
    said = escape("; ".join(one.title for one in drawn))
    return "\n".join(
        (
            f'<svg xmlns="{NAMESPACE}" version="1.1" width="{width}" height="{height}" role="img">',
            f"<title>{said}</title>",
            f'<rect width="{width}" height="{height}" fill="{PAPER}"/>',
            *parts,
            "</svg>\n",
        )
    )


def _cell_height(one: ChartInColours) -> float:
    """A stitch as high as the gauge makes it, within what can still be read."""
    return round(CELL * min(2.0, max(0.5, float(one.chart.high))), 2)


def _head(one: ChartInColours) -> str:
    repeats = f"; one repeat of {one.across} across, {one.up} up" if (one.across, one.up) != (1, 1) else ""
    return f"{one.title}{repeats}"


def _key_text(line: KeyLine) -> str:
    return f"{line.symbol}   {line.need}: {line.yarn}"


def _width(one: ChartInColours) -> float:
    longest = max(len(_head(one)), *(len(_key_text(line)) + 4 for line in one.key))
    return max(NUMBERS + one.chart.width * CELL, longest * LETTER)


def _height(one: ChartInColours) -> float:
    return 1.25 * LINE + len(one.chart.rows) * _cell_height(one) + LINE * (len(one.key) + 2)


def _chart(one: ChartInColours, top: float) -> Iterator[str]:
    high, rows = _cell_height(one), len(one.chart.rows)
    yield _text(MARGIN, top + 14, _head(one), size=15)
    left, grid = MARGIN + NUMBERS, top + 1.25 * LINE
    for line in one.key:
        yield from _stitches(one, line, left, grid)
    yield _lines(left, grid, one.chart.width, rows, high)
    yield from _row_numbers(left - 6, grid, rows, high)
    foot = grid + rows * high
    yield from _stitch_numbers(left, foot + 14, one.chart.width)
    for at, line in enumerate(one.key):
        yield from _key_line(line, foot + (at + 1.25) * LINE)


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
                wide = _number(stitches * CELL)
                area.append(f"M{_number(left + start * CELL)} {_number(up)}h{wide}v{_number(high)}h-{wide}z")
            start += stitches
        places = [_number(left + (index + 0.5) * CELL) for index, symbol in enumerate(row) if symbol == line.symbol]
        if places:
            text = escape(line.symbol * len(places))
            signs.append(f'<text x="{" ".join(places)}" y="{_number(up + high / 2 + 3)}">{text}</text>')
    yield f'<path d="{"".join(area)}" fill="{_fill(line.colour)}"/>'
    yield f'<g {_TEXT} font-size="8" text-anchor="middle" fill="{_ink(line.colour)}">'
    yield from signs
    yield "</g>"


def _lines(left: float, top: float, stitches: int, rows: int, high: float) -> str:
    """The grid, heavier every ten from the lower right corner, where knitting begins."""
    right, foot = left + stitches * CELL, top + rows * high
    paths = {"0.3": "", "1.2": ""}
    for at in range(stitches + 1):
        heavy = at % _EVERY == 0 or at == stitches
        paths["1.2" if heavy else "0.3"] += f"M{_number(right - at * CELL)} {_number(top)}V{_number(foot)}"
    for at in range(rows + 1):
        heavy = at % _EVERY == 0 or at == rows
        paths["1.2" if heavy else "0.3"] += f"M{_number(left)} {_number(foot - at * high)}H{_number(right)}"
    return "\n".join(
        f'<path d="{path}" fill="none" stroke="#808080" stroke-width="{width}"/>' for width, path in paths.items()
    )


def _row_numbers(right: float, top: float, rows: int, high: float) -> Iterator[str]:
    """The first row is the lowest."""
    for number in _numbered(rows):
        middle = top + (rows - number + 0.5) * high + 3
        yield _text(right, middle, str(number), size=9, anchor="end")


def _stitch_numbers(left: float, foot: float, stitches: int) -> Iterator[str]:
    """The first stitch is the one on the right."""
    for number in _numbered(stitches):
        yield _text(left + (stitches - number + 0.5) * CELL, foot, str(number), size=9, anchor="middle")


def _numbered(most: int) -> list[int]:
    return sorted({1, most, *range(_EVERY, most - 1, _EVERY)})


def _key_line(line: KeyLine, top: float) -> Iterator[str]:
    yield (
        f'<rect x="{_number(MARGIN)}" y="{_number(top)}" width="24" height="14" fill="{_fill(line.colour)}" '
        'stroke="#808080"/>'
    )
    yield (
        f'<text x="{_number(MARGIN + 12)}" y="{_number(top + 10)}" {_TEXT} font-size="8" text-anchor="middle" '
        f'fill="{_ink(line.colour)}">{escape(line.symbol)}</text>'
    )
    yield _text(MARGIN + 32, top + 12, _key_text(line), size=13)


def _text(x: float, y: float, text: str, *, size: int, anchor: str = "start") -> str:
    return (
        f'<text x="{_number(x)}" y="{_number(y)}" {_TEXT} font-size="{size}" text-anchor="{anchor}" '
        f'fill="{INK}">{escape(text)}</text>'
    )


def _fill(colour: Colour | None) -> str:
    return NO_YARN if colour is None else colour.hex


def _ink(colour: Colour | None) -> str:
    """Black on what is light, white on what is dark."""
    return INK if colour is None or colour.lightness >= 50 else PAPER


def _number(value: float) -> str:
    return f"{value:.2f}".rstrip("0").rstrip(".")

"""Stripes as a drawing: bands as high as their rows, in the plan's colours, each with its words beside it."""

from __future__ import annotations

from functools import partial
from typing import TYPE_CHECKING

from planner.show.svg import LETTER, LINE, MARGIN, Drawing, box, line_of_text

if TYPE_CHECKING:
    from collections.abc import Callable, Iterator, Mapping

    from planner.show.chartkey import Band, StripesInColours

ROW = 5.0  # height of a row
WIDE = 160.0  # of the bands
GAP = 10.0  # between a band and its words
NUMBERS = 90.0  # room for its mark and its rows


def stripes_drawing(one: StripesInColours) -> Drawing:
    """One repeat of the stripes, the first band at the foot, as they grow on the needles."""
    longest = max(len(_head(one)) * LETTER, *(WIDE + GAP + len(_said(band)) * LETTER for band in one.bands))
    height = 1.25 * LINE + sum(_height(band) for band in one.bands)
    return Drawing(one.title, longest, height, partial(_parts, one))


def bands_drawing(one: StripesInColours, marks: Mapping[str, str]) -> Drawing:
    """The bands alone, each with its need's mark and its rows beside it, for a page that has the words."""

    def said(band: Band) -> str:
        mark = marks[band.line.need]
        return f"{mark}, {_rows(band)}" if mark else _rows(band)

    return Drawing(one.title, WIDE + NUMBERS, sum(map(_height, one.bands)), partial(_bands, one, said))


def _height(band: Band) -> float:
    """As high as its rows, and high enough for its words."""
    return max(band.rows * ROW, LINE)


def _head(one: StripesInColours) -> str:
    return f"{one.title}{f'; worked {one.times} times' if one.times > 1 else ''}"


def _said(band: Band) -> str:
    return f"{_rows(band)} {band.line.need}: {band.line.yarn}"


def _rows(band: Band) -> str:
    return f"{band.rows} {'row' if band.rows == 1 else 'rows'}"


def _parts(one: StripesInColours, top: float) -> Iterator[str]:
    yield line_of_text(MARGIN, top + 14, _head(one), size=15)
    yield from _bands(one, _said, top + 1.25 * LINE)


def _bands(one: StripesInColours, said: Callable[[Band], str], down: float) -> Iterator[str]:
    for band in reversed(one.bands):
        yield box(MARGIN, down, WIDE, _height(band), band.line.colour)
        yield line_of_text(MARGIN + WIDE + GAP, down + _height(band) / 2 + 4, said(band), size=13)
        down += _height(band)

"""Charts and stripe sequences: the stitches of each need, its floats, and which needs lie side by side.

Loop length by Munden 1959 (stash/fabric.py); a float is as wide as the stitches it lies behind; common practice, no
source.
"""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction
from functools import cached_property
from itertools import pairwise
from typing import TYPE_CHECKING

from patterns.needs import Amount
from stash.fabric import loop_length_m

if TYPE_CHECKING:
    from collections.abc import Iterator, Mapping

    from stash.fabric import Gauge

MOST_SIDE = 500  # stitches in a row, rows in a chart
LONG_FLOAT = 5  # stitches; common practice, no source
LONG_FLOAT_CM = Fraction(5, 2)  # common practice, no source


@dataclass(frozen=True)
class Work:
    """How the stitches are worked: yarn as against plain knitting, with its relative standard uncertainty."""

    factor: Fraction
    relative_u: float


@dataclass(frozen=True)
class Chart:
    """Rows of symbols, the top row first, each symbol a stitch of the need that the legend has for it.

    `repeats`: size -> how many times across and up. Sizes without any have no amount from the chart. `flat`: worked
    back and forth, so that the two sides do not meet. `floats`: each yarn is carried along its rows. `high`: the height
    of a stitch over its width, for drawing.
    """

    rows: tuple[str, ...]
    legend: Mapping[str, str]
    repeats: Mapping[str, tuple[int, int]]
    flat: bool
    floats: bool
    work: Work
    high: Fraction = Fraction(1)

    @property
    def width(self) -> int:
        return len(self.rows[0])

    @cached_property
    def symbols(self) -> dict[str, str]:
        """Need -> its first symbol, for the needs that have a stitch, in the order of the legend."""
        used = set().union(*self.rows)
        first: dict[str, str] = {}
        for symbol, need in self.legend.items():
            if symbol in used:
                first.setdefault(need, symbol)
        return first

    @cached_property
    def cells(self) -> tuple[str, ...]:
        """The rows, with one symbol only for each need: its first."""
        one = str.maketrans({symbol: self.symbols.get(need, symbol) for symbol, need in self.legend.items()})
        return tuple(row.translate(one) for row in self.rows)

    @property
    def round_about(self) -> bool:
        """Whether the right side of the rows meets their left side anywhere."""
        return not self.flat or any(across > 1 for across, _ in self.repeats.values())


@dataclass(frozen=True)
class Stripes:
    """Bands of so many rows of a need each, in the order they are worked; all of it `repeats` times, by size."""

    bands: tuple[tuple[str, int], ...]
    stitches: Mapping[str, int]
    repeats: Mapping[str, int]
    work: Work

    @property
    def needs(self) -> frozenset[str]:
        return frozenset(need for need, _ in self.bands)


def chart_stitches(chart: Chart, need: str, size: str) -> int:
    """Return how many stitches of a need the chart has in a size, all repeats counted."""
    across, up = chart.repeats[size]
    symbol = chart.symbols.get(need, "")
    return across * up * sum(row.count(symbol) for row in chart.cells) if symbol else 0


def float_stitches(chart: Chart, need: str, size: str) -> int:
    """Return behind how many stitches of others a need is carried: all of them in a row that has it.

    Worked flat, it is carried from its first stitch in a row to its last; in the round, all the way.
    """
    across, up = chart.repeats[size]
    return up * sum(_behind(row, chart.symbols[need], across, chart) for row in _rows_with(chart, need))


def _rows_with(chart: Chart, need: str) -> Iterator[str]:
    symbol = chart.symbols.get(need)
    if symbol is not None and chart.floats:
        yield from (row for row in chart.cells if symbol in row)


def _behind(row: str, symbol: str, across: int, chart: Chart) -> int:
    others = across * (len(row) - row.count(symbol))
    return others - row.index(symbol) - (len(row) - 1 - row.rindex(symbol)) if chart.flat else others


def longest_float(chart: Chart, need: str) -> tuple[int, int]:
    """Return the most stitches of others in a row between two of a need's own, and which row of the chart has them.

    Rows count from 0, as they are written; nothing carried: (0, 0).
    """
    symbol = chart.symbols.get(need)
    longest = (0, 0)
    for at, row in enumerate(chart.cells if chart.floats else ()):
        if symbol is None or symbol not in row:
            continue
        first = row.index(symbol)
        turned = row[first:] + row[:first] if chart.round_about else row[first : row.rindex(symbol) + 1]
        width = max(map(len, turned.split(symbol)))
        if width > longest[0]:
            longest = (width, at)
    return longest


def is_long(stitches: int, gauge: Gauge | None) -> bool:
    """Whether a float over so many stitches is long: over 5 of them, or over 2.5 cm."""
    return stitches > LONG_FLOAT or (gauge is not None and stitches / gauge.stitches > LONG_FLOAT_CM)


def neighbours(chart: Chart) -> frozenset[frozenset[str]]:
    """Return every two needs with stitches that share an edge, the seams of the repeats included."""
    met: set[tuple[str, str]] = set()
    for row in chart.cells:
        met.update(pairwise(row))
        if chart.round_about:
            met.add((row[-1], row[0]))
    for row, below in pairwise(chart.cells):
        met.update(zip(row, below, strict=True))
    if any(up > 1 for _, up in chart.repeats.values()):
        met.update(zip(chart.cells[-1], chart.cells[0], strict=True))
    return frozenset(frozenset((chart.legend[a], chart.legend[b])) for a, b in met if a != b)


def chart_amount(chart: Chart, need: str, size: str, gauge: Gauge) -> Amount:
    """Return what a need takes in the chart: a loop for each stitch of its own, and its floats."""
    loops = chart_stitches(chart, need, size) * loop_length_m(gauge) * chart.work.factor
    return Amount(loops + float_stitches(chart, need, size) / gauge.stitches / 100, chart.work.relative_u)


def stripe_stitches(stripes: Stripes, need: str, size: str) -> int:
    """Return how many stitches of a need the stripes have in a size, all repeats counted."""
    rows = sum(rows for name, rows in stripes.bands if name == need)
    return rows * stripes.stitches[size] * stripes.repeats[size]


def stripe_amount(stripes: Stripes, need: str, size: str, gauge: Gauge) -> Amount:
    """Return what a need takes in the stripes: a loop for each stitch. What is carried up the side is not counted."""
    loops = stripe_stitches(stripes, need, size) * loop_length_m(gauge)
    return Amount(loops * stripes.work.factor, stripes.work.relative_u)

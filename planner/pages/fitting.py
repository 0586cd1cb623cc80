"""Fitting words onto a tag: how many lines they take at a size of letters, and the largest size at which they fit.

Widths are reckoned, for the page is made where no printer is: the letters of upright faces are 0.5
of their size wide on average, 0.6 in the widest of those that systems come with, and 0.6 where all are even (measured).
"""

from __future__ import annotations

import textwrap
from dataclasses import dataclass
from math import inf
from typing import TYPE_CHECKING

from planner.faultprint import width

if TYPE_CHECKING:
    from collections.abc import Sequence
    from fractions import Fraction

POINT_MM = 25.4 / 72
LETTER, EVEN = 0.6, 0.602  # of the size
LEADING = 1.17  # from line to line, of the size


@dataclass(frozen=True)
class Words:
    """A paragraph; `even`: in letters of even width; `larger`: how many times the rest; `less`: mm for a swatch."""

    text: str
    even: bool = False
    larger: float = 1.0
    less: float = 0.0


@dataclass(frozen=True)
class Room:
    """Millimetres across and down, and the side of the square that its top right corner is taken by."""

    across: float
    down: float
    corner: float


def height_of(paragraphs: Sequence[Words], points: float, room: Room, enough: float = inf) -> float:
    """Millimetres that paragraphs take one below another, beside the corner as long as they reach it.

    `enough`: from where on nobody asks how many more.
    """
    down = 0.0
    for one in paragraphs:
        size = points * POINT_MM * one.larger
        step = size * LEADING
        left = one.text
        first = True
        while left and down <= enough:
            across = room.across - (room.corner if down < room.corner else 0.0) - (one.less if first else 0.0)
            columns = max(int(across / (size * (EVEN if one.even else LETTER))), 1)
            left = _after_a_line(left, columns)
            down, first = down + step, False
    return down


def fits(paragraphs: Sequence[Words], points: Fraction, room: Room) -> bool:
    """Whether they do, with half a line to spare for faces that break lines elsewhere."""
    return height_of(paragraphs, float(points), room, room.down) + float(points) * POINT_MM / 2 <= room.down


def shortened(name: str, most: int) -> str:
    """A name of at most so many columns: its middle is left out, for its ends tell it apart."""
    if width(name) <= most:
        return name
    tail = (most - 1) // 2
    return f"{name[: most - 1 - tail]}…{name[len(name) - tail :]}"


def _after_a_line(text: str, columns: int) -> str:
    """What is left of a text when as much as goes into a line is taken from it; wide letters are two columns."""
    if width(text) <= columns:
        return ""
    most = max(columns * len(text) // width(text), 1)
    lines = textwrap.wrap(text[: 2 * most + 1], most, break_on_hyphens=False)  # where a line ends hangs on no more
    return text[len(lines[0]) :].lstrip()

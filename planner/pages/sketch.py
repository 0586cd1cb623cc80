"""A thing laid out in its pieces, as schematics show it: outlines to scale, with their measures."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from planner.pages.outlines import areas, measure, points
from stash.units import show_number

if TYPE_CHECKING:
    from collections.abc import Sequence

    from planner.pages.outlines import Area, Corners, Outline
    from stash.units import System

LONGEST = 190.0  # px of the longest measure of a thing: two pieces side by side on a page, one on a phone
ABOVE, BELOW, BESIDE = 22.0, 24.0, 66.0  # px round an outline, for its measures
LEAST = 3.0  # px: narrower is not seen


@dataclass(frozen=True)
class Piece:
    """One outline in px, with its measures in words. `count`: how many there are of it."""

    name: str
    count: str
    points: str
    width: float
    height: float
    foot: float
    middle: float
    side: float
    lower: str
    upper: str
    length: str
    areas: tuple[Area, ...]

    @property
    def centre(self) -> float:
        """Where the words for its length stand, downwards."""
        return (self.foot + ABOVE) / 2 + 4


def pieces_of(outlines: Sequence[Outline], units: System) -> list[Piece]:
    """Each outline, all on one scale."""
    longest = max((max(one.lower, one.upper, one.length) for one in outlines), default=0)
    return [_piece(one, LONGEST / float(longest), units) for one in outlines]


def _piece(one: Outline, scale: float, units: System) -> Piece:
    lower, upper, length = (
        max(float(side) * scale, LEAST if side else 0.0) for side in (one.lower, one.upper, one.length)
    )
    wide = max(lower, upper)
    middle, foot = BESIDE / 2 + wide / 2, ABOVE + length
    corners: Corners = (
        (middle - lower / 2, foot),
        (middle + lower / 2, foot),
        (middle + upper / 2, ABOVE),
        (middle - upper / 2, ABOVE),
    )
    return Piece(
        one.name,
        show_number(one.times, 1).removesuffix(".0"),
        points(corners),
        wide + 1.5 * BESIDE,
        length + ABOVE + BELOW,
        foot,
        middle,
        middle + wide / 2 + 6,
        measure(one.lower, units),
        measure(one.upper, units),
        measure(one.length, units),
        areas(one, corners),
    )

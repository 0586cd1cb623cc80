"""Schematics as plain frozen data: the pieces of a thing with their measures, from which its area comes.

Every piece is a trapezoid, given by the width at its two ends and its length. That holds for what is knitted round as
well: a tube is as wide as it is round; a ring, or the side of a cone, is (lower + upper) / 2 x depth, its widths being
how far round it is at either edge; a triangle has one end of no width; half a disc of radius r is a piece from 0 to
pi x r, r long. All measures in metres, on the grid of a millimetre, which no tape passes.
"""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction
from typing import Literal

Drawn = Literal["flat", "tube", "ring", "triangle", "half disc"]
CM = Fraction(1, 100)
GRID = 1000  # to the metre


@dataclass(frozen=True)
class Piece:
    """One outline, `times` over. `part`: the part of the thing it belongs to; `edging`: worked as an edging."""

    part: str
    name: str
    lower: Fraction
    upper: Fraction
    length: Fraction
    times: int = 1
    edging: bool = False
    drawn: Drawn = "flat"

    @property
    def area(self) -> Fraction:
        """Square metres of all of them."""
        return self.times * (self.lower + self.upper) / 2 * self.length


@dataclass(frozen=True)
class Schematic:
    """A thing to make in one size: `size` as its table names it, and the pieces in the order they are told."""

    shape: str
    construction: str
    size: str
    pieces: tuple[Piece, ...]

    @property
    def area(self) -> Fraction:
        """Square metres of the whole."""
        return sum((piece.area for piece in self.pieces), Fraction(0))

    @property
    def parts(self) -> tuple[str, ...]:
        """The names of its parts, in order."""
        return tuple(dict.fromkeys(piece.part for piece in self.pieces))


def piece(
    part: str,
    name: str,
    widths: tuple[Fraction, Fraction] | Fraction,
    length: Fraction,
    times: int = 1,
    *,
    edging: bool = False,
    drawn: Drawn = "flat",
) -> Piece:
    """Return a piece with its measures brought to the millimetre."""
    lower, upper = widths if isinstance(widths, tuple) else (widths, widths)
    return Piece(part, name, on_grid(lower), on_grid(upper), on_grid(length), times, edging, drawn)


def on_grid(metres: Fraction) -> Fraction:
    """Return a length to the millimetre."""
    return Fraction(round(metres * GRID), GRID)

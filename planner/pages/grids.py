"""Sheets of paper and the grids of tags that tile them, all in exact millimetres."""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction

_INCH = Fraction("25.4")


@dataclass(frozen=True)
class Paper:
    """A sheet, upright."""

    name: str
    width: Fraction
    height: Fraction


A4 = Paper("A4", Fraction(210), Fraction(297))  # ISO 216
LETTER = Paper("Letter", Fraction(17, 2) * _INCH, 11 * _INCH)  # ANSI/ASME Y14.1, size A
PAPERS = {"a4": A4, "letter": LETTER}


@dataclass(frozen=True)
class Grid:
    """So many tags across and down a sheet, edge to edge, so that every cut goes from edge to edge.

    `margin`: what is left white inside a tag, across and up: more than the 4.2 mm at the edge of the paper that most
    printers leave out (common practice, no source). `code`: the side of the square code; `foot`: how high the room to
    write in is, at the foot. `steps`: sizes of letters in points, the largest first.
    """

    paper: Paper
    across: int
    down: int
    margin: tuple[Fraction, Fraction]
    code: int
    foot: int
    steps: tuple[Fraction, ...]

    @property
    def width(self) -> Fraction:
        return self.paper.width / self.across

    @property
    def height(self) -> Fraction:
        return self.paper.height / self.down

    @property
    def tags(self) -> int:
        """How many a sheet holds."""
        return self.across * self.down

    @property
    def stacked(self) -> bool:
        """Whether there are two lines to write on, one above the other."""
        return self.foot >= 12

    @property
    def room(self) -> tuple[float, float]:
        """Millimetres inside a tag to draw and write in, across and down."""
        return float(self.width - 2 * self.margin[0]), float(self.height - 2 * self.margin[1])

    @property
    def cuts(self) -> tuple[tuple[Fraction, ...], tuple[Fraction, ...]]:
        """Where to cut, from the left and from above."""
        return (
            tuple(self.width * place for place in range(1, self.across)),
            tuple(self.height * place for place in range(1, self.down)),
        )


_CLOSE, _WIDE = (Fraction(5), Fraction("4.5")), (Fraction(6), Fraction(6))


def _points(sizes: str) -> tuple[Fraction, ...]:
    return tuple(map(Fraction, sizes.split()))


_SMALL, _MEDIUM, _LARGE = _points("7.5 7 6.5 6 5.5 5"), _points("9 8.5 8 7.5 7 6 5.5"), _points("12 11 10 9 8")
GRIDS = {  # (paper, size); tags are 70 x 37.125, 70 x 49.5, 105 x 74.25; 71.97 x 39.91, 71.97 x 55.88, 107.95 x 69.85
    ("a4", "small"): Grid(A4, 3, 8, _CLOSE, 17, 5, _SMALL),
    ("a4", "medium"): Grid(A4, 3, 6, _CLOSE, 19, 12, _MEDIUM),
    ("a4", "large"): Grid(A4, 2, 4, _WIDE, 30, 15, _LARGE),
    ("letter", "small"): Grid(LETTER, 3, 7, _CLOSE, 17, 5, _SMALL),
    ("letter", "medium"): Grid(LETTER, 3, 5, _CLOSE, 20, 12, _MEDIUM),
    ("letter", "large"): Grid(LETTER, 2, 4, _WIDE, 30, 15, _LARGE),
}

"""A piece of knitting that is under way, as plain frozen data: what is done of it and what each lot weighs now."""

from __future__ import annotations

import math
from dataclasses import dataclass
from fractions import Fraction
from typing import TYPE_CHECKING, Literal

if TYPE_CHECKING:
    from patterns.needs import Amount, Need, Pattern
    from patterns.projects import Project
    from stash.lots import Lot

How = Literal["alone", "together", "alternate", "stranded"]

# Standard uncertainties of the share done, in units of done x (1 - done): most in the middle, none at either end.
GUESSED_U = 0.12  # "about 60 %" is good to 3 points in the middle; common practice, no source
COUNTED_U = 0.04  # rows are counted, but not all are as tight or as wide; common practice, no source
ROW_U = 1 / math.sqrt(12)  # of a row, since part of one is done


@dataclass(frozen=True)
class Rows:
    """The row reached, of how many; `widths_m` at the first row, now and at the last; None: the same throughout."""

    now: int
    of: int
    widths_m: tuple[Fraction, Fraction, Fraction] | None

    @property
    def left(self) -> int:
        return self.of - self.now

    @property
    def areas(self) -> tuple[Fraction, Fraction]:
        """Area done and area to come, in metres times rows, each with straight sides."""
        first, now, last = self.widths_m or (Fraction(1),) * 3
        return self.now * (first + now) / 2, self.left * (now + last) / 2

    def row_at(self, share: float) -> int:
        """The last row worked in full once so large a share of the whole has been added to what is done."""
        _, now, last = (float(width) for width in self.widths_m or (1, 1, 1))
        area = share * float(sum(self.areas))
        if not self.left or area >= float(self.areas[1]) * (1 - 1e-9):
            return self.of
        slope = (last - now) / self.left / 2  # k rows make now x k + slope x k x k
        rows = area / now if not slope else (math.sqrt(now * now + 4 * slope * area) - now) / (2 * slope)
        return min(self.now + math.floor(max(rows, 0.0) + 1e-9), self.of)


@dataclass(frozen=True)
class Done:
    """The share of the part that is done, above 0 to 1, and its standard uncertainty in the same unit."""

    share: Fraction
    u: float
    rows: Rows | None


def done_by_share(share: Fraction) -> Done:
    return Done(share, GUESSED_U * float(share * (1 - share)), None)


def done_by_rows(rows: Rows) -> Done:
    """The share of the area that the rows make."""
    done, to_come = rows.areas
    share = done / (done + to_come)
    row = ROW_U / rows.of if rows.left else 0.0
    return Done(share, math.hypot(COUNTED_U * float(share * (1 - share)), row), rows)


@dataclass(frozen=True)
class InUse:
    """A lot on the needles: what it weighed before the part was begun and what it weighs now, in grams."""

    lot: Lot
    need: str
    strands: int
    began_g: Fraction
    began_u_g: float
    left_g: Fraction
    left_u_g: float
    pieces: int  # continuous lengths it is in now

    @property
    def used_g(self) -> Fraction:
        return self.began_g - self.left_g

    @property
    def tex(self) -> Fraction:
        """Grams in a kilometre of all its strands."""
        return self.lot.count.tex * self.strands


@dataclass(frozen=True)
class Hiding:
    """A row at which a change of lot hides, and what is there."""

    row: int
    what: str


@dataclass(frozen=True)
class Knitting:
    """What is on the needles. `finished`: (need, part) pairs that are done with; part None: the whole need."""

    project: Project
    pattern: Pattern
    size: str
    need: str
    part: str | None  # None: the whole need
    done: Done
    how: How
    in_use: tuple[InUse, ...]
    hiding: tuple[Hiding, ...] = ()
    finished: frozenset[tuple[str, str | None]] = frozenset()

    @property
    def needs(self) -> tuple[str, ...]:
        """The needs on the needles, the one asked for first."""
        return tuple(dict.fromkeys((self.need, *(one.need for one in self.in_use))))

    def parts_of(self, need: str) -> tuple[str | None, ...]:
        """The parts of a need on the needles: the one asked for, or all where it has none of that name."""
        parts = self.pattern.sizes[self.size][need]
        return (self.part,) if self.part in parts else tuple(parts)

    def amount(self, need: str) -> tuple[float, float]:
        """Metres of working yarn the pattern states for what is on the needles, and their relative uncertainty."""
        return total([self.pattern.sizes[self.size][need][part] for part in self.parts_of(need)])

    def rule(self, need: str) -> Need:
        return self.pattern.needs[need]


def total(amounts: list[Amount]) -> tuple[float, float]:
    """The sum of amounts that are all wrong by the same share, and its relative uncertainty."""
    metres = float(sum((amount.metres for amount in amounts), Fraction(0)))
    return metres, math.fsum(float(amount.metres) * amount.relative_u for amount in amounts) / metres

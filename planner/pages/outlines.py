"""The outlines a made project is estimated from: which there are, in the colours of which yarns."""

from __future__ import annotations

from collections import Counter
from dataclasses import dataclass, field
from fractions import Fraction
from typing import TYPE_CHECKING

from planner.pages.page import WIDE
from planner.pages.strips import spans
from stash.units import INCH_M, show_number

if TYPE_CHECKING:
    from collections.abc import Sequence

    from patterns.needs import Pattern
    from patterns.patches import Patch
    from planner.pages.yarns import Band, Bands
    from planner.plan import PlannedProject
    from stash.units import System

Point = tuple[float, float]
Corners = tuple[Point, Point, Point, Point]  # of the foot, then back along the top


@dataclass
class Outline:
    """A trapezoid in metres, how often there is one, and the yarns it is knitted from, each with its share.

    `told`: of how many of them a need has told its share.
    """

    name: str
    lower: Fraction
    upper: Fraction
    length: Fraction
    times: Fraction = Fraction(0)
    shares: dict[Band, Fraction] = field(default_factory=dict)
    told: dict[str, Fraction] = field(default_factory=dict)

    def is_like(self, patch: Patch) -> bool:
        return (self.lower, self.upper, self.length) == (patch.lower, patch.upper, patch.length)

    def room(self, need: str) -> Fraction:
        """The share that other needs leave of one of them, of which this need has not told yet."""
        if self.told.get(need, 0) >= self.times:
            return Fraction(0)
        return 1 - sum((share for band, share in self.shares.items() if band.need != need), Fraction(0))


@dataclass(frozen=True)
class Area:
    """What of an outline is in one yarn's colour: corners in px, and its share of the piece's yarn, "" for all."""

    points: str
    band: Band
    share: str


def outlines_of(project: PlannedProject, pattern: Pattern, bands: Bands) -> list[Outline]:
    """All of a made project, in the order they are told; those that are alike once, and so one that needs share."""
    found: list[Outline] = []
    for need in project.needs:
        for part, amount in pattern.sizes[project.size or ""][need.need].items():
            yarns: Counter[Band] = Counter()
            for run in need.runs:
                if run.part in {None, part}:
                    yarns[bands.of(need.need, run)] += run.length_cm
            for patch in amount.patches:
                _meet(found, part or need.need, patch, need.need, yarns)
    return found


def _meet(found: list[Outline], name: str, patch: Patch, need: str, yarns: Counter[Band]) -> None:
    """A patch that holds only a share of its yarn is the same piece as that which holds the rest."""
    alike = [one for one in found if one.is_like(patch)]
    rest = next((one for one in alike if patch.share < 1 and one.room(need) >= patch.share), None)
    own = rest or next((one for one in alike if one.name == name), None)
    if own is None:
        own = Outline(name, patch.lower, patch.upper, patch.length)
        found.append(own)
    if rest is None:
        own.times += patch.times
    own.told[need] = own.told.get(need, Fraction(0)) + patch.times
    own.shares |= {band: patch.share * Fraction(length, yarns.total()) for band, length in yarns.items()}


def areas(outline: Outline, corners: Corners) -> tuple[Area, ...]:
    """The outline filled with its yarns, each as high as its share."""
    heights = spans([float(share) for share in outline.shares.values()])
    return tuple(
        Area(
            points(between(corners, span.start / WIDE, span.end / WIDE)),
            band,
            "" if share == 1 else f"{show_number(100 * share, 0)} %",
        )
        for (band, share), span in zip(outline.shares.items(), heights, strict=True)
    )


def between(corners: Corners, start: float, end: float) -> Corners:
    """What of it lies between two heights, told from its foot as shares of the whole."""
    one, other, across, back = corners
    return (
        _along(one, back, start),
        _along(other, across, start),
        _along(other, across, end),
        _along(one, back, end),
    )


def points(corners: Sequence[Point]) -> str:
    """Corners as SVG has them."""
    return " ".join(f"{_number(x)},{_number(y)}" for x, y in corners)


def measure(metres: Fraction, units: System) -> str:
    """A measure of a garment: "50.8 cm", "20.0 in"."""
    if units == "imperial":
        return f"{show_number(metres / INCH_M, 1)} in"
    return f"{show_number(100 * metres, 1)} cm"


def _along(start: Point, end: Point, share: float) -> Point:
    return start[0] + (end[0] - start[0]) * share, start[1] + (end[1] - start[1]) * share


def _number(value: float) -> str:
    return f"{value:.3f}".rstrip("0").rstrip(".")

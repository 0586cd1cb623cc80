"""A thing laid out in its pieces, as schematics show it: outlines to scale, in the colours of their yarns."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from stash.units import INCH_M, show_number

if TYPE_CHECKING:
    from collections.abc import Iterator, Mapping
    from fractions import Fraction

    from patterns.needs import Amount, Pattern
    from patterns.patches import Patch
    from planner.pages.yarns import Band, Bands
    from planner.plan import PlannedNeed, PlannedProject
    from stash.units import System

LONGEST = 190.0  # px of the longest measure of a thing: two pieces side by side on a page, one on a phone
ABOVE, BELOW, BESIDE = 22.0, 24.0, 66.0  # px round an outline, for its measures
LEAST = 3.0  # px: narrower is not seen

Outline = tuple["Fraction", "Fraction", "Fraction", "Fraction"]  # lower, upper, length in metres; times


@dataclass(frozen=True)
class Piece:
    """One outline in px, with its measures in words; `yarns`: each band in it with the share of the piece's yarn."""

    name: str
    count: str
    points: tuple[tuple[float, float], ...]
    width: float
    height: float
    foot: float
    middle: float
    side: float
    lower: str
    upper: str
    length: str
    yarns: tuple[tuple[Band, str], ...]

    @property
    def centre(self) -> float:
        """Where the words for its length stand, downwards."""
        return (self.foot + ABOVE) / 2 + 4

    @property
    def path(self) -> str:
        return " ".join(f"{_number(x)},{_number(y)}" for x, y in self.points)


def pieces_of(project: PlannedProject, pattern: Pattern, bands: Bands, units: System) -> list[Piece]:
    """The pieces of a made project that are estimated from shapes, in the order they are told; none: an empty list.

    One scale for all of them. A piece that several needs share is one piece.
    """
    found: dict[tuple[str, Outline], list[tuple[Band, Fraction]]] = {}
    for need in project.needs:
        parts = pattern.sizes[project.size or ""][need.need]
        for part, patch, band in _patches(need, parts, bands):
            outline = (patch.lower, patch.upper, patch.length, patch.times)
            found.setdefault((part, outline), []).append((band, patch.share))
    longest = max((max(outline[:3]) for _, outline in found), default=0)
    return [_piece(name, outline, yarns, LONGEST / float(longest), units) for (name, outline), yarns in found.items()]


def _patches(need: PlannedNeed, parts: Mapping[str | None, Amount], bands: Bands) -> Iterator[tuple[str, Patch, Band]]:
    """The patches of a need, each with its part's name, else the need's, and the yarns it is knitted from."""
    for part, amount in parts.items():
        runs = [run for run in need.runs if run.part in {None, part}]
        for patch in amount.patches:
            for band in dict.fromkeys(bands.of(need.need, run) for run in runs):
                yield part or need.need, patch, band


def _piece(name: str, outline: Outline, yarns: list[tuple[Band, Fraction]], scale: float, units: System) -> Piece:
    lower, upper, length = (max(float(one) * scale, LEAST if one else 0.0) for one in outline[:3])
    wide = max(lower, upper)
    middle, foot = BESIDE / 2 + wide / 2, ABOVE + length
    corners = (
        (middle - lower / 2, foot),
        (middle - upper / 2, ABOVE),
        (middle + upper / 2, ABOVE),
        (middle + lower / 2, foot),
    )
    times = outline[3]
    return Piece(
        name,
        show_number(times, 1).removesuffix(".0"),
        corners,
        wide + 2 * BESIDE - BESIDE / 2,
        length + ABOVE + BELOW,
        foot,
        middle,
        middle + wide / 2 + 6,
        _measure(outline[0], units),
        _measure(outline[1], units),
        _measure(outline[2], units),
        tuple((band, "" if share == 1 else f"{show_number(100 * share, 0)} %") for band, share in yarns),
    )


def _measure(metres: Fraction, units: System) -> str:
    if units == "imperial":
        return f"{show_number(metres / INCH_M, 1)} in"
    return f"{show_number(100 * metres, 1)} cm"


def _number(value: float) -> str:
    return f"{value:.3f}".rstrip("0").rstrip(".")

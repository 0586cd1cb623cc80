"""A thing laid out in its pieces, as schematics show it: outlines to scale, in the colours of their yarns."""

from __future__ import annotations

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

LONGEST = 190.0  # px of the longest measure of a thing: two pieces side by side on a page, one on a phone
ABOVE, BELOW, BESIDE = 22.0, 24.0, 66.0  # px round an outline, for its measures
LEAST = 3.0  # px: narrower is not seen

Outline = tuple[Fraction, Fraction, Fraction]  # lower, upper, length in metres


@dataclass(frozen=True)
class Area:
    """What of an outline is in one yarn's colour: corners in px, and its share of the piece's yarn, "" for all."""

    points: str
    band: Band
    share: str


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


@dataclass
class _Found:
    """An outline that was met, how often, and the yarns it is knitted from, each with its share."""

    times: Fraction = Fraction(0)
    shares: dict[Band, Fraction] = field(default_factory=dict)


def pieces_of(project: PlannedProject, pattern: Pattern, bands: Bands, units: System) -> list[Piece]:
    """The pieces of a made project that are estimated from shapes, in the order they are told; none: an empty list.

    One scale for all of them. Pieces that are alike are told once, and so is one that several needs share.
    """
    found: dict[tuple[str, Outline], _Found] = {}
    for need in project.needs:
        for part, amount in pattern.sizes[project.size or ""][need.need].items():
            yarns = list(dict.fromkeys(bands.of(need.need, run) for run in need.runs if run.part in {None, part}))
            for patch in amount.patches:
                _meet(found, part or need.need, patch, yarns)
    longest = max((max(outline) for _, outline in found), default=Fraction(0))
    return [_piece(name, outline, one, LONGEST / float(longest), units) for (name, outline), one in found.items()]


def _meet(found: dict[tuple[str, Outline], _Found], name: str, patch: Patch, yarns: Sequence[Band]) -> None:
    """A patch that holds only a share of its yarn is the same piece as that which holds the rest."""
    outline = (patch.lower, patch.upper, patch.length)
    rest = next((key for key, one in found.items() if key[1] == outline and _room(one, yarns) >= patch.share), None)
    if patch.share < 1 and rest is not None:
        found[rest].shares |= dict.fromkeys(yarns, patch.share)
        return
    own = found.setdefault((name, outline), _Found())
    own.times += patch.times
    own.shares |= dict.fromkeys(yarns, patch.share)


def _room(one: _Found, yarns: Sequence[Band]) -> Fraction:
    """The share of a piece that other needs leave."""
    needs = {band.need: share for band, share in one.shares.items()}
    return Fraction(0) if {band.need for band in yarns} & set(needs) else 1 - sum(needs.values(), Fraction(0))


def _piece(name: str, outline: Outline, one: _Found, scale: float, units: System) -> Piece:
    lower, upper, length = (max(float(measure) * scale, LEAST if measure else 0.0) for measure in outline)
    wide = max(lower, upper)
    middle, foot = BESIDE / 2 + wide / 2, ABOVE + length
    areas = []
    for (band, share), span in zip(
        one.shares.items(), spans([float(share) for share in one.shares.values()]), strict=True
    ):
        said = "" if share == 1 else f"{show_number(100 * share, 0)} %"
        areas.append(Area(_slice(lower, upper, length, middle, (span.start / WIDE, span.end / WIDE)), band, said))
    return Piece(
        name,
        show_number(one.times, 1).removesuffix(".0"),
        _slice(lower, upper, length, middle, (0.0, 1.0)),
        wide + 1.5 * BESIDE,
        length + ABOVE + BELOW,
        foot,
        middle,
        middle + wide / 2 + 6,
        _measure(outline[0], units),
        _measure(outline[1], units),
        _measure(outline[2], units),
        tuple(areas),
    )


def _slice(lower: float, upper: float, length: float, middle: float, ends: tuple[float, float]) -> str:
    """The corners of a trapezoid between two heights, told from its foot as shares of its length."""
    corners = []
    for end, sides in zip(ends, ((-1, 1), (1, -1)), strict=True):
        half, down = (lower + (upper - lower) * end) / 2, ABOVE + length * (1 - end)
        corners += [f"{_number(middle + side * half)},{_number(down)}" for side in sides]
    return " ".join(corners)


def _measure(metres: Fraction, units: System) -> str:
    if units == "imperial":
        return f"{show_number(metres / INCH_M, 1)} in"
    return f"{show_number(100 * metres, 1)} cm"


def _number(value: float) -> str:
    return f"{value:.3f}".rstrip("0").rstrip(".")

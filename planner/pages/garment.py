"""A pullover, cardigan or vest put together from its pieces, front up, as it lies on a table.

Known by the names that `lotwise needs` gives the parts (body, sleeves, yoke, edging) and by which measures fit which.
What is knitted round lies double, half as wide as it is round. A yoke is drawn to narrow evenly from each of its rings
to the next, and its sleeves to hang at 30 degrees: that is a picture; the measures are those of the pieces.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from fractions import Fraction
from typing import TYPE_CHECKING

from planner.pages.outlines import areas, measure, points

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence

    from planner.pages.outlines import Area, Corners, Outline, Point
    from stash.units import System

WIDEST, HIGHEST = 286.0, 300.0  # px: as wide as the narrowest phone lets it
ROUND = 14.0  # px about it
NEAR = Fraction(2, 1000)  # metres that measures which fit may differ by
HANG = math.radians(30)  # of a sleeve under a yoke, from straight down
LETTER = 7.4  # px of a character of a measure, broadly


@dataclass(frozen=True)
class Laid:
    """One piece where it lies: its corners, filled in its yarns' colours."""

    points: str
    areas: tuple[Area, ...]


@dataclass(frozen=True)
class Label:
    """A measure in words, the middle of its plate, and how wide that is."""

    said: str
    x: float
    y: float
    width: float


@dataclass(frozen=True)
class Garment:
    width: float
    height: float
    laid: tuple[Laid, ...]
    labels: tuple[Label, ...]


@dataclass(frozen=True)
class _Placed:
    """An outline and its corners in metres, upwards from the hem's edge and sideways from the middle."""

    outline: Outline
    corners: Corners
    said: str = ""


def garment_of(outlines: Sequence[Outline], units: System) -> Garment | None:
    """The thing put together; None where its pieces are not those of a pullover, cardigan or vest."""
    body = [one for one in outlines if one.name == "body"]
    if not body or body[0].lower != body[0].upper:
        return None
    sleeves = next((one for one in outlines if one.name == "sleeves" and one.times == 2), None)
    above = next((one for one in body if one.length != body[0].length), None)
    if sleeves is None and above is None:
        return None
    yoke = [one for one in outlines if one.name == "yoke" for _ in range(int(one.times))]
    edgings = [one for one in outlines if one.name == "edging"]
    return _drawn(list(_placed(body, sleeves, above, yoke, edgings, units)))


def _placed(
    body: Sequence[Outline],
    sleeves: Outline | None,
    above: Outline | None,
    yoke: Sequence[Outline],
    edgings: Sequence[Outline],
    units: System,
) -> Iterator[_Placed]:
    """What lies below comes first."""
    half = float(body[0].lower)
    hem = _fitting(edgings, 2 * body[0].lower)
    start = 0.0 if hem is None else float(hem.length)
    top = start + float(body[0].length)
    if sleeves is not None:
        cuff = _fitting(edgings, sleeves.lower)
        yield from _both_sleeves(sleeves, cuff, half, top, yoke, units)
    fronts = next((one for one in body if abs(2 * one.lower - body[0].lower) <= NEAR), None)
    if fronts is None:
        yield _Placed(body[0], _upright(half, half, start, top), measure(body[0].lower, units))
    else:
        gap = half / 60  # so that it is seen to open
        for side, said in ((-1, ""), (1, measure(fronts.lower, units))):
            wide, middle = half / 2 - gap, side * (half / 4 + gap / 2)
            yield _Placed(fronts, _upright(wide, wide, start, top, middle), said)
    if hem is not None:
        yield _Placed(hem, _upright(half, half, 0.0, start))
    if above is not None:
        end = top + float(above.length)
        yield _Placed(above, _upright(float(above.lower), float(above.upper), top, end), measure(above.lower, units))
        top = end
    neck = next((one for one in edgings if one.times == 1 and one is not hem), None)  # all others come in pairs
    uppers = [*(after.lower for after in yoke[1:]), *((neck.lower if neck else ring.upper) for ring in yoke[-1:])]
    deep = measure(sum((ring.length for ring in yoke), Fraction(0)), units)
    for place, (ring, upper) in enumerate(zip(yoke, uppers, strict=True)):
        end = top + float(ring.length)
        yield _Placed(ring, _upright(float(ring.lower) / 2, float(upper) / 2, top, end), "" if place else deep)
        top = end
    if neck is not None:
        round_it = float(neck.lower) / 2
        yield _Placed(neck, _upright(round_it, round_it, top, top + float(neck.length)))


def _fitting(edgings: Sequence[Outline], round_it: Fraction) -> Outline | None:
    """The edging that is as wide as what it goes round."""
    return next((one for one in edgings if abs(one.lower - round_it) <= NEAR), None)


def _both_sleeves(
    sleeve: Outline, cuff: Outline | None, half: float, top: float, yoke: Sequence[Outline], units: System
) -> Iterator[_Placed]:
    """Straight out from the shoulder where there is no yoke; else hanging from where the yoke begins."""
    wide, narrow, length = float(sleeve.upper) / 2, float(sleeve.lower) / 2, float(sleeve.length)
    hang = HANG if yoke else math.pi / 2
    corner = (float(yoke[0].lower) / 4 if yoke else half / 2, top)
    for side in (-1, 1):
        out, across = (side * math.sin(hang), -math.cos(hang)), (side * math.cos(hang), math.sin(hang))
        middle = (side * corner[0] - across[0] * wide / 2, corner[1] - across[1] * wide / 2)
        wrist = (middle[0] + out[0] * length, middle[1] + out[1] * length)
        said = measure(sleeve.length, units) if side == 1 else ""
        corners = _crosswise(wrist, narrow, middle, wide, across)
        if yoke:  # its head lies along the yoke's edge
            corners = (*corners[:2], (side * corner[0], top), (side * (corner[0] - wide), top))
        yield _Placed(sleeve, corners, said)
        if cuff is not None:
            deep = float(cuff.length)
            end = (wrist[0] + out[0] * deep, wrist[1] + out[1] * deep)
            yield _Placed(cuff, _crosswise(end, narrow, wrist, narrow, across))


def _crosswise(foot: Point, lower: float, head: Point, upper: float, across: Point) -> Corners:
    """A trapezoid between the middles of its ends; `across`: the way its ends run."""
    one, other = ((across[0] * width / 2, across[1] * width / 2) for width in (lower, upper))
    return (
        (foot[0] - one[0], foot[1] - one[1]),
        (foot[0] + one[0], foot[1] + one[1]),
        (head[0] + other[0], head[1] + other[1]),
        (head[0] - other[0], head[1] - other[1]),
    )


def _upright(lower: float, upper: float, start: float, end: float, middle: float = 0.0) -> Corners:
    return _crosswise((middle, start), lower, (middle, end), upper, (1.0, 0.0))


def _drawn(placed: Sequence[_Placed]) -> Garment:
    """In px, downwards from the top, as large as there is room."""
    xs = [x for one in placed for x, _ in one.corners]
    ys = [y for one in placed for _, y in one.corners]
    wide, high = max(xs) - min(xs), max(ys) - min(ys)
    scale = min((WIDEST - 2 * ROUND) / wide, (HIGHEST - 2 * ROUND) / high)

    def at(point: Point) -> Point:
        return ROUND + (point[0] - min(xs)) * scale, ROUND + (max(ys) - point[1]) * scale

    laid, labels = [], []
    for one in placed:
        first, second, third, fourth = map(at, one.corners)
        corners = (first, second, third, fourth)
        laid.append(Laid(points(corners), areas(one.outline, corners)))
        if one.said:
            x, y = (sum(corner[axis] for corner in corners) / 4 for axis in (0, 1))
            labels.append(Label(one.said, x, y, LETTER * len(one.said) + 6))
    return Garment(wide * scale + 2 * ROUND, high * scale + 2 * ROUND, tuple(laid), tuple(labels))

"""Shapes a thing can have, by name: which sizes there are of each, and its schematic in one of them."""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction
from typing import TYPE_CHECKING

from patterns import garments, smallthings
from patterns.bodies import FEET, FLAT, HANDS, HEADS, TORSOS
from patterns.garments import Fit, usual_rib
from patterns.schematics import Schematic, piece
from patterns.smallthings import PI, cling, mitten_rib
from stash.units import INCH_M

if TYPE_CHECKING:
    from collections.abc import Callable

    from patterns.bodies import Body
    from patterns.schematics import Piece

YOKED = ("drop shoulder", "raglan", "round yoke")
# Ease round the chest by fit. A handbook: classic 2 to 4 in, loose 6 in and more (Knitting for Dummies); a yarn maker's
# guideline: very close 0, close 1 to 2, classic 2 to 4, loose 4 to 6, oversized from 6 in on. Their middles, and 8 in.
FITS: dict[str, Fraction] = {
    "very close": Fraction(0),
    "close": Fraction(3, 2) * INCH_M,
    "classic": 3 * INCH_M,
    "loose": 5 * INCH_M,
    "oversized": 8 * INCH_M,
}
FULL_EASE_FROM = Fraction(9, 10)  # metres of chest; smaller bodies have ease in proportion; common practice, no source


class ShapeError(ValueError):
    """A shape with nothing left of it; `hint` says what to tell instead."""

    def __init__(self, message: str, hint: str) -> None:
        super().__init__(message)
        self.hint = hint


@dataclass(frozen=True)
class Shape:
    """A kind of thing. `sizes`: the bodies it is made for; `ease_on`: what ease is added to, "" where it has none."""

    name: str
    constructions: tuple[str, ...]
    sizes: tuple[Body, ...]
    ease_on: str

    @property
    def groups(self) -> tuple[str, ...]:
        """Whom there are sizes for, in the table's order."""
        return tuple(dict.fromkeys(body.group for body in self.sizes))


TURNED_UP = "turned-up brim"
SHAPES: dict[str, Shape] = {
    one.name: one
    for one in (
        Shape("pullover", YOKED, TORSOS, "chest"),
        Shape("cardigan", YOKED, TORSOS, "chest"),
        Shape("vest", ("plain",), TORSOS, "chest"),
        Shape("hat", ("plain", TURNED_UP), HEADS, "head"),
        Shape("mittens", ("plain",), HANDS, "hand"),
        Shape("socks", ("plain",), FEET, "foot"),
        Shape("cowl", ("plain",), FLAT["cowl"], ""),
        Shape("scarf", ("plain",), FLAT["scarf"], ""),
        Shape("shawl", ("triangle", "half circle"), FLAT["shawl"], ""),
        Shape("blanket", ("plain",), FLAT["blanket"], ""),
    )
}


def usual_ease(shape: Shape, body: Body, fit: str) -> Fraction:
    """Return the ease of a fit, one of FITS, in metres; hats and socks cling, mittens have none."""
    if shape.ease_on == "chest":
        return FITS[fit] * min(body["chest"] / FULL_EASE_FROM, Fraction(1))
    return cling(body[shape.ease_on]) if shape.name in {"hat", "socks"} else Fraction(0)


def edging_depth(shape: Shape, body: Body, construction: str = "plain") -> Fraction:
    """Return the usual depth of the edging as worn, in metres; flat things have none unless one is asked for."""
    if not shape.ease_on:
        return Fraction(0)
    if construction == TURNED_UP:
        return smallthings.turned_up_depth(body)
    return mitten_rib(body) if shape.name == "mittens" else usual_rib(body)


def draw(
    shape: Shape, construction: str, body: Body, ease: Fraction | None = None, rib: Fraction | None = None
) -> Schematic:
    """Return the schematic of a shape in one size; `ease` and `rib` in metres, None: as usual for a classic fit.

    Raises ShapeError.
    """
    fit = Fit(
        usual_ease(shape, body, "classic") if ease is None and shape.ease_on else ease or Fraction(0),
        edging_depth(shape, body, construction) if rib is None else rib,
    )
    made = _worn(shape, construction, body, fit) if shape.ease_on else _flat(shape, construction, body, fit)
    if any(min(one.lower, one.upper, one.length) < 0 or (not one.edging and one.area <= 0) for one in made):
        raise ShapeError(
            f"nothing is left of a piece of the {shape.name} in size {body.size}",
            "look at the depth of the edging, and at the ease or the width",
        )
    return Schematic(shape.name, construction, body.size, tuple(one for one in made if one.area > 0))


_YOKES: dict[str, Callable[..., tuple[Piece, ...]]] = {
    "drop shoulder": garments.drop_shoulder,
    "raglan": garments.raglan,
    "round yoke": garments.round_yoke,
    "plain": garments.vest,
}
_SMALL = {"hat": smallthings.hat, "mittens": smallthings.mittens, "socks": smallthings.socks}


def _worn(shape: Shape, construction: str, body: Body, fit: Fit) -> tuple[Piece, ...]:
    if construction == TURNED_UP:
        return smallthings.hat(body, fit, layers=2)
    if shape.name in _SMALL:
        return _SMALL[shape.name](body, fit)
    return _YOKES[construction](body, fit, opens=shape.name == "cardigan")


def _flat(shape: Shape, construction: str, body: Body, fit: Fit) -> tuple[Piece, ...]:
    """Width x length, edged along both ends; a shawl along its longest side.

    A triangle is as wide as its longest side, a half circle has half of that as its radius, whatever its length.
    """
    width, length = body["width"], body["length"]
    if construction == "half circle":
        radius = width / 2
        whole = piece("shawl", "half disc", (Fraction(0), PI * radius), radius, drawn="half disc")
        return (whole, piece("edging", "border", PI * radius, fit.rib, edging=True))
    if construction == "triangle":
        whole = piece("shawl", "triangle", (Fraction(0), width), length, drawn="triangle")
        return (whole, piece("edging", "border", width, fit.rib, edging=True))
    if shape.name == "cowl":  # `length` is how far it is round, `width` how high it stands
        inner = piece("cowl", "tube", length, width - 2 * fit.rib, drawn="tube")
        return (inner, piece("edging", "edges", length, fit.rib, 2, edging=True, drawn="tube"))
    inner = piece(shape.name, shape.name, width, length - 2 * fit.rib)
    return (inner, piece("edging", "ends", width, fit.rib, 2, edging=True))

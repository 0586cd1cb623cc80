"""Pullovers, cardigans and vests: their pieces from the body, the ease and the depth of the edging.

Proportions that no body table gives (cuff, neck, raglan depth) are common practice, no source, unless one is named.
Widths of garments are body measures with ease; a neck opening is not cut out of back and front, which errs on the side
of more yarn by some 2 % and stands for seams.
"""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction
from typing import TYPE_CHECKING

from patterns.schematics import CM, Piece, piece

if TYPE_CHECKING:
    from patterns.bodies import Body

CUFF = Fraction(7, 10)  # of the upper arm
NECK = Fraction(8, 10)  # of the head: a ribbed neck stretches to let it through
UNDERARM = Fraction(8, 100)  # of the garment's chest: what body and sleeve lay together there, as yokes are planned
DEEPER = Fraction(1, 8)  # of the ease goes into the depth of an armhole, and so again into that of a yoke
YOKE_DEEPER = Fraction(1, 5)  # of the armhole: a yoke reaches up to the neck
BAND = Fraction(1, 2)  # of the edging's depth: neck, armhole and button bands
# A round yoke is decreased in rounds: to 3/4 at half its depth, to 1/2 at three quarters, to the neck at its end.
ROUND_YOKE = ((Fraction(1), Fraction(1, 2)), (Fraction(3, 4), Fraction(1, 4)), (Fraction(1, 2), Fraction(1, 4)))


@dataclass(frozen=True)
class Fit:
    """What is added to the body round the chest, and how deep the edging at hem and cuffs is; metres."""

    ease: Fraction
    rib: Fraction


@dataclass(frozen=True)
class _Sizes:
    """The measures every garment starts from."""

    chest: Fraction
    length: Fraction
    armhole: Fraction
    cuff: Fraction
    neck: Fraction
    rib: Fraction
    band: Fraction


def _sizes(body: Body, fit: Fit) -> _Sizes:
    return _Sizes(
        body["chest"] + fit.ease,
        body["back"] + body["hip"],
        body["armhole"] + fit.ease * DEEPER,
        body["upper_arm"] * CUFF,
        body["head"] * NECK,
        fit.rib,
        fit.rib * BAND,
    )


def drop_shoulder(body: Body, fit: Fit, *, opens: bool) -> tuple[Piece, ...]:
    """Two rectangles as long as the garment, two sleeves that widen to twice the armhole.

    Sleeves reach from the edge of the body to the wrist. So a handbook draws it: two of 20 x 28 in, two of 8 to 15 by
    18 in (Knitting & Crocheting All-in-One).
    """
    own = _sizes(body, fit)
    half = own.chest / 2
    sleeve = body["reach"] - half / 2
    pieces = _body(half, own.length, own.rib, opens=opens)
    pieces += _sleeves(own.cuff, 2 * own.armhole, sleeve, own.rib)
    return (*pieces, *_bands(own, own.length, opens=opens))


def raglan(body: Body, fit: Fit, *, opens: bool) -> tuple[Piece, ...]:
    """Body and sleeves to the underarm, then a yoke that narrows evenly to the neck along four lines."""
    own = _sizes(body, fit)
    around, depth = _yoke(body, own, fit)
    yoke = piece("yoke", "yoke", (around, own.neck), depth, drawn="ring")
    return _with_yoke(body, own, fit, depth, (yoke,), opens=opens)


def round_yoke(body: Body, fit: Fit, *, opens: bool) -> tuple[Piece, ...]:
    """As a raglan, but the yoke keeps its width between three rounds of decreases."""
    own = _sizes(body, fit)
    around, depth = _yoke(body, own, fit)
    rings = tuple(
        piece("yoke", f"yoke, ring {number}", max(around * share, own.neck), depth * part, drawn="ring")
        for number, (share, part) in enumerate(ROUND_YOKE, 1)
    )
    return _with_yoke(body, own, fit, depth, rings, opens=opens)


def vest(body: Body, fit: Fit, *, opens: bool) -> tuple[Piece, ...]:
    """Two rectangles to the underarm, two as wide as the shoulders above it, bands round the armholes."""
    own = _sizes(body, fit)
    half, above = own.chest / 2, min(body["shoulders"], own.chest / 2)
    to_underarm = own.length - own.armhole
    lower = _body(half, to_underarm, own.rib, opens=opens)
    upper = piece("body", "above the underarm", above, own.armhole, 2)
    arms = piece("edging", "armhole bands", 2 * own.armhole, own.band, 2, edging=True)
    return (*lower, upper, arms, *_bands(own, own.length, opens=opens))


def _yoke(body: Body, own: _Sizes, fit: Fit) -> tuple[Fraction, Fraction]:
    """How far round a yoke is where it begins, and how deep it is."""
    sleeve = body["upper_arm"] + fit.ease / 2
    return own.chest + 2 * sleeve - 4 * UNDERARM * own.chest, own.armhole * (1 + YOKE_DEEPER)


def _with_yoke(
    body: Body, own: _Sizes, fit: Fit, depth: Fraction, yoke: tuple[Piece, ...], *, opens: bool
) -> tuple[Piece, ...]:
    pieces = _body(own.chest / 2, own.length - depth, own.rib, opens=opens)
    pieces += _sleeves(own.cuff, body["upper_arm"] + fit.ease / 2, body["arm"], own.rib)
    return (*pieces, *yoke, *_bands(own, own.length, opens=opens))


def _body(half: Fraction, length: Fraction, rib: Fraction, *, opens: bool) -> tuple[Piece, ...]:
    """Back and front, or fronts, down to the edging, and the edging at their hem."""
    plain = length - rib
    fronts = piece("body", "fronts", half / 2, plain, 2) if opens else piece("body", "front", half, plain)
    return (piece("body", "back", half, plain), fronts, piece("edging", "hem", 2 * half, rib, edging=True))


def _sleeves(cuff: Fraction, top: Fraction, length: Fraction, rib: Fraction) -> tuple[Piece, ...]:
    widths = (min(cuff, top), top)
    return (
        piece("sleeves", "sleeves", widths, length - rib, 2),
        piece("edging", "cuffs", widths[0], rib, 2, edging=True),
    )


def _bands(own: _Sizes, length: Fraction, *, opens: bool) -> tuple[Piece, ...]:
    neck = piece("edging", "neckband", own.neck, own.band, edging=True, drawn="tube")
    if not opens:
        return (neck,)
    return (neck, piece("edging", "button bands", own.band, length, 2, edging=True))


def usual_rib(body: Body) -> Fraction:
    """Return the usual depth of an edging: 3 cm for babies, 4 cm for children, 6 cm for the grown."""
    return {"baby": 3, "child": 4}.get(body.group, 6) * CM

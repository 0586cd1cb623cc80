"""Hats, mittens and socks, which cling: narrower than the body by a tenth where they stretch.

A tenth of negative ease, and the proportions below, are common practice, no source, unless one is named.
"""

from __future__ import annotations

from fractions import Fraction
from typing import TYPE_CHECKING

from patterns.schematics import Piece, piece

if TYPE_CHECKING:
    from patterns.bodies import Body
    from patterns.garments import Fit

PI = Fraction(355, 113)
CLINGS = Fraction(1, 10)
# Crown to brim of a hat, of the round of the head: a published list of hat heights after the trade's standard gives
# 16 in 6.25, 18 in 7, 20 in 7.5, 22 in 8.25, 24 in 9.25.
HAT_HEIGHT = Fraction(38, 100)
TURNED_UP = Fraction(15, 100)  # of the round of the head, 8 to 9 cm for adults: common practice, no source
THUMB = (Fraction(4, 10), Fraction(4, 10))  # round, of the hand's; long with its gusset, of the hand's length
MITTEN_TIP = Fraction(1, 4)  # of the hand's length, narrowing to a quarter of its round
MITTEN_CUFF = Fraction(35, 100)  # of the hand's length
TOE = Fraction(1, 3)  # a toe narrows to that
HEEL = Fraction(1, 3)  # a heel, worked on half the stitches, narrows to that and widens again


def hat(body: Body, fit: Fit, layers: int = 1) -> tuple[Piece, ...]:
    """A tube with a flat crown on top: a disc, as wide at its edge as the tube is round; a brim of one layer or two."""
    around = body["head"] + fit.ease
    crown = around / (2 * PI)
    side = body["head"] * HAT_HEIGHT - crown - fit.rib
    return (
        piece("hat", "side", around, side, drawn="tube"),
        piece("hat", "crown", (around, Fraction(0)), crown, drawn="ring"),
        piece("edging", "brim", around, layers * fit.rib, edging=True, drawn="tube"),
    )


def turned_up_depth(body: Body) -> Fraction:
    """Return how deep a brim is turned up, in metres."""
    return body["head"] * TURNED_UP


def mittens(body: Body, fit: Fit) -> tuple[Piece, ...]:
    """Two tubes that narrow at the tip, thumbs, and cuffs."""
    around, long = body["hand"] + fit.ease, body["hand_length"]
    pieces: tuple[Piece, ...] = (
        piece("hands", "hand", around, long * (1 - MITTEN_TIP), 2, drawn="tube"),
        piece("hands", "tip", (around, around / 4), long * MITTEN_TIP, 2, drawn="ring"),
    )
    if body.group != "baby":
        pieces += (piece("hands", "thumb", around * THUMB[0], long * THUMB[1], 2, drawn="tube"),)
    return (*pieces, piece("edging", "cuff", around, fit.rib, 2, edging=True, drawn="tube"))


def socks(body: Body, fit: Fit) -> tuple[Piece, ...]:
    """Leg, heel, foot and toe, two of each; the heel is worked to and fro on half the stitches."""
    around = body["foot"] + fit.ease
    turn = around / 6
    foot = body["foot_length"] - 2 * turn
    return (
        piece("socks", "leg", around, body["sock_height"] - fit.rib, 2, drawn="tube"),
        piece("socks", "heel", (around / 2, around / 2 * HEEL), turn, 4),
        piece("socks", "foot", around, foot, 2, drawn="tube"),
        piece("socks", "toe", (around, around * TOE), turn, 2, drawn="ring"),
        piece("edging", "cuff", around, fit.rib, 2, edging=True, drawn="tube"),
    )


def cling(measure: Fraction) -> Fraction:
    """Return the usual ease, below 0, of something that clings to a measure."""
    return -measure * CLINGS


def mitten_rib(body: Body) -> Fraction:
    return body["hand_length"] * MITTEN_CUFF

"""What a shape takes: the yarn of every need and part of it, in every size and weight class asked for."""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction
from typing import TYPE_CHECKING

from patterns.patches import Patch, patch_amount, together
from patterns.shapes import draw, usual_ease
from stash.fabric import KC, KW, Gauge
from stash.stitches import PLAIN, STITCHES, Stitch
from stash.weightclass import CLASSES

if TYPE_CHECKING:
    from patterns.bodies import Body
    from patterns.needs import Amount
    from patterns.patches import Swatch
    from patterns.schematics import Piece, Schematic
    from patterns.shapes import Shape
    from stash.weightclass import WeightClass

MAIN, MOTIF, EDGING = "main", "motif", "edging"
SHARES = 10**6  # shares are cut to that part of a whole, which a file can hold
STRANDED = STITCHES["stranded"]
TEN_CM = Fraction(1, 10)
# Stitches of plain knitting in 4 in, taken as 10 cm: Craft Yarn Council, standard yarn weight system. Classes 0 to 6
# from-to; 7 is "6 and fewer", of which the most is taken, which errs on the side of more yarn.
PUBLISHED: tuple[tuple[int, int], ...] = (
    *((33, 40), (27, 32), (23, 26), (21, 24), (16, 20), (12, 15), (7, 11)),
    (6, 6),
)


@dataclass(frozen=True)
class Column:
    """One gauge to estimate at, and the class of yarn it goes with. `rows` and `stitches` over `over_m` metres.

    Where a swatch tells the yarn, the gauge is idle, and the class None if it was not told.
    """

    weight_class: WeightClass | None
    stitches: Fraction
    rows: Fraction
    over_m: Fraction = TEN_CM

    @property
    def gauge(self) -> Gauge:
        return Gauge(self.stitches / (100 * self.over_m), self.rows / (100 * self.over_m))


@dataclass(frozen=True)
class Band:
    """So many rows of one colour, again and again; `need` is what that colour is called."""

    need: str
    rows: int


@dataclass(frozen=True)
class Motif:
    """A second colour, in this share of the stitches; `part` None: of everything but edgings."""

    share: Fraction
    part: str | None


@dataclass(frozen=True)
class Wish:
    """What is to be estimated. `ease` and `rib` in metres, None: as usual for the fit and the size."""

    shape: Shape
    construction: str
    bodies: tuple[Body, ...]
    columns: tuple[Column, ...]
    fit: str = "classic"
    ease: Fraction | None = None
    rib: Fraction | None = None
    craft: str = "knitting"
    stitch: Stitch = PLAIN
    bands: tuple[Band, ...] = ()
    motif: Motif | None = None
    own_edging: bool = False
    swatch: Swatch | None = None


@dataclass(frozen=True)
class Worked:
    """A piece of the schematic, the need whose yarn it holds, and the patch it comes to."""

    need: str
    piece: Piece
    patch: Patch


@dataclass(frozen=True)
class SizeNeeds:
    """One size: its name in a pattern, its schematic, and what is worked in it."""

    name: str
    body: Body
    ease: Fraction
    schematic: Schematic
    worked: tuple[Worked, ...]

    @property
    def needs(self) -> dict[str, dict[str, tuple[Worked, ...]]]:
        """Need -> part -> what is worked of it there, in order."""
        return {
            need: {
                part: tuple(one for one in self.worked if (one.need, one.piece.part) == (need, part))
                for part in dict.fromkeys(one.piece.part for one in self.worked if one.need == need)
            }
            for need in dict.fromkeys(one.need for one in self.worked)
        }

    def amount(self, column: Column, need: str | None = None, part: str | None = None) -> Amount:
        """What a need, or a part of it, takes; without either, what all of it takes."""
        return together(
            [
                patch_amount(one.patch, column.gauge)
                for one in self.worked
                if need in {None, one.need} and part in {None, one.piece.part}
            ]
        )


@dataclass(frozen=True)
class Estimate:
    """The whole answer."""

    wish: Wish
    confidence: Fraction
    sizes: tuple[SizeNeeds, ...]


def estimate(wish: Wish, confidence: Fraction) -> Estimate:
    """Draw every size and share its yarn among the needs. Raises ShapeError where nothing is left of one."""
    return Estimate(wish, confidence, tuple(_size(wish, body) for body in wish.bodies))


def parts_of(shape: Shape, construction: str) -> tuple[str, ...]:
    """The names of a shape's parts, edgings aside."""
    parts = draw(shape, construction, shape.sizes[0]).parts
    return tuple(part for part in parts if part != EDGING)


def middle_column(one: WeightClass) -> Column:
    """The middle of a class's published gauges, in fully relaxed plain knitting."""
    low, high = PUBLISHED[one.number]
    return column_of(one, Fraction(low + high, 2))


def column_of(
    one: WeightClass | None, stitches: Fraction, rows: Fraction | None = None, over_m: Fraction = TEN_CM
) -> Column:
    """A gauge; without rows those of fully relaxed plain knitting, Kc / Kw = 5.5 / 4.2 rows a stitch, to a tenth."""
    return Column(one, stitches, relaxed_rows(stitches) if rows is None else rows, over_m)


def relaxed_rows(stitches: Fraction) -> Fraction:
    """Rows of fully relaxed plain knitting beside so many stitches, to a tenth (Munden 1959)."""
    return Fraction(max(round(10 * stitches * KC / KW), 1), 10)


def class_for(stitches_in_10_cm: Fraction) -> WeightClass:
    """The class whose published gauges hold so many stitches, or come nearest; the finer one where two do."""
    return min(CLASSES, key=lambda one: (_outside(stitches_in_10_cm, PUBLISHED[one.number]), one.number))


def _outside(stitches: Fraction, ends: tuple[int, int]) -> Fraction:
    return max(ends[0] - stitches, stitches - ends[1], Fraction(0))


def size_name(wish: Wish, body: Body) -> str:
    """A size as a pattern names it; with whom it is for where another has that name too."""
    several = sum(one.size == body.size for one in wish.bodies) > 1
    return f"{body.group} {body.size}" if several else body.size


def _size(wish: Wish, body: Body) -> SizeNeeds:
    usual = usual_ease(wish.shape, body, wish.fit) if wish.shape.ease_on else Fraction(0)
    ease = usual if wish.ease is None else wish.ease
    drawn = draw(wish.shape, wish.construction, body, ease, wish.rib)
    worked = tuple(
        Worked(need, piece, _patch(wish, piece, share, stitch))
        for piece in drawn.pieces
        for need, share, stitch in _shares(wish, piece)
    )
    return SizeNeeds(size_name(wish, body), body, ease, drawn, worked)


def _patch(wish: Wish, piece: Piece, share: Fraction, stitch: Stitch) -> Patch:
    named = None if stitch == PLAIN or wish.swatch is not None else stitch
    return Patch(piece.lower, piece.upper, piece.length, Fraction(piece.times), share, stitch=named, swatch=wish.swatch)


def _shares(wish: Wish, piece: Piece) -> list[tuple[str, Fraction, Stitch]]:
    """The needs whose yarn a piece holds, each with its share of it, and the stitch."""
    first = MAIN if not wish.bands or MAIN in {one.need for one in wish.bands} else wish.bands[0].need
    if piece.edging:
        stitch = STITCHES["rib" if wish.shape.ease_on else "garter"]
        return [(EDGING if wish.own_edging else first, Fraction(1), stitch)]
    if wish.motif is not None and wish.motif.part in {None, piece.part}:
        motif = motif_share(wish.motif.share)
        return [(first, 1 - motif, STRANDED), (MOTIF, motif, STRANDED)]
    if not wish.bands:
        return [(MAIN, Fraction(1), wish.stitch)]
    return [(need, share, wish.stitch) for need, share in band_shares(wish.bands).items()]


def motif_share(of_stitches: Fraction) -> Fraction:
    """The share of a stranded fabric's yarn that its second colour has.

    Its stitches are a loop each, and behind every stitch of the other colour it floats, one stitch wide: l / Kw of a
    loop of l (Munden 1959).
    """
    floats = (1 - of_stitches) / KW
    return _cut((of_stitches + floats) / (1 + 1 / KW))


def band_shares(bands: tuple[Band, ...]) -> dict[str, Fraction]:
    """Need -> its share of all rows; the last takes what is left, so that they make a whole."""
    rows: dict[str, int] = {}
    for one in bands:
        rows[one.need] = rows.get(one.need, 0) + one.rows
    shares = {need: _cut(Fraction(own, sum(rows.values()))) for need, own in rows.items()}
    last = list(shares)[-1]
    shares[last] = 1 - sum((share for need, share in shares.items() if need != last), Fraction(0))
    return shares


def _cut(share: Fraction) -> Fraction:
    return Fraction(round(share * SHARES), SHARES)

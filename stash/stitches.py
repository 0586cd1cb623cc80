"""Stitches: how much more yarn a stitch of ribbing, cable or lace holds than one of plain knitting as dense.

A factor belongs to the stitch's own gauge: all its stitches (knit and purl) and rows counted where it lies flat and
unstretched. The yarn in one stitch is factor x sqrt(Ks / (stitches x rows)), and that in an area goes with it.

Beside plain knitting of the same yarn and needles, so of the same loops, a fabric of that factor has factor^2 as many
stitches in an area, and so much more yarn; floats add yarn and make it no denser.
"""

from __future__ import annotations

from dataclasses import dataclass
from difflib import get_close_matches
from fractions import Fraction

COMMON = "common practice, no source"


class StitchError(ValueError):
    """A stitch nobody here knows; `hint` says what to write instead."""

    def __init__(self, message: str, hint: str) -> None:
        super().__init__(message)
        self.hint = hint


@dataclass(frozen=True)
class Stitch:
    """A kind of fabric. `relative_u`: relative standard uncertainty of the yarn in one stitch, gauge known exactly.

    `carried`: what it holds beyond plain knitting lies behind the fabric.
    """

    name: str
    factor: Fraction
    relative_u: float
    source: str
    carried: bool = False

    @property
    def in_area(self) -> Fraction:
        """How much more yarn it holds than plain knitting, in the same area at the gauge of plain knitting."""
        return self.factor if self.carried else self.factor**2

    @property
    def in_area_u(self) -> float:
        """The relative standard uncertainty of `in_area`; plain knitting is its own measure."""
        if self.factor == 1:
            return 0.0
        return self.relative_u if self.carried else 2 * self.relative_u


STITCHES: dict[str, Stitch] = {
    one.name: one
    for one in (
        # Published products Ks for relaxed wool plain knitting lie between 21.7 (wet relaxed) and 23.1 (fully relaxed):
        # 6 % apart, so 3 % in the loop length.
        Stitch("plain", Fraction(1), 0.03, "Munden 1959: Kc 5.5, Kw 4.2 fully relaxed; 5.3, 4.1 wet relaxed"),
        # One yarn, one pair of needles, 15 stitches and 18 rows of each: plain 8 x 8 cm, garter 8.5 x 6 cm, unblocked,
        # as one knitter published them: sqrt(64 / 51).
        Stitch("garter", Fraction("1.12"), 0.06, "computed from one published pair of swatches"),
        Stitch("moss", Fraction("1.1"), 0.07, COMMON),
        Stitch("rib", Fraction("1.1"), 0.08, COMMON),
        # A quarter more stitches than plain in the same width, each as long: a quarter more yarn in the same area.
        Stitch("cable", Fraction("1.12"), 0.08, COMMON),
        # Behind each stitch lies a float of the other colour, one stitch (l / Kw) wide: 1 + 1 / 4.2.
        Stitch("stranded", Fraction("1.24"), 0.07, "computed: one float a stitch, as wide as the stitch", carried=True),
        # Lace is blocked wider than it would lie by itself, so a stitch holds less than its room suggests.
        Stitch("lace", Fraction("0.85"), 0.12, COMMON),
    )
}
PLAIN = STITCHES["plain"]
_ALSO = {
    "stockinette": "plain",
    "stocking stitch": "plain",
    "stocking": "plain",
    "jersey": "plain",
    "garter stitch": "garter",
    "moss stitch": "moss",
    "seed": "moss",
    "seed stitch": "moss",
    "ribbing": "rib",
    "1x1 rib": "rib",
    "2x2 rib": "rib",
    "ribbed": "rib",
    "cables": "cable",
    "cabled": "cable",
    "colourwork": "stranded",
    "openwork": "lace",
}
STITCH_NAMES: tuple[str, ...] = (*STITCHES, *_ALSO)


def read_stitch(text: str) -> Stitch:
    """Return the stitch of a name such as "rib", capitals aside. Raises StitchError."""
    name = " ".join(text.casefold().split())
    known = STITCHES.get(_ALSO.get(name, name))
    if known is not None:
        return known
    shown = text.strip() if len(text.strip()) <= 40 else f"{text.strip()[:37]}..."
    close = get_close_matches(name, STITCH_NAMES, n=1)
    names = ", ".join(STITCHES)
    hint = f"did you mean {_ALSO.get(close[0], close[0])}?" if close else f"write one of {names}"
    raise StitchError(f"'{shown}' is not a stitch known here", hint)

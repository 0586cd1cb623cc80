"""Garments as they are seen: what a person can read, count and measure on one before it is taken apart."""

from __future__ import annotations

import re
from dataclasses import dataclass
from fractions import Fraction
from typing import TYPE_CHECKING

from stash.stitches import PLAIN, Stitch
from stash.units import INCH_M, LENGTH_UNITS, UnitError, read_length

if TYPE_CHECKING:
    from stash.colour import Colour
    from stash.fabric import Gauge
    from stash.fibre import Blend

TEN_CM = Fraction(1, 10)
LONGEST_SIDE = 20  # metres
FELTED = ("no", "slightly", "felted")


@dataclass(frozen=True)
class Panel:
    """So many flat pieces of knitting alike; lengths in metres, two widths where one end is wider."""

    times: int
    widths: tuple[Fraction, Fraction]
    length: Fraction
    step: Fraction  # what the tape was read to

    @property
    def width(self) -> Fraction:
        return (self.widths[0] + self.widths[1]) / 2

    @property
    def area(self) -> Fraction:
        """Square metres of all of them."""
        return self.times * self.width * self.length


@dataclass(frozen=True)
class Garment:
    """What was seen; None and the defaults where it was not looked at, or there was nothing to see.

    `gauge` in stitches and rows a centimetre, counted over `over_m`; `scale_g`: the resolution of the scale;
    `main_share`: the main colour's part of the yarn; `plies`: strands that ran side by side in the knitting.
    """

    kind: str | None = None
    size: str | None = None
    blend: Blend | None = None
    mass_g: Fraction | None = None
    scale_g: Fraction = Fraction(1)
    gauge: Gauge | None = None
    over_m: Fraction = TEN_CM
    stitch: Stitch = PLAIN
    panels: tuple[Panel, ...] = ()
    seams: str | None = None
    felted: str = "no"
    pilled: bool = False
    holes: int = 0
    stains: int = 0
    smell: bool = False
    moths: bool = False
    colours: int = 1
    main_share: Fraction | None = None
    fancy: bool = False
    plies: int = 1
    colour: Colour | None = None
    price: Fraction | None = None


_PANEL = re.compile(r"(?:([0-9]{1,2}) ?[x×*] ?)?([^x×*]+?) ?[x×*] ?([^x×*]+)")
_WIDTHS = re.compile(r"([0-9.]+) ?([a-z\"]*) ?[-–] ?([0-9.]+ ?[a-z\"]+)")
_PANEL_FORM = "write width x length, such as 2 x 52 cm x 60 cm, or 2 x 20-38 cm x 45 cm where one end is wider"


def read_panel(text: str) -> Panel:
    """Return panels such as "2 x 52 cm x 60 cm" or "2 x 20-38 cm x 45 cm". Raises UnitError."""
    found = _PANEL.fullmatch(" ".join(text.split()))
    if not found:
        raise UnitError(f"'{text[:40]}' is not the size of a panel", _PANEL_FORM)
    times, across, along = found.groups()
    two = _WIDTHS.fullmatch(across)
    unit = along.lstrip("0123456789. ")
    if unit in LENGTH_UNITS and not across.strip("0123456789.-– "):
        raise UnitError(f"'{across}' has no unit", f"write {text.replace(across, f'{across} {unit}', 1).strip()}")
    if two:
        last = read_length(two[3])
        first = read_length(f"{two[1]} {two[2] or two[3].lstrip('0123456789. ')}")
    else:
        first = last = read_length(across)
    length = read_length(along)
    sides = (first.value, last.value, length.value)
    if not all(sides) or times in {"0", "00"}:
        raise UnitError("a panel's sizes are above zero", _PANEL_FORM)
    if max(sides) > LONGEST_SIDE:
        raise UnitError("a panel's sides are 20 m at most", _PANEL_FORM)
    return Panel(int(times or 1), (first.value, last.value), length.value, max(first.step, length.step))


_IN = INCH_M
_CM = Fraction(1, 100)


def _panel(times: int, narrow: int, wide: int, length: int, unit: Fraction = _CM) -> Panel:
    return Panel(times, (narrow * unit, wide * unit), length * unit, unit)


# Panels of a grown person's M. Pullover: two of 20 x 28 in and two sleeves of 8 to 15 by 18 in, as Knitting &
# Crocheting All-in-One (Dummies) draws a drop-shoulder one: 0.990 m2. The others: common practice, no source.
_SLEEVES = _panel(2, 8, 15, 18, _IN)
KINDS: dict[str, tuple[Panel, ...]] = {
    "pullover": (_panel(2, 20, 20, 28, _IN), _SLEEVES),
    "cardigan": (_panel(1, 20, 20, 28, _IN), _panel(2, 11, 11, 28, _IN), _SLEEVES),
    "vest": (_panel(2, 46, 46, 60),),
    "dress": (_panel(2, 48, 60, 95), _SLEEVES),
    "skirt": (_panel(2, 42, 58, 60),),
    "scarf": (_panel(1, 28, 28, 170),),
    "shawl": (_panel(1, 0, 150, 75),),
    "blanket": (_panel(1, 120, 120, 150),),
}
# Area of a size beside M's; common practice, no source.
SIZES: dict[str, Fraction] = {
    "child": Fraction("0.45"),
    "S": Fraction("0.87"),
    "M": Fraction(1),
    "L": Fraction("1.15"),
    "XL": Fraction("1.32"),
}
ONE_SIZE = frozenset({"scarf", "shawl", "blanket"})


def usual_panels(kind: str, size: str | None) -> tuple[Panel, ...]:
    """Return the panels a garment of this kind and size usually has; without a size those of M."""
    factor = Fraction(1) if size is None or kind in ONE_SIZE else SIZES[size]
    return scaled(KINDS[kind], factor)


def scaled(panels: tuple[Panel, ...], factor: Fraction) -> tuple[Panel, ...]:
    """Return the panels with `factor` times their area, width and length alike; to a tenth of a millimetre."""
    by = Fraction(round(float(factor) ** 0.5 * 10_000), 10_000)
    return tuple(
        Panel(one.times, (one.widths[0] * by, one.widths[1] * by), one.length * by, one.step) for one in panels
    )


def area_of(panels: tuple[Panel, ...]) -> Fraction:
    """Return their area in square metres."""
    return sum((one.area for one in panels), Fraction(0))

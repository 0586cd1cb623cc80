"""Quantities, shares and lists in plain words."""

from __future__ import annotations

import math
from fractions import Fraction
from typing import TYPE_CHECKING

from planner.faultprint import safe_text
from stash.units import INCH_M, OUNCE_G, YARD_M, show_count, show_number
from stash.weightclass import NO_UPPER_END

if TYPE_CHECKING:
    from collections.abc import Iterable, Mapping

    from stash.garment import Panel
    from stash.units import System

ROUNDING = 1e-9  # what rounding up forgives
IMPERIAL = "imperial"


def length_up(cm: int, units: System) -> str:
    """A length to find, given in whole centimetres, rounded up to a tenth so that what is found is not too little."""
    unit = 100 * (YARD_M if units == IMPERIAL else 1)
    return f"{show_number(_tenth_up(cm / unit), 1)} {'yd' if units == IMPERIAL else 'm'}"


def mass_up(grams: float, units: System) -> str:
    """A mass to look for, rounded up to the gram or the tenth of an ounce."""
    if units == IMPERIAL:
        return f"{show_number(_tenth_up(Fraction(grams) / OUNCE_G), 1)} oz"
    return f"{math.ceil(grams - ROUNDING)} g"


def panel_size(panel: Panel, units: System) -> str:
    """How wide and long a piece of knitting lies: "38 x 44 cm", "16-28 x 34 cm"."""
    unit, name = (INCH_M, "in") if units == IMPERIAL else (Fraction(1, 100), "cm")
    *widths, long = (show_number(side / unit, 0) for side in (*panel.widths, panel.length))
    return f"{'-'.join(dict.fromkeys(widths))} x {long} {name}"


def _tenth_up(value: Fraction | float) -> Fraction:
    return Fraction(math.ceil(10 * value - ROUNDING), 10)


def count(m_per_100g: Fraction | float, units: System) -> str:
    """How thick a yarn is: "230 m/100g" or "71 yd/oz"."""
    return show_count(100_000 / Fraction(m_per_100g), units)


def count_range(low: Fraction, high: Fraction, units: System) -> str:
    """A range of counts: "190 to 273 m/100g", or one end of it where the other is open."""
    if high >= NO_UPPER_END:
        return f"{count(low, units)} or more"
    if low <= 0:
        return f"{count(high, units)} or less"
    return f"{count(low, units).partition(' ')[0]} to {count(high, units)}"


def gauge(stitches: Fraction | float, rows: Fraction | float | None, units: System, digits: int = 0) -> str:
    """Stitches and rows in 10 cm, or in 4 in; rows None where they are not given."""
    scale, over = (4 * INCH_M * 10, "4 in") if units == IMPERIAL else (Fraction(1), "10 cm")
    given = [(stitches, "stitches")] if rows is None else [(stitches, "stitches"), (rows, "rows")]
    counts = (f"{show_number(own * scale, digits).removesuffix('.0')} {what}" for own, what in given)
    return f"{' x '.join(counts)} in {over}"


def percent(share: float | Fraction) -> str:
    """A share of 1 as "5 %", "1.2 %", "0.04 %"; never 0 for what is not 0."""
    value = 100 * float(share)
    text = f"{value:.{1 if value >= 0.995 else 2}f}".rstrip("0").rstrip(".")
    return "under 0.01 %" if text == "0" and value > 0 else f"{text} %"


def percent_at_most(share: float) -> str:
    """A share of 1 rounded up, for what is promised not to be passed."""
    each = 1000 if share >= 0.00995 else 10_000
    return percent(math.ceil(each * share - ROUNDING) / each)


def chance(share: float) -> str:
    """A chance, never told finer than it can be known: "under 1 %", "about 7 %", "over 99 %"."""
    if share < 0.01:
        return "under 1 %"
    if share > 0.99:
        return "over 99 %"
    return f"about {100 * share:.0f} %"


def duration(seconds: float) -> str:
    """A time as "12 s" or "2 min 5 s"."""
    whole = round(seconds)
    if whole < 1:
        return "under a second"
    return f"{whole} s" if whole < 120 else f"{whole // 60} min {whole % 60} s"


def listing(parts: Iterable[str], last: str = "and") -> str:
    """Several things in one phrase: "a", "a and b", "a, b and c"."""
    words = list(parts)
    if len(words) < 2:
        return "".join(words)
    return f"{', '.join(words[:-1])} {last} {words[-1]}"


def counted(how_many: int, one: str, more: str | None = None) -> str:
    """So many of a thing: "1 skein", "3 skeins"."""
    return f"{how_many} {one if how_many == 1 else more or one + 's'}"


def held(strands: int) -> str:
    """How many strands run through the needles as one."""
    return {1: "single", 2: "held double", 3: "held triple"}.get(strands, f"{strands} strands held together")


def working_yarn(lots: Mapping[str, int], notes: Mapping[str, str] | None = None) -> str:
    """A working yarn in words: "slate", "slate held double", "slate with fog"; `notes` follow each lot's name."""
    named = {lot: safe_text(lot) + (notes or {}).get(lot, "") for lot in lots}
    if len(lots) == 1:
        ((lot, strands),) = lots.items()
        return named[lot] if strands == 1 else f"{named[lot]} {held(strands)}"
    return " with ".join(named[lot] if n == 1 else f"{n} strands of {named[lot]}" for lot, n in lots.items())

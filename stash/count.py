"""Counts: how thick a yarn is, as tex with a relative standard uncertainty, from every form people write or measure."""

from __future__ import annotations

import math
import re
from dataclasses import dataclass
from difflib import get_close_matches
from fractions import Fraction
from functools import cache
from typing import TYPE_CHECKING

from stash.fibre import density
from stash.units import LENGTH_UNITS, MASS_UNITS, POUND_G, YARD_M, UnitError, read_number, show_number
from stash.weightclass import (
    CLASS_NAMES,
    WOOL_DENSITY,
    WeightClass,
    class_mean,
    class_relative_u,
    m_per_100g,
    named_class,
)

if TYPE_CHECKING:
    from stash.fibre import Blend

# Relative standard uncertainties; common practice, no source.
AROUND_U = LENGTH_U = 0.005
TENSION_U = 0.01
LABEL_U = 0.03
NUMBER_U = 0.02
WRAPS_U = 0.20

WRAPS_FIT = Fraction("0.87")  # m/100 g = (wraps per inch / 0.87)^2: our own fit, no source

# tex of number 1 in each system that counts length in a mass: 1000 m/kg for Nm, else so many yards in a pound; exact.
NUMBER_ONE_TEX: dict[str, Fraction] = {
    "nm": Fraction(1000),
    "ne": POUND_G * 1000 / (840 * YARD_M),
    "worsted": POUND_G * 1000 / (560 * YARD_M),
    "run": POUND_G * 1000 / (1600 * YARD_M),
    "lea": POUND_G * 1000 / (300 * YARD_M),
}
DIRECT_TEX: dict[str, Fraction] = {"tex": Fraction(1), "dtex": Fraction(1, 10), "den": Fraction(1, 9)}

REFUSED_BELOW, REFUSED_ABOVE = 5, 10_000  # m/100 g
WARNED_BELOW, WARNED_ABOVE = 40, 1500

FORMS = "420 m/100g, 238 tex, 2140 dtex, 900 den, Nm 2/12, Ne 8/2, worsted 2/10, or a class name such as dk"


class CountError(ValueError):
    """A count that cannot be read or cannot be; `hint` says what to write instead."""

    def __init__(self, message: str, hint: str) -> None:
        super().__init__(message)
        self.hint = hint


@dataclass(frozen=True)
class Count:
    """Linear density in tex (grams in 1000 m) with its relative standard uncertainty.

    `relative_u` holds all that a lot's skeins share but the room's humidity, which `apart` (sample weighed apart) adds.
    """

    tex: Fraction
    relative_u: float
    apart: bool
    text: str


def count_from_wraps(wraps: Fraction, blend: Blend, *, text: str = "") -> Count:
    """Return the count of a yarn that lies `wraps` times in an inch. Raises CountError."""
    _must_be_positive({"wraps": wraps})
    return _of_thickness((wraps / WRAPS_FIT) ** 2, blend, WRAPS_U, text)


def count_from_class(one: WeightClass, blend: Blend, *, text: str = "") -> Count:
    """Return the middle count of a weight class, as uncertain as its bin is wide."""
    return _of_thickness(class_mean(one), blend, class_relative_u(one), text or one.name)


def scale_relative_u(mass_g: Fraction, scale_g: Fraction) -> float:
    """Return the relative standard uncertainty of a mass read to `scale_g`: d/sqrt(12).

    JCGM 100 F.2.2.1 (from memory). A mass of zero has none.
    """
    return float(scale_g / mass_g) / math.sqrt(12) if mass_g else 0.0


@cache  # a stash says the same many times over
def read_count(text: str, blend: Blend) -> Count:
    """Return the count in a label's or the trade's words; a class name is the count of wool as thick.

    A class's number is refused: as a count it has no unit. Raises CountError.
    """
    stripped = " ".join(text.split())
    one = named_class(stripped)
    if one:
        return count_from_class(one, blend, text=stripped)
    for form in (_from_label, _from_direct, _from_indirect):
        try:
            tex_and_u = form(stripped)
        except UnitError as error:
            raise CountError(str(error), error.hint) from None
        if tex_and_u:
            return Count(*tex_and_u, apart=False, text=stripped)
    raise _unknown(stripped)


def count_fault(count: Count) -> tuple[str, str, bool] | None:
    """Return (message, hint, whether only a warning) for a count no yarn, or hardly any yarn, has; else None."""
    metres = m_per_100g(count.tex)
    if WARNED_BELOW <= metres <= WARNED_ABOVE:
        return None
    refused = not REFUSED_BELOW <= metres <= REFUSED_ABOVE
    what = "thicker" if metres < WARNED_BELOW else "thinner"
    figure = f"{show_number(metres, 0 if metres >= 10 else 1)} m/100g"
    said = f"'{count.text}' comes to {figure}" if count.text else f"this comes to {figure}"
    if refused:
        return f"{said}: {what} than any yarn", "check both numbers and their units", False
    return f"{said}: {what} than most knitting yarn", "check both numbers and their units; leave it if it is so", True


def _of_thickness(wool_m_per_100g: Fraction, blend: Blend, relative_u: float, text: str) -> Count:
    """Return the count of `blend` that is as thick as wool of `wool_m_per_100g`."""
    return Count(100_000 / wool_m_per_100g * density(blend) / WOOL_DENSITY, relative_u, apart=False, text=text)


_LABEL = re.compile(r"(\S+?) ?([a-z]+) ?(?:/|per) ?([^a-z\s]*) ?([a-z]+)")


def _from_label(text: str) -> tuple[Fraction, float] | None:
    """Read "420 m/100g", "1200 yd/lb"."""
    found = _LABEL.fullmatch(text)
    if not found:
        return None
    metres, long, grams, heavy = found.groups()
    if long not in LENGTH_UNITS or heavy not in MASS_UNITS:
        raise CountError(f"'{text}' is not a length in a mass", "write it like 420 m/100g, 230 yd/50g or 1200 yd/lb")
    length, mass = read_number(metres) * LENGTH_UNITS[long], read_number(grams or "1") * MASS_UNITS[heavy]
    _must_be_positive({"length": length, "mass": mass})
    return 1000 * mass / length, LABEL_U


def _from_direct(text: str) -> tuple[Fraction, float] | None:
    """Read "238 tex", "2140 dtex", "900 den"."""
    found = re.fullmatch(r"(\S+?) ?(tex|dtex|den)", text, re.IGNORECASE)
    if not found:
        return None
    number = read_number(found.group(1))
    _must_be_positive({found.group(2): number})
    return number * DIRECT_TEX[found.group(2).lower()], NUMBER_U


def _from_indirect(text: str) -> tuple[Fraction, float] | None:
    """Read "Nm 28", "Ne 8/2", "worsted 2/10": of two numbers the smaller is the fold, whichever comes first."""
    found = re.fullmatch(r"(nm|ne|worsted|run|lea) ?([0-9].*)", text, re.IGNORECASE)
    if not found:
        return None
    system, written = found.groups()
    numbers = sorted(read_number(part) for part in re.split(" ?/ ?", written))
    _must_be_positive({system: min(numbers)})
    if len(numbers) == 1:
        return NUMBER_ONE_TEX[system.lower()] / numbers[0], NUMBER_U
    if len(numbers) > 2:
        raise CountError(f"'{text}' has more than two numbers", f"write the fold and the single: {system} 2/12")
    fold, single = numbers
    if fold == single:
        hint = f"measure it instead, for example {{length: 12.4 m, mass: 5.1 g}}, or write {system} and one number"
        raise CountError(f"'{text}' does not tell which number is the fold", hint)
    if fold.denominator != 1:
        raise CountError(f"'{text}': a fold is a whole number of strands", f"write it like {system} 2/12")
    return NUMBER_ONE_TEX[system.lower()] * fold / single, NUMBER_U


def _must_be_positive(values: dict[str, Fraction]) -> None:
    for name, value in values.items():
        if value <= 0:
            raise CountError(f"{name} is zero", f"measure again and write {name} as a number above 0")


def _unknown(text: str) -> CountError:
    shown = text if len(text) <= 40 else f"{text[:37]}..."
    if re.fullmatch(r"[0-9]+(\.[0-9]+)?", text):
        return CountError(f"'{shown}' has no unit", f"write one of: {FORMS}")
    if wraps := re.fullmatch(r"([0-9.]+) ?(?:wpi|wraps?(?: per inch| in an inch)?)", text, re.IGNORECASE):
        return CountError(f"'{shown}' is not a count", f"write {{wraps: {wraps[1]}}}")
    if turned := re.fullmatch(r"([0-9./]+) ?(nm|ne)|(tex|dtex|den) ?([0-9.]+)", text, re.IGNORECASE):
        better = f"{turned[2]} {turned[1]}" if turned[2] else f"{turned[4]} {turned[3]}"
        return CountError(f"'{shown}' is the wrong way round", f"write {better}")
    if plies := re.fullmatch(r"[0-9]+[ -]?ply", text, re.IGNORECASE):
        told = f"plies are no thickness, so '{plies[0]}' says too little"
        return CountError(told, f"write one of: {FORMS}")
    close = get_close_matches(re.sub("[ -]?weight$", "", text.casefold()), CLASS_NAMES, n=1)
    if close:
        return CountError(f"'{shown}' is not a count", f"did you mean {close[0]}?")
    return CountError(f"'{shown}' is not a count", f"write one of: {FORMS}")

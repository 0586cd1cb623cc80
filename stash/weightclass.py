"""Weight classes 0 to 7 as bins of m/100 g for wool-like yarn, and the count of wool that is as thick."""

from __future__ import annotations

import math
import re
from dataclasses import dataclass
from fractions import Fraction

WOOL_DENSITY = Fraction("1.31")  # g/cm3; Morton & Hearle, Physical Properties of Textile Fibres, Table 5.1
NO_UPPER_END = Fraction(10**9)  # m/100 g; stands for "as thin as you like" in class 0
_PRECISION = 10**6  # square roots are cut to a millionth of a m/100 g, so that counts stay exact fractions


@dataclass(frozen=True)
class WeightClass:
    """A class of the standard yarn weight system; bin half-open, low <= m/100 g < high.

    Class 0 has no upper end (NO_UPPER_END) and class 7 no lower (0). Published ranges overlap and disagree; the bins
    are our own, inside them.
    """

    number: int
    name: str
    low: Fraction
    high: Fraction


CLASSES: tuple[WeightClass, ...] = tuple(
    WeightClass(number, name, Fraction(low), Fraction(high))
    for number, name, low, high in (
        (0, "lace", 600, NO_UPPER_END),
        (1, "fingering", 350, 600),
        (2, "sport", 260, 350),
        (3, "dk", 200, 260),
        (4, "aran", 130, 200),
        (5, "bulky", 90, 130),
        (6, "super bulky", 40, 90),
        (7, "jumbo", 0, 40),
    )
)

# Trade names as in the Craft Yarn Council's standard yarn weight system.
_NAMES: tuple[tuple[str, ...], ...] = (
    ("lace",),
    ("super fine", "fingering", "sock", "4-ply"),
    ("fine", "sport"),
    ("light", "dk", "double knitting", "light worsted"),
    ("medium", "worsted", "aran"),
    ("bulky", "chunky"),
    ("super bulky", "super chunky"),
    ("jumbo",),
)


def _squash(text: str) -> str:
    return re.sub(r"[\s_-]+", "", text.casefold())


_BY_NAME = {_squash(name): CLASSES[number] for number, names in enumerate(_NAMES) for name in names}
CLASS_NAMES: tuple[str, ...] = tuple(name for names in _NAMES for name in names)


def class_of(wool_m_per_100g: Fraction) -> WeightClass:
    """Return the class whose bin holds a wool-equivalent count in m/100 g."""
    return next(one for one in CLASSES if one.low <= wool_m_per_100g)


def named_class(text: str) -> WeightClass | None:
    """Return the class a trade name stands for, whatever its capitals, spaces and hyphens."""
    return _BY_NAME.get(_squash(text))


def read_class(text: str) -> WeightClass | None:
    """Return the class a trade name or a number "0" to "7" stands for; None when it stands for none."""
    text = text.strip()
    if re.fullmatch("[0-7]", text):
        return CLASSES[int(text)]
    return named_class(text)


def accepted(one: WeightClass) -> tuple[Fraction, Fraction]:
    """Return what a class accepts in m/100 g, both ends closed: 0.95 x low to 1.05 x high."""
    return one.low * Fraction("0.95"), one.high * Fraction("1.05")


def mean_bounds(one: WeightClass) -> tuple[Fraction, Fraction]:
    """Return the ends in m/100 g that a class's mean is taken between; the open classes are cut at 1000 and 20."""
    return one.low or Fraction(20), min(one.high, Fraction(1000))


def class_mean(one: WeightClass) -> Fraction:
    """Return the geometric mean of a class's bin in m/100 g, to a millionth."""
    low, high = mean_bounds(one)
    return Fraction(math.isqrt(int(low * high * _PRECISION**2)), _PRECISION)


def class_relative_u(one: WeightClass) -> float:
    """Return the relative standard uncertainty of `class_mean`: the true count anywhere in the bin, evenly."""
    low, high = mean_bounds(one)
    return float((high - low) / 2 / class_mean(one)) / math.sqrt(3)


def wool_equivalent_tex(tex: Fraction, density: Fraction) -> Fraction:
    """Return the tex of wool as thick as `tex` of a fibre of `density` in g/cm3.

    The diameter of a yarn goes with the square root of tex/density.
    """
    return tex * WOOL_DENSITY / density


def m_per_100g(tex: Fraction) -> Fraction:
    """Return metres in 100 g from tex (grams in 1000 m)."""
    return 100_000 / tex

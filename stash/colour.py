"""Colour: from sRGB, a CSS name or CIE Lab (D65); how much two colours differ; what strands held together look like."""

from __future__ import annotations

import math
import re
from dataclasses import dataclass
from difflib import get_close_matches
from functools import lru_cache
from typing import TYPE_CHECKING, Any

from stash.colournames import CSS_COLOURS

if TYPE_CHECKING:
    from collections.abc import Callable, Iterable, Sequence
    from fractions import Fraction

Triple = tuple[float, float, float]
Matrix = tuple[Triple, Triple, Triple]

# IEC 61966-2-1: chromaticities of the primaries and the white (D65). The matrices are worked out from them.
PRIMARIES = ((0.64, 0.33), (0.30, 0.60), (0.15, 0.06))
WHITE_X, WHITE_Y = 0.3127, 0.3290
WHITE: Triple = (WHITE_X / WHITE_Y, 1.0, (1 - WHITE_X - WHITE_Y) / WHITE_Y)

# CIE 15, L*a*b*: where the cube root gives way to a straight line.
EPSILON, KAPPA = 216 / 24389, 24389 / 27

LAB_REACH = 200.0  # a* and b* of no real surface lie beyond
LIGHTNESS_APART = 1.75  # in L*, most that a unit of CIEDE2000 can be


class ColourError(ValueError):
    """A colour that cannot be read; `hint` says what to write instead."""

    def __init__(self, message: str, hint: str) -> None:
        super().__init__(message)
        self.hint = hint


@dataclass(frozen=True)
class Colour:
    """A colour as CIE L*a*b* and XYZ (Y of white 1), both for D65 x 0.3127 y 0.3290."""

    text: str
    lab: Triple
    xyz: Triple

    @property
    def lightness(self) -> float:
        """L*: 0 is black, 100 is white."""
        return self.lab[0]

    @property
    def hex(self) -> str:
        """The colour on a screen as "#rrggbb"; what a screen cannot show is clipped."""
        return "#" + "".join(f"{_coded(part):02x}" for part in _times(FROM_XYZ, self.xyz))


def read_colour(text: str) -> Colour:
    """Return the colour written as "#rrggbb" or as a CSS colour name. Raises ColourError."""
    stripped = text.strip()
    code = CSS_COLOURS.get(stripped.lower(), stripped)
    if not re.fullmatch("#[0-9a-fA-F]{6}", code):
        raise _unknown(stripped)
    red, green, blue = (_linear(int(code[at : at + 2], 16)) for at in (1, 3, 5))
    return _from_xyz(stripped, _times(TO_XYZ, (red, green, blue)))


def colour_from_lab(lightness: float, a: float, b: float) -> Colour:
    """Return the colour of measured L*, a*, b* (D65). Raises ColourError outside 0..100 and -200..200."""
    if not 0 <= lightness <= 100:
        raise ColourError(f"L* is {lightness:g}", "write L* from 0 (black) to 100 (white)")
    if not (abs(a) <= LAB_REACH and abs(b) <= LAB_REACH):
        raise ColourError(f"a* is {a:g} and b* is {b:g}", "write a* and b* from -200 to 200")
    middle = (lightness + 16) / 116
    roots = (middle + a / 500, middle, middle - b / 200)
    x, y, z = (_unrooted(root) * white for root, white in zip(roots, WHITE, strict=True))
    return Colour(f"lab({lightness:g} {a:g} {b:g})", (float(lightness), float(a), float(b)), (x, y, z))


def mix(weighted: Iterable[tuple[Colour, Fraction | float]]) -> Colour:
    """Return what strands held together look like: the mean in linear light, weighted (by tex, in any unit)."""
    pairs = [(colour, float(weight)) for colour, weight in weighted]
    total = math.fsum(weight for _, weight in pairs)
    if total <= 0:
        raise ValueError("the weights of a mix must be above zero")
    x, y, z = (math.fsum(colour.xyz[axis] * weight for colour, weight in pairs) / total for axis in range(3))
    mixed = _from_xyz("", (x, y, z))
    return Colour(mixed.hex, mixed.lab, mixed.xyz)


@lru_cache(maxsize=4096)
def nearest_name(colour: Colour) -> str:
    """Return the CSS colour name that looks most like `colour`; of two alike the first in the alphabet."""
    found = (math.inf, "")
    for named in sorted(_named(), key=lambda named: abs(named.lightness - colour.lightness)):
        if abs(named.lightness - colour.lightness) > LIGHTNESS_APART * found[0]:
            break  # this one and all behind it differ more, by their lightness alone
        found = min(found, (difference(colour, named), named.text))
    return found[1]


def difference(first: Colour, second: Colour) -> float:
    """Return the CIEDE2000 colour difference, kL = kC = kH = 1."""
    return float(apart(first.lab, second.lab))


def apart(first: Iterable[Any], second: Iterable[Any], maths: Any = math) -> Any:
    """Return CIEDE2000 of two L*, a*, b*; of arrays of them where `maths` has the functions of `math` for arrays.

    After Sharma, Wu, Dalal, Color Research and Application 30 (2005), 21-30; their names for the terms.
    """
    (l1, a1, b1), (l2, a2, b2) = first, second
    g = 0.5 * (1 - _seventh((maths.hypot(a1, b1) + maths.hypot(a2, b2)) / 2, maths))
    a1, a2 = a1 * (1 + g), a2 * (1 + g)
    c1, c2 = maths.hypot(a1, b1), maths.hypot(a2, b2)
    h1, h2 = (maths.degrees(maths.atan2(b, a)) % 360 for a, b in ((a1, b1), (a2, b2)))
    turn = h2 - h1
    turn = turn - maths.copysign(360, turn) * (abs(turn) > 180)  # the short way round
    mean_l, mean_c, mean_hue = (l1 + l2) / 2, (c1 + c2) / 2, (h1 + turn / 2) % 360
    light = (l2 - l1) / (1 + 0.015 * (mean_l - 50) ** 2 / maths.sqrt(20 + (mean_l - 50) ** 2))
    chroma = (c2 - c1) / (1 + 0.045 * mean_c)
    delta_h = 2 * maths.sqrt(c1 * c2) * maths.sin(maths.radians(turn / 2))  # 0 where one is grey
    hue = delta_h / (1 + 0.015 * mean_c * _hue_weight(mean_hue, maths))
    away = 60 * maths.exp(-(((mean_hue - 275) / 25) ** 2))
    rotation = -maths.sin(maths.radians(away)) * 2 * _seventh(mean_c, maths)
    return maths.sqrt(abs(light**2 + chroma**2 + hue**2 + rotation * chroma * hue))


def _seventh(chroma: Any, maths: Any) -> Any:
    """sqrt(C^7 / (C^7 + 25^7))."""
    return maths.sqrt(chroma**7 / (chroma**7 + 25.0**7))


def _hue_weight(mean_hue: Any, maths: Any) -> Any:
    """T of the formula."""
    at = maths.radians(mean_hue)
    return (
        1
        - 0.17 * maths.cos(at - math.radians(30))
        + 0.24 * maths.cos(2 * at)
        + 0.32 * maths.cos(3 * at + math.radians(6))
        - 0.20 * maths.cos(4 * at - math.radians(63))
    )


def _linear(code: int) -> float:
    """Return the linear light of an 8-bit sRGB code (IEC 61966-2-1)."""
    value = code / 255
    return value / 12.92 if value <= 0.04045 else ((value + 0.055) / 1.055) ** 2.4


def _coded(light: float) -> int:
    """Return the 8-bit sRGB code of linear light, clipped to 0..255."""
    light = min(max(light, 0.0), 1.0)
    return round(255 * (12.92 * light if light <= 0.0031308 else 1.055 * light ** (1 / 2.4) - 0.055))


def lab_of(xyz: Sequence[Any], rooted: Callable[[Any], Any]) -> tuple[Any, Any, Any]:
    """Return L*, a*, b* of X, Y, Z, or arrays of them; `rooted`: the cube root, with its straight line near black."""
    fx, fy, fz = (rooted(part / white) for part, white in zip(xyz, WHITE, strict=True))
    return 116 * fy - 16, 500 * (fx - fy), 200 * (fy - fz)


def _rooted(part: float) -> float:
    return math.cbrt(part) if part > EPSILON else (KAPPA * part + 16) / 116


def _unrooted(root: float) -> float:
    return root**3 if root**3 > EPSILON else (116 * root - 16) / KAPPA


def _from_xyz(text: str, xyz: Triple) -> Colour:
    return Colour(text, lab_of(xyz, _rooted), xyz)


def _times(matrix: Matrix, vector: Triple) -> Triple:
    x, y, z = (math.fsum(cell * part for cell, part in zip(row, vector, strict=True)) for row in matrix)
    return x, y, z


def _inverse(matrix: Matrix) -> Matrix:
    """Return the inverse of a 3 x 3 matrix by cofactors."""
    (a, b, c), (d, e, f), (g, h, i) = matrix
    first = (e * i - f * h, c * h - b * i, b * f - c * e)
    second = (f * g - d * i, a * i - c * g, c * d - a * f)
    third = (d * h - e * g, b * g - a * h, a * e - b * d)
    whole = a * first[0] + b * second[0] + c * third[0]
    x, y, z = (tuple(cell / whole for cell in row) for row in (first, second, third))
    return (x[0], x[1], x[2]), (y[0], y[1], y[2]), (z[0], z[1], z[2])


def _matrix_to_xyz() -> Matrix:
    """Return linear sRGB -> XYZ: the primaries' XYZ, each scaled so that together they make the white."""
    (xr, yr), (xg, yg), (xb, yb) = PRIMARIES
    plain: Matrix = (
        (xr / yr, xg / yg, xb / yb),
        (1.0, 1.0, 1.0),
        ((1 - xr) / yr - 1, (1 - xg) / yg - 1, (1 - xb) / yb - 1),
    )
    red, green, blue = _times(_inverse(plain), WHITE)
    x, y, z = ((row[0] * red, row[1] * green, row[2] * blue) for row in plain)
    return x, y, z


TO_XYZ = _matrix_to_xyz()
FROM_XYZ = _inverse(TO_XYZ)


@lru_cache(maxsize=1)
def _named() -> tuple[Colour, ...]:
    return tuple(read_colour(name) for name in sorted(CSS_COLOURS) if "gray" not in name)  # one spelling: grey


def _unknown(text: str) -> ColourError:
    shown = text if len(text) <= 40 else f"{text[:37]}..."
    return ColourError(f"'{shown}' is not a colour known here", _what_to_write(text.strip("“”„‘’«»\"' ").lower()))


def _what_to_write(text: str) -> str:
    if (digits := _digits(text)) is not None:
        return f'write "#{digits}"'
    if text.startswith("#"):
        return 'write # and six digits or letters from a to f behind it: "#5b6770"'
    words = re.split(r"[\s_/(),-]+", text)
    part = next((word for word in words if word in CSS_COLOURS), None)
    if (name := _near_name("".join(words), letters_off=part is None)) is not None:
        return f"did you mean {name}?"
    if part is not None:
        return f'the nearest name is {part}; nearer is the colour itself, as a picture on a screen shows it: "#5b6770"'
    return 'write "#5b6770", a CSS colour name such as teal, or {lab: [L, a, b]}'


def _digits(text: str) -> str | None:
    """The six digits of a colour that is written in another of a screen's ways."""
    if re.fullmatch("#?[0-9a-f]{3}", text) and (text.startswith("#") or not text.isalpha()):
        return "".join(digit * 2 for digit in text.lstrip("#"))
    if found := re.fullmatch("(?:#|0x)? ?([0-9a-f]{6})(?:[0-9a-f]{2})?", text):
        return found[1]
    if found := re.fullmatch(r"rgb\(([0-9]{1,3}), ?([0-9]{1,3}), ?([0-9]{1,3})\)", text):
        return "".join(f"{min(int(part), 255):02x}" for part in found.groups())
    return None


def _near_name(joined: str, *, letters_off: bool) -> str | None:
    """The name that was meant, written apart, cut short or a letter off; never one that only has a part alike."""
    if joined in CSS_COLOURS:
        return joined
    if not letters_off:
        return None
    close = get_close_matches(joined, CSS_COLOURS, n=3, cutoff=0.75)
    return next((name for name in close if abs(len(name) - len(joined)) <= 1 or name.startswith(joined)), None)

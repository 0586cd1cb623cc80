"""Answers that `needs` is given, read: sizes, gauge, swatch, bands, motif, the name of a pattern."""

from __future__ import annotations

import re
from fractions import Fraction
from typing import TYPE_CHECKING

from patterns.bodies import ANYONE, Body
from patterns.patches import Swatch
from planner.needing import TEN_CM, Band, Motif
from stash.count import read_count
from stash.fibre import read_blend
from stash.kinds import ID
from stash.nearest import nearest
from stash.units import LENGTH_UNITS, UnitError, read_length, read_mass, read_number, read_share
from stash.weightclass import CLASSES, WeightClass, read_class

if TYPE_CHECKING:
    from collections.abc import Callable, Sequence

MOST_ROWS, MOST_COLOURS, MOST_NAME = 1000, 12, 60
MOST_IN_ALL = 5000  # rows, so that every colour has a share that a file can hold
MOST_STITCHES, MOST_COUNTED = 200, 700  # in 10 cm, and as counted
LONGEST = 20  # metres; of a flat thing's sides
_RESERVED = re.compile(r"(?i:con|prn|aux|nul|com[0-9]|lpt[0-9])")
_GAUGE_FORM = "write stitches x rows in 10 cm, such as 22 x 30; or 22 alone; or 22 x 30 over 4 in"
_SWATCH_FORM = 'write "20 cm x 20 cm, 31 m", or "20 cm x 20 cm, 14 g of 230 m/100g"'
_WOOL = read_blend("wool")
_FINE = 10**6  # to the metre: what a gauge lies over, likewise
_CUT = 10_000  # lengths are cut to a tenth of a millimetre, which a file can hold


def read_sizes(bodies: Sequence[Body]) -> Callable[[str], tuple[Body, ...]]:
    """Return the reader of one size or several, "M" or "S, M"; a name that several have stands for all of them."""
    names = tuple(dict.fromkeys(one.size for one in bodies))

    def read(text: str) -> tuple[Body, ...]:
        asked = [one.strip() for one in text.split(",")]
        for name in asked:
            if name not in names:
                near = nearest(name, names)
                hint = f"did you mean {near}?" if near else f"write one of {', '.join(names)}"
                raise UnitError(f"there is no size '{name[:40]}'", hint)
        return tuple(one for one in bodies if one.size in asked)

    return read


def read_flat(bodies: Sequence[Body]) -> Callable[[str], tuple[Body, ...]]:
    """Return the reader of a size by name, or by a width and a length of one's own: "30 cm x 180 cm"."""
    by_name = read_sizes(bodies)

    def read(text: str) -> tuple[Body, ...]:
        if not re.search("[0-9]", text):
            return by_name(text)
        width, length = _sides(text, "write width x length, such as 30 cm x 180 cm")
        if max(width, length) > LONGEST:
            raise UnitError(f"'{text.strip()}' is more than can be", "look for a digit or a unit too many")
        return (Body(ANYONE, "own size", {"width": width, "length": length}),)

    return read


def _sides(text: str, form: str) -> tuple[Fraction, Fraction]:
    """Two lengths with an x between them; the first may leave its unit to the second."""
    first, cross, second = re.sub("[×*]", "x", text).partition("x")
    if not cross:
        raise UnitError(f"'{text.strip()[:40]}' is not two lengths", form)
    unit = second.strip().lstrip("0123456789. ")
    if re.fullmatch(r"[0-9. ]+", first) and unit in LENGTH_UNITS:
        first = f"{first.strip()} {unit}"
    sides = read_length(first.strip()).value, read_length(second.strip()).value
    if not all(sides):
        raise UnitError("a length must be above 0", form)
    return sides


def read_ease(text: str) -> Fraction:
    """Return an ease in metres: "10 cm", or "-5 cm" for something narrower than the body."""
    bare = text.strip()
    narrower = bare[:1] in {"-", "–"}
    ease = read_length(bare[1:].strip() if narrower else bare).value * (-1 if narrower else 1)
    if abs(ease) > 1:
        raise UnitError(f"'{bare}' is more than can be", "write what it is wider than the body, such as 10 cm")
    return ease


def read_depth(text: str) -> Fraction:
    """Return how deep an edging is, in metres; 0 for none."""
    depth = read_length(text).value
    if depth > 1:
        raise UnitError(f"'{text.strip()}' is more than can be", "write how deep an edging is, such as 6 cm")
    return depth


def read_gauge(text: str) -> tuple[Fraction, Fraction | None, Fraction]:
    """Return stitches, rows (None: not told) and the metres they lie over."""
    counts, _, over = re.sub("[×*]", "x", text).partition(" over ")
    stitches, cross, rows = counts.partition("x")
    over_m = Fraction(round(read_length(over.strip()).value * _FINE), _FINE) if over else TEN_CM
    try:
        numbers = [read_number(one.strip()) for one in (stitches, rows)[: 2 if cross else 1]]
    except UnitError as error:
        raise UnitError(f"'{text.strip()[:40]}' is not a gauge: {error}", _GAUGE_FORM) from None
    if not over_m or any(not 0 < one / over_m / 10 <= MOST_STITCHES or one > MOST_COUNTED for one in numbers):
        raise UnitError(f"'{text.strip()[:40]}' is not a gauge", _GAUGE_FORM)
    return numbers[0], numbers[1] if cross else None, over_m


def read_yarn(text: str) -> WeightClass:
    """Return a weight class by its name or number."""
    found = read_class(text)
    if found is None:
        names = ", ".join(one.name for one in CLASSES)
        raise UnitError(f"'{text.strip()[:40]}' is not a weight class", f"write one of {names}, or 0 to 7")
    return found


def read_swatch(text: str) -> Swatch:
    """Return a swatch such as "20 cm x 20 cm, 31 m" or "20 cm x 20 cm, 14 g of 230 m/100g"."""
    sides, comma, yarn = text.partition(",")
    if not comma:
        raise UnitError(f"'{text.strip()[:40]}' is not a swatch", _SWATCH_FORM)
    width, height = _sides(sides, _SWATCH_FORM)
    mass, of, count = yarn.partition(" of ")
    if of:
        length = read_mass(mass.strip()).value * 1000 / read_count(count.strip(), _WOOL).tex
    else:
        length = read_length(yarn.strip()).value
    width, height, length = (Fraction(round(side * _CUT), _CUT) for side in (width, height, length))
    if not width or not height or not length:
        raise UnitError(f"'{text.strip()[:40]}' leaves nothing of the swatch", _SWATCH_FORM)
    return Swatch(length, width, height)


def read_bands(text: str) -> tuple[Band, ...]:
    """Return bands such as "main 20, ochre 4, main 2": so many rows of each, in turn."""
    bands = []
    for one in text.split(","):
        found = re.fullmatch(r"\s*(.*\S)\s+([0-9]{1,4})(?: rows?)?\s*", one)
        if not found or not _is_name(found[1]) or not 0 < int(found[2]) <= MOST_ROWS:
            raise UnitError(
                f"'{one.strip()[:40]}' is not a stripe", "write a name and its rows for each, such as main 20, ochre 4"
            )
        bands.append(Band(found[1], int(found[2])))
    if len({one.need for one in bands}) > MOST_COLOURS:
        raise UnitError("these are too many colours", f"write {MOST_COLOURS} at most")
    if sum(one.rows for one in bands) > MOST_IN_ALL:
        raise UnitError("these are too many rows", "tell the rows of one repeat of the stripes")
    return tuple(bands)


def _is_name(text: str) -> bool:
    return "#" not in text and text.isprintable() and len(text) <= MOST_NAME


def read_motif(parts: Sequence[str]) -> Callable[[str], Motif]:
    """Return the reader of a motif: "35%", or "35% of yoke"."""

    def read(text: str) -> Motif:
        share, _, part = (one.strip() for one in text.partition(" of "))
        found = read_share(share)
        if not 0 < found < 1:
            raise UnitError(f"'{share}' is no share of two colours", "write a share between 0% and 100%, such as 35%")
        if part and part not in parts:
            raise UnitError(f"there is no part '{part[:40]}'", f"write one of {', '.join(parts)}, or the share alone")
        return Motif(found, part or None)

    return read


def read_pattern_name(text: str) -> str:
    """Return a name that a pattern file may have."""
    name = text.strip().removesuffix(".yaml")
    if not ID.fullmatch(name) or _RESERVED.fullmatch(name):
        raise UnitError(
            f"'{name[:40]}' cannot be the name of a pattern",
            "write letters a-z, digits, '-' and '_', such as harbour-raglan",
        )
    return name

"""Yarn that might be found: as a lot of stated length, and the kinds that are worth a try for what is asked."""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction
from itertools import combinations, pairwise
from typing import TYPE_CHECKING

from patterns.projects import Pin
from planner.pairs import BLENDS_APART
from planner.suits import Setting, unwanted_fibre, wrong_shares
from planner.yarns import WorkingYarn
from stash.colour import colour_from_lab, read_colour
from stash.count import read_count
from stash.faults import Place
from stash.fibre import density, distance, felts_default, read_blend
from stash.lots import Lot, Skein
from stash.skeins import MOST_PIECES
from stash.units import show_number
from stash.weightclass import WOOL_DENSITY

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator, Sequence

    from patterns.needs import Need
    from planner.instance import Making, SizedNeed
    from stash.colour import Colour
    from stash.fibre import Blend

    Counts = tuple[Fraction, Fraction]

THICKEST, THINNEST = Fraction(20), Fraction(1500)  # m/100 g: ends of a range that has none
LADDER = (50, 30, 70, 15, 85, 40, 60, 92, 8)  # L* of the greys tried, the middle first
MOST_LEVELS = 24  # further L*, one between every two at which some contrast begins or ends
MOST_COLOURS = 12  # of those asked or matched that are tried in pairs
SHIFT = 0.75  # of what a colour may be off, tried lighter and darker
# What hangs on a rack, plain first; each is tried by itself.
FIBRES: tuple[str, ...] = (
    "wool",
    "superwash wool",
    "cotton",
    "acrylic",
    "75% wool, 25% polyamide",
    "50% wool, 50% acrylic",
    "60% cotton, 40% acrylic",
    "alpaca",
    "viscose",
)
_PLACE = Place("find.yaml", 1, 1)


@dataclass(frozen=True)
class Kind:
    """What a find is like: how thick, as wool, in m/100 g; of what; in which colour."""

    wool_m_per_100g: Fraction
    blend: Blend
    colour: Colour


def find_lot(kind: Kind, metres: int, name: str, *, each_m: Fraction | None = None) -> Lot:
    """The find as a lot, its length measured, in one piece or in pieces of `each_m` m or a little more."""
    own = kind.wool_m_per_100g * WOOL_DENSITY / density(kind.blend)
    # Told of 10 kg, as a number may have four decimals: at the end of a range a find must not lie past it by 1e-6.
    count = read_count(f"{show_number(own * 100, 4)} m/10kg", kind.blend)
    number = 1 if each_m is None else max(1, int(metres / each_m))
    held = [MOST_PIECES] * (number // MOST_PIECES) + [number % MOST_PIECES] * (number % MOST_PIECES > 0)
    skeins = tuple(
        Skein(
            id=f"{name}-{place}",
            mass_g=None,
            length_m=Fraction(metres * 100 * pieces // number, 100),
            scale_g=Fraction(0),
            shares=(Fraction(1, pieces),) * pieces,
            assumed_equal=pieces > 1,
            place=_PLACE,
        )
        for place, pieces in enumerate(held, 1)
    )
    felts = felts_default(kind.blend)
    return Lot(name, None, kind.blend, kind.colour, count, felts, None, skeins, _PLACE)


def find_text(lot: Lot) -> str:
    """The lot as a stash file."""
    lines = [
        "lots:",
        f"  {lot.id}:",
        f"    fibre: {lot.blend.text}",
        f'    colour: "{lot.colour.hex}"',
        f"    count: {lot.count.text}",
        "    skeins:",
    ]
    for skein in lot.skeins:
        length = show_number(skein.length_m or Fraction(0), 2)
        lines.append(f"      {skein.id}: {{length: {length} m, pieces: {len(skein.shares)}}}")
    return "\n".join([*lines, ""])


def kinds(makings: Sequence[Making]) -> Iterator[Kind]:
    """Every kind worth a try for these, plain ones first: each thickness, blend and colour that may matter."""
    needs = [sized for making in makings for sized in making.needs]
    shades, blends = _colours(needs), _blends(needs)
    for blend in blends:
        for low, high in _thicknesses(needs):
            middle = Fraction(round((low + high) / 2)) if high - low > 2 else (low + high) / 2
            for shade in shades:
                yield Kind(middle, blend, shade)


def counts_of(sized: SizedNeed, strands: int) -> Counts:
    """How thick each of so many strands may be for a need, as wool, in m/100 g."""
    low, high = sized.need.yarn.low * strands, sized.need.yarn.high * strands
    return max(low, THICKEST), max(min(high, THINNEST), THICKEST)


def _thicknesses(needs: Sequence[SizedNeed]) -> list[Counts]:
    """Ranges within which every count suits the same needs, those left out that suit only some of what another does."""
    asked = {
        (number, strands): counts_of(sized, strands)
        for number, sized in enumerate(needs)
        for strands in range(sized.need.strands[0], sized.need.strands[1] + 1)
    }
    ends = sorted({end for counts in asked.values() for end in counts})
    suits: dict[frozenset[tuple[int, int]], Counts] = {}
    for low, high in pairwise(ends):
        served = frozenset(who for who, (least, most) in asked.items() if least <= low and high <= most)
        before = suits.get(served)
        if served and (before is None or high - low > before[1] - before[0]):
            suits[served] = (low, high)
    return [counts for served, counts in suits.items() if not any(served < other for other in suits)]


def _colours(needs: Iterable[SizedNeed]) -> list[Colour]:
    """Colours asked for, and those that what is shared out has to look like; between two of them; greys."""
    needs = list(needs)
    named = {one.near.hex: (one.near, one.within) for sized in needs if (one := sized.need.colour).near is not None}
    for sized in needs:
        if sized.need.lots.kind != "one":
            for lot in _lots(sized):
                named.setdefault(lot.colour.hex, (lot.colour, 0.0))
    few = list(named.values())[:MOST_COLOURS]
    found = [colour for colour, _ in named.values()]
    found += [_shifted(colour, sign * SHIFT * within) for colour, within in few if within for sign in (1, -1)]
    found += [_between(one, other) for (one, _), (other, _) in combinations(few, 2)]
    greys = [colour_from_lab(light, 0, 0) for light in (*LADDER, *_levels(needs))]
    return list({colour.hex: read_colour(colour.hex) for colour in (*found, *greys)}.values())


def _levels(needs: Sequence[SizedNeed]) -> list[float]:
    """L* between those at which a contrast asked of some need with some lot begins or ends."""
    lots = {lot.id: lot for sized in needs for lot in _lots(sized)}
    apart = {
        own for sized in needs for own in (sized.need.colour.against_lightness, sized.need.colour.lighter_lightness)
    }
    ends = {lot.colour.lightness + sign * by for lot in lots.values() for by in apart for sign in (1, -1)}
    inside = [0.0, *sorted(end for end in ends if 0 < end < 100), 100.0]
    found = [(low + high) / 2 for low, high in pairwise(inside) if high - low > 0.5]
    return found[:: -(-len(found) // MOST_LEVELS)] if found else []


def _blends(needs: Sequence[SizedNeed]) -> list[Blend]:
    """The plain ones, then those of the stash that it may have to go with; of blends that do alike the first."""
    lots = {lot.id: lot for sized in needs for lot in _lots(sized)}
    owned = list({lot.blend.text: lot.blend for lot in lots.values()}.values())
    alike: dict[object, Blend] = {}
    for blend in (*map(read_blend, FIBRES), *owned):
        takes = tuple(_permits(sized.need, blend) for sized in needs)
        near = tuple(distance(blend, other) <= BLENDS_APART for other in owned)
        alike.setdefault((takes, near, felts_default(blend)), blend)
    return list(alike.values())


def _permits(need: Need, blend: Blend) -> bool:
    lot = find_lot(Kind(Fraction(200), blend, colour_from_lab(50, 0, 0)), 1, "find")
    yarn, setting = WorkingYarn(((lot, 1),)), Setting(Pin(), "any", bleed_risk=False)
    return not unwanted_fibre(need, yarn, setting) and not wrong_shares(need, yarn, setting)


def _lots(sized: SizedNeed) -> list[Lot]:
    """The lots that may serve the need, alone or held with another, each once."""
    return list({lot.id: lot for yarn in sized.yarns for lot, _ in yarn.lots}.values())


def _shifted(colour: Colour, by: float) -> Colour:
    lightness, a, b = colour.lab
    return colour_from_lab(min(max(lightness + by, 0.0), 100.0), a, b)


def _between(one: Colour, other: Colour) -> Colour:
    lightness, a, b = ((x + y) / 2 for x, y in zip(one.lab, other.lab, strict=True))
    return colour_from_lab(lightness, a, b)

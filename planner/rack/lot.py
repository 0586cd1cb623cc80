"""The lot a garment would become, as a stash file of its own: what can be counted on, and no more."""

from __future__ import annotations

import math
from dataclasses import dataclass, replace
from fractions import Fraction
from statistics import NormalDist
from typing import TYPE_CHECKING

from stash.count import count_fault, read_count
from stash.fibre import felts_default, read_blend
from stash.fibrenames import UNKNOWN
from stash.lengths import STATED_LENGTH_U
from stash.pieces import pieces_of
from stash.read import read_stash
from stash.reclaiming import Z90
from stash.skeins import MOST_PIECES
from stash.units import show_number

if TYPE_CHECKING:
    from stash.colour import Colour
    from stash.fibre import Blend
    from stash.garment import Garment
    from stash.lots import Lot, Stash
    from stash.pieces import Pieces
    from stash.reclaiming import Reclaimed

MOST_METRES, MOST_ROWS = 50_000.0, 20_000  # in one garment
LONGEST_NAME = 40  # of a donor's, in the names made from it
FELTS_WORD = {True: "yes", False: "no", None: "unknown"}
UNKNOWN_BLEND = read_blend("unknown")


@dataclass(frozen=True)
class Expected:
    """A lot that is not there yet, and the text it was read from."""

    lot: Lot
    text: str


def blend_of(garment: Garment) -> Blend:
    """What it is made of; unknown where no label tells."""
    return garment.blend or UNKNOWN_BLEND


def shrinks(blend: Blend) -> bool | None:
    """Whether it felts, by its blend; None, unknown, also where a fibre that nobody can name may be wool."""
    return None if UNKNOWN in blend.shares and not felts_default(blend) else felts_default(blend)


def odd_figures(garment: Garment, found: Reclaimed) -> str | None:
    """What is wrong when there comes out more, thicker or thinner yarn than in any garment; else None."""
    told = count_fault(read_count(_tex(found), blend_of(garment)))
    if told is not None and not told[2]:
        return told[0]
    if found.in_garment_m.best > MOST_METRES:
        return f"this comes to {found.in_garment_m.best / 1000:,.0f} km of yarn: more than in any garment"
    if sum(run.number for run in pieces_of(garment, found)) > MOST_ROWS:
        return "this comes to more rows than any garment has"
    return None


def expected_lot(
    garment: Garment, found: Reclaimed, donor: str | None, stash: Stash | None, confidence: Fraction
) -> Expected | None:
    """The lot the garment would become, its guarded length the low end of the 90 % interval.

    None without a colour, and where nothing can be unravelled.
    """
    if garment.colour is None or found.length_m is None:
        return None
    runs = pieces_of(garment, found)
    low = found.length_m.interval(Z90)[0] / sum(run.number * run.each_m for run in runs)
    stated = low / (1 - NormalDist().inv_cdf(float(confidence)) * STATED_LENGTH_U)
    name = _free_name(donor, stash)
    skeins = [line for run in runs for line in _skeins(run, stated)]
    if not skeins:
        return None
    fields = [
        f"    fibre: {blend_of(garment).text}",
        f"    colour: {_colour(garment.colour)}",
        f"    count: {_tex(found)}",
        f"    felts: {FELTS_WORD[shrinks(blend_of(garment))]}",
        "    bleeds: untested",
        "    skeins:",
        *(f"      {name}-{number}: {skein}" for number, skein in enumerate(skeins, 1)),
    ]
    text = "\n".join(["lots:", f"  {name}:", *fields, ""])
    read = read_stash([("rack.yaml", text.encode())])
    lot = replace(read.stash.lots[name], donor=donor)
    head = "# What can be counted on before it is unravelled; measure it once it is.\n"
    if donor is not None:
        text = text.replace("    fibre:", f"    donor: {_quoted(donor)}\n    fibre:", 1)
    return Expected(lot, head + text)


def _skeins(run: Pieces, stated: float) -> list[str]:
    """Skeins of at most so many pieces as one may hold, each piece shorter by the factor `stated`."""
    each_cm = math.floor(run.each_m * stated * 100)
    if each_cm == 0:
        return []
    full, rest = divmod(run.number, MOST_PIECES)
    numbers = [MOST_PIECES] * full + ([rest] if rest else [])
    return [f"{{length: {show_number(Fraction(each_cm * number, 100), 2)} m, pieces: {number}}}" for number in numbers]


def _tex(found: Reclaimed) -> str:
    return f"{show_number(found.tex.best, 0 if found.tex.best >= 100 else 2)} tex"


def _colour(colour: Colour) -> str:
    if colour.text.startswith("lab("):
        return "{lab: [" + ", ".join(f"{part:.4f}" for part in colour.lab) + "]}"
    return f'"{colour.hex}"'


def _quoted(name: str) -> str:
    """A name that YAML might take for a number stays a name."""
    return f'"{name}"'


def _free_name(donor: str | None, stash: Stash | None) -> str:
    """A name for the lot that nothing in the stash has, nor would its skeins."""
    taken: set[str] = set()
    if stash is not None:
        taken |= {name.casefold() for name in (*stash.donors, *stash.lots)}
        taken |= {skein.id.casefold() for lot in stash.lots.values() for skein in lot.skeins}
    stem = f"{donor[:LONGEST_NAME]}-yarn" if donor is not None else "rack-yarn"
    name, number = stem, 1
    while any(one == name.casefold() or one.startswith(f"{name.casefold()}-") for one in taken):
        number += 1
        name = f"{stem}{number}"
    return name

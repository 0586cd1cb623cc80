"""The answer midway as a page: each lot on its scale, what to do, the rest, and room for later weighings."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from planner.pages.enough import ROOM, Mark
from planner.pages.page import WIDE, write_page
from planner.pages.shades import Palette
from planner.show import words
from planner.show.midway import answer_text, cautions, notes, others, where_text
from planner.show.midwayhelp import LOOKS, NEAREST, nearest_rows, things_to_do, wanted_text
from stash.units import show_length, show_mass

if TYPE_CHECKING:
    from planner.midway.answering import Midway
    from planner.midway.reach import LotReach
    from planner.pages.shades import Shade
    from stash.units import System

LATER = 6  # lines for later weighings


@dataclass(frozen=True)
class Needle:
    """A lot on the needles on its scale of grams: what is left, and what the rest still takes."""

    lot: str
    held: str
    shade: Shade
    used: str
    left: Mark
    low: Mark
    likely: Mark
    high: Mark
    left_m: str
    likely_m: str
    chance: str


@dataclass(frozen=True)
class Other:
    """A lot that suits to go on with."""

    shade: Shade
    lot: str
    differs: str
    holds: str
    enough: str
    may: str


def midway_page(found: Midway, units: System) -> str:
    """The page of an answer midway."""
    palette = Palette()
    knitting = found.knitting
    helps = list(things_to_do(found, units))
    near = nearest_rows(found.help, units) if found.help is not None else []
    return write_page(
        "midway.html",
        "Midway",
        palette,
        project=knitting.project.name,
        name=knitting.pattern.name,
        answer=answer_text(found, units),
        where=where_text(knitting),
        lots=[_needle(lot, palette, units) for lot in found.reach.lots],
        notes=list(notes(found, units, "beside it")),
        wanted=wanted_text(found, units),
        helps=helps,
        nearest=NEAREST,
        looks=LOOKS,
        near=[Other(palette.shade(colour), *rest) for colour, *rest in near],
        others=[" ".join(one.removeprefix("- ").split()) for one in others(found, units)],
        cautions=list(cautions(found)),
        later=LATER,
    )


def _needle(lot: LotReach, palette: Palette, units: System) -> Needle:
    own = lot.in_use
    full = ROOM * max(float(own.left_g), lot.rest_g.high) or 1.0

    def mark(grams: float) -> Mark:
        return Mark(show_mass(grams, units), WIDE * grams / full)

    return Needle(
        own.lot.id,
        "" if own.strands == 1 else words.held(own.strands),
        palette.shade(own.lot.colour),
        show_mass(own.used_g, units),
        mark(float(own.left_g)),
        mark(lot.rest_g.low),
        mark(lot.rest_g.likely),
        mark(lot.rest_g.high),
        show_length(lot.metres(float(own.left_g)), units),
        show_length(lot.metres(lot.rest_g.likely), units),
        words.chance(lot.chance),
    )
